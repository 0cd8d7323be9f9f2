// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/comparison_text.hpp"

#include <fmt/core.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/tables.hpp"
#include "bakewright/report/text.hpp"
#include "json_records.hpp"

namespace bakewright::report {

namespace {

/// Reading between samples errs by less in any prediction that is kept often enough.
constexpr double kWorthTellingK = 0.05;

/// Rounded down, so that "100" is all of them.
std::string percent_inside(const tune::ChannelAgreement& channel) {
    return fmt::format("{}", channel.samples > 0 ? 100 * channel.inside / channel.samples : 0);
}

}  // namespace

Table agreement_table(const tune::Agreement& agreement, const Units& units) {
    const std::string kelvin = difference_symbol(units);
    Table table({{.head = "Channel", .may_wrap = true},
                 {.head = "Inside\n%", .align = Align::right},
                 {.head = "Probe\n" + kelvin, .align = Align::right},
                 {.head = "Attach.\n" + kelvin, .align = Align::right},
                 {.head = "Model\nbelow\n" + kelvin, .align = Align::right},
                 {.head = "Model\nabove\n" + kelvin, .align = Align::right},
                 {.head = "Beyond\n" + kelvin, .align = Align::right},
                 {.head = "at\nh:mm", .align = Align::right}});
    for (const tune::ChannelAgreement& channel : agreement.channels) {
        const bool any_beyond = channel.inside < channel.samples;
        table.add({one_line(channel.channel), Cell(percent_inside(channel), channel.agrees() ? Mark::none : Mark::strong),
                   difference_number(channel.probe_k, units), difference_number(channel.attachment_k, units),
                   difference_number(channel.below_k, units), difference_number(channel.above_k, units),
                   any_beyond ? difference_number(channel.largest_excess_k, units) : std::string("none"),
                   any_beyond ? elapsed_text(channel.largest_excess_at_s) : std::string("n/a")});
    }
    return table;
}

std::vector<std::string> agreement_sentences(const tune::Agreement& agreement, const Units& units) {
    if (agreement.channels.empty()) return {};
    std::vector<std::string> apart;
    double interpolation_k = 0.0;
    for (const tune::ChannelAgreement& channel : agreement.channels) {
        interpolation_k = std::max(interpolation_k, channel.interpolation_k);
        if (!channel.agrees()) apart.push_back(channel.channel);
    }
    std::vector<std::string> sentences;
    sentences.push_back(
        apart.empty() ? fmt::format("All {} channels agree within what probe and model may be off.", agreement.channels.size())
                      : fmt::format("{} of {} channels agree within what probe and model may be off. Not: {}.",
                                    agreement.channels.size() - apart.size(), agreement.channels.size(), fmt::join(apart, ", ")));
    sentences.emplace_back(
        "Inside are samples at which prediction and log can be of one temperature, where the probe is off by up to its tolerance "
        "and its attachment's error on the unsafe side, and the model by up to the band that holds 90 % of the simulated bakes. "
        "A "
        "channel "
        "agrees where 95 % of its samples are inside. Beyond: prediction hotter than the log where positive.");
    if (interpolation_k >= kWorthTellingK)
        sentences.push_back(fmt::format("Reading the prediction between its samples errs by up to {}, which is allowed for too.",
                                        format_temperature_difference(interpolation_k, units, 2)));
    sentences.push_back(fmt::format("Probes: {}.", agreement.probes_origin));
    sentences.push_back(fmt::format("Model: {}.", agreement.model_origin));
    return sentences;
}

std::string agreement_text(const tune::Agreement& agreement, const TextOptions& options) {
    const std::string table = table_block(kAgreementCaption, agreement_table(agreement, options.units), options);
    if (table.empty()) return {};
    return table + "\n" + list_text("What that says", agreement_sentences(agreement, options.units), options);
}

std::string stage_difference_text(const std::vector<tune::StageDifference>& differences, const TextOptions& options) {
    const std::string unit = difference_symbol(options.units);
    Table table({{"channel", Align::left, true},
                 {"stage"},
                 {"samples", Align::right},
                 {"bias\n" + unit, Align::right},
                 {"RMS\n" + unit, Align::right},
                 {"drift\n" + unit + "/min", Align::right}});
    for (const tune::StageDifference& one : differences)
        table.add({one_line(one.channel), std::string(stage_words(one.kind)), std::to_string(one.samples),
                   difference_number(one.bias_k, options.units, 2), difference_number(one.rms_k, options.units, 2),
                   difference_number(60.0 * one.slope_k_per_s, options.units, 2)});
    return table_block("By stage: bias in the hold is the plateau's error, drift in the ramp the heating rate's", table, options);
}

Json json_of(const std::vector<tune::StageDifference>& differences) {
    Json list = Json::array();
    for (const tune::StageDifference& one : differences)
        list.push_back({{"channel", one.channel},
                        {"stage", std::string(word_of(one.kind))},
                        {"samples", one.samples},
                        {"bias_k", number_or_null(one.bias_k)},
                        {"rms_k", number_or_null(one.rms_k)},
                        {"slope_k_per_s", number_or_null(one.slope_k_per_s)}});
    return list;
}

namespace {

using Kind = tune::Cause::Kind;
constexpr std::size_t kMostCauses = 5;

std::string words_of(const tune::Cause& cause, const Units& units) {
    const std::string difference = format_temperature_difference(std::abs(cause.value), units);
    switch (cause.kind) {
        case Kind::air:
            return fmt::format("air {} {} than set or logged", difference, cause.value > 0.0 ? "hotter" : "colder");
        case Kind::film:
            return fmt::format("air {:.2f} times as strong as stated", cause.value);
        case Kind::mass:
            return fmt::format("zones {:.2f} times as heavy as stated", cause.value);
        case Kind::links:
            return fmt::format("joints {:.2f} times as good as stated", cause.value);
        case Kind::loose_probe:
            return fmt::format("the probe of {} reading {:.0f} % of the way to the air", cause.channel, 100.0 * cause.value);
        case Kind::probe_offset:
            return fmt::format("the probe of {} reading {} too {}", cause.channel, difference,
                               cause.value > 0.0 ? "high" : "low");
    }
    return {};
}

const char* kind_name(Kind kind) noexcept {
    constexpr const char* kNames[]{"air", "film", "mass", "links", "loose_probe", "probe_offset"};
    return kNames[static_cast<std::size_t>(kind)];
}

}  // namespace

std::string cause_sentence(const tune::Cause& cause, const Units& units) {
    return fmt::format("{}: explains {:.0f} % of the difference (mean square)", words_of(cause, units), 100.0 * cause.explained);
}

std::string cause_text(const std::vector<tune::Cause>& causes, const TextOptions& options) {
    std::vector<std::string> sentences;
    for (std::size_t i = 0; i < std::min(causes.size(), kMostCauses); ++i)
        sentences.push_back(cause_sentence(causes[i], options.units));
    return list_text("What may be behind it, each alone (hints, not findings)", sentences, options);
}

Json json_of(const std::vector<tune::Cause>& causes) {
    Json list = Json::array();
    for (const tune::Cause& cause : causes)
        list.push_back({{"cause", kind_name(cause.kind)},
                        {"channel", cause.channel.empty() ? Json(nullptr) : Json(cause.channel)},
                        {"value", number_or_null(cause.value)},
                        {"explained", number_or_null(cause.explained)}});
    return list;
}

namespace {

/// What one side says of a zone or an item.
struct Side {
    cure::Word word = cure::Word::not_judged;
    std::string words = "n/a";
    std::string dose = "n/a";
    std::string peak = "n/a";
};

/// Never "100 %": nothing is that sure.
int percent_of(double probability) { return std::min(99, static_cast<int>(std::floor(100.0 * probability))); }

std::string words_of(cure::Word word, const std::optional<cure::Certainty>& certainty) {
    if (!certainty) return std::string(cure::word_text(word));
    const std::string best(cure::word_text(certainty->best));
    if (certainty->too_close) return fmt::format("too close to call ({} {} %)", best, percent_of(certainty->probability));
    return fmt::format("{} {} %", best, percent_of(certainty->probability));
}

Side side_of(const cure::ZoneVerdict& zone, const Units& units) {
    if (zone.word == cure::Word::not_judged) return {zone.word, words_of(zone.word, {})};
    return {zone.word, words_of(zone.word, zone.certainty), fixed(zone.dose.at_value, 2),
            temperature_number(zone.peak_temperature_k, units)};
}

Side side_of(const cure::ItemVerdict& item, const Units& units) {
    if (item.word == cure::Word::not_judged) return {item.word, words_of(item.word, {})};
    return {item.word, words_of(item.word, item.certainty), "n/a", temperature_number(item.peak_temperature_k, units)};
}

/// Adds what is in either list, in the order of the first, then what the second has alone.
template <typename Verdict>
void add_rows(Table& table, const std::vector<Verdict>& predicted, const std::vector<Verdict>& logged, std::string Verdict::*name,
              const Units& units) {
    const auto find = [&](const std::vector<Verdict>& all, const std::string& wanted) {
        const auto at = std::find_if(all.begin(), all.end(), [&](const Verdict& one) { return one.*name == wanted; });
        return at == all.end() ? Side{} : side_of(*at, units);
    };
    std::vector<std::string> names;
    for (const auto* side : {&logged, &predicted})
        for (const Verdict& one : *side)
            if (std::find(names.begin(), names.end(), one.*name) == names.end()) names.push_back(one.*name);
    for (const std::string& one : names) {
        const Side first = find(predicted, one), second = find(logged, one);
        const Mark mark = first.word == second.word ? Mark::none : Mark::strong;
        table.add(
            {one_line(one), Cell(first.words, mark), Cell(second.words, mark), first.dose, second.dose, first.peak, second.peak});
    }
}

}  // namespace

Table verdict_pair_table(const cure::BakeVerdict& predicted, const cure::BakeVerdict& logged, const Units& units) {
    const std::string degree(temperature_symbol(units));
    Table table({{.head = "Zone or item", .may_wrap = true},
                 {.head = "Predicted", .may_wrap = true},
                 {.head = "Logged", .may_wrap = true},
                 {.head = "Dose\npredicted", .align = Align::right},
                 {.head = "Dose\nlogged", .align = Align::right},
                 {.head = "Peak\npredicted\n" + degree, .align = Align::right},
                 {.head = "Peak\nlogged\n" + degree, .align = Align::right}});
    add_rows(table, predicted.zones, logged.zones, &cure::ZoneVerdict::zone, units);
    add_rows(table, predicted.items, logged.items, &cure::ItemVerdict::item, units);
    return table;
}

std::string verdict_pair_text(const cure::BakeVerdict& predicted, const cure::BakeVerdict& logged, const TextOptions& options) {
    return table_block("Verdicts side by side, with how sure they are", verdict_pair_table(predicted, logged, options.units),
                       options);
}

}  // namespace bakewright::report
