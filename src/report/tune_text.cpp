// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/tune_text.hpp"

#include <fmt/core.h>

#include <cmath>

#include "bakewright/report/estimate_text.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/text.hpp"
#include "json_records.hpp"

namespace bakewright::report {

namespace {

using bake::LearnedKind;

constexpr std::size_t kMostCombinations = 8;

std::string value_text(const tune::TunedNumber& number, const Units& units) {
    if (bake::is_offset(number.learned.kind)) return format_temperature_difference(number.learned.value, units);
    return fixed(number.learned.value, 2);
}

/// Half of the range in which the number lies in 19 of 20 cases.
std::string width_text(const tune::TunedNumber& number, const Units& units) {
    const double width = 1.96 * number.learned.standard_error;
    if (bake::is_offset(number.learned.kind)) return format_temperature_difference(width, units);
    return fmt::format("{:.0f} %", 100.0 * std::expm1(width));
}

std::string k_text(double error_k, const Units& units) { return format_temperature_difference(error_k, units, 2); }

std::string told_word(const tune::TunedNumber& number) {
    if (number.at_bound) return "END OF RANGE";
    const double told = number.told();
    return told > 0.9 ? "well" : told > 0.5 ? "partly" : told > 0.2 ? "little" : "not";
}

}  // namespace

Table tuned_number_table(const tune::TuneResult& result, const Units& units) {
    Table table({{"number", Align::left, true},
                 {"learned", Align::right},
                 {"19 in 20\nwithin", Align::right},
                 {"before", Align::right},
                 {"how well the\nlogs show it"}});
    for (const tune::TunedNumber& number : result.numbers) {
        const bool is_offset = bake::is_offset(number.learned.kind);
        table.add({one_line(number.name.text()), value_text(number, units), width_text(number, units),
                   is_offset ? format_temperature_difference(number.before, units) : fixed(number.before, 2),
                   Cell(told_word(number), number.at_bound ? Mark::strong : Mark::none)});
    }
    return table;
}

Table tuning_error_table(const tune::TuneResult& result, const Units& units) {
    const std::string unit = difference_symbol(units);
    Table table({{"bake", Align::left, true},
                 {"channels", Align::right},
                 {"before\n" + unit, Align::right},
                 {"tuned on\n" + unit, Align::right},
                 {"held out\n" + unit, Align::right},
                 {"probes\n" + unit, Align::right}});
    const auto cell = [&](const std::optional<double>& error_k) { return error_k ? difference_number(*error_k, units, 2) : "-"; };
    for (const tune::BakeError& error : result.errors)
        table.add({one_line(error.bake), fmt::format("{}", error.channels), difference_number(error.before_k, units, 2),
                   cell(error.used_k), cell(error.held_out_k), difference_number(error.probe_standard_k, units, 2)},
                  error.held_out_parts > 0 ? "held out: each quarter of its time in turn, tuned on the rest" : "");
    return table;
}

Table tuned_probe_table(const tune::TuneResult& result, const Units& units) {
    const std::string unit = difference_symbol(units);
    Table table({{"bake", Align::left, true},
                 {"channel", Align::left, true},
                 {"reads high by\n" + unit, Align::right},
                 {"share of\nthe air", Align::right},
                 {"lag\ns", Align::right}});
    for (const tune::TunedProbe& probe : result.probes)
        table.add(
            {one_line(probe.bake), one_line(probe.channel),
             fmt::format("{} ± {}", difference_number(probe.offset_k, units), difference_number(probe.offset_standard_k, units)),
             probe.air_share ? fmt::format("{:.0f} ± {:.0f} %", 100.0 * *probe.air_share, 100.0 * *probe.air_share_standard)
                             : "-",
             probe.lag_s ? fmt::format("{:.0f} ± {:.0f}", *probe.lag_s, *probe.lag_standard_s) : "-"});
    return table;
}

std::vector<std::string> untold_sentences(const tune::TuneResult& result) {
    std::vector<std::string> sentences;
    for (const Phrase& combination : result.weak) {
        if (sentences.size() == kMostCombinations) {
            sentences.push_back(fmt::format("and {} more.", result.weak.size() - kMostCombinations));
            break;
        }
        sentences.push_back(fmt::format("{}: the priors say more than the logs do.", combination.text()));
    }
    for (const auto& [first, second, correlation] : result.correlated)
        sentences.push_back(fmt::format("{} and {} move together (correlation {:.2f}): their {} is known better than either.",
                                        first.text(), second.text(), correlation, correlation < 0.0 ? "product" : "ratio"));
    return sentences;
}

std::string tuning_sentence(const tune::TuneResult& result, const Units& units) {
    double square = 0.0, used = 0.0;
    for (const tune::BakeError& error : result.errors)
        if (error.used_k) square += error.before_k * error.before_k, used += 1.0;
    if (used == 0.0) return {};
    std::string text = fmt::format("Predictions of the bakes that were used were {} off; tuned on them, {}",
                                   k_text(std::sqrt(square / used), units), k_text(*result.used_k(), units));
    if (result.held_out_k())
        text +=
            fmt::format("; on what was held out, {}: about what to expect of the next bake", k_text(*result.held_out_k(), units));
    return text + ".";
}

std::string_view tunable_words(tune::Tunable tunable) noexcept {
    switch (tunable) {
        case tune::Tunable::film:
            return "how strong the air is along each group of zones";
        case tune::Tunable::zones:
            return "how each probed zone differs from its group, and the air along it from the rest";
        case tune::Tunable::modes:
            return "what the fans do in flash-off, purge and cool-down";
        case tune::Tunable::links:
            return "joints: how well probed zones are joined to what is beside them";
        case tune::Tunable::masses:
            return "weight: how heavy each probed zone is";
        case tune::Tunable::vertical:
            return "how much hotter the air is high up than low down";
        case tune::Tunable::walls:
            return "how much cooler walls, ceiling and floor are than the air";
        case tune::Tunable::air:
            return "air vs set point; fresh air and burner";
        case tune::Tunable::cavities:
            return "closed spaces: how they leak, how their air moves";
    }
    return {};
}

std::vector<std::string> suspect_sentences(const std::vector<tune::ChannelFinding>& suspects, const Units& units) {
    std::vector<std::string> sentences;
    for (const tune::ChannelFinding& suspect : suspects)
        sentences.push_back(fmt::format("{}: the probe of {}.", suspect.bake, fault_sentence(suspect, units)));
    return sentences;
}

std::string tuning_text(const tune::TuneResult& result, const TextOptions& options) {
    std::string text = list_text("Channels left out", suspect_sentences(result.suspects, options.units), options);
    const auto add = [&](const std::string& block) {
        if (block.empty()) return;
        if (!text.empty()) text += '\n';
        text += block;
    };
    add(table_block(kTunedNumbersTitle, tuned_number_table(result, options.units), options));
    add(table_block("How far predictions are off (root mean square over the logged samples)",
                    tuning_error_table(result, options.units), options));
    add(table_block("Probes", tuned_probe_table(result, options.units), options));
    add(list_text("What the logs could not separate", untold_sentences(result), options));
    add(list_text("Warnings", texts_of(result.warnings), options));
    return text;
}

}  // namespace bakewright::report
