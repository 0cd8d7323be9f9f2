// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <utility>

#include "bakewright/cure/confidence.hpp"
#include "bakewright/cure/reason.hpp"
#include "bakewright/report/tables.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

namespace {

std::string joined(const std::vector<std::string>& names) {
    std::string out;
    for (const std::string& name : names) out += (out.empty() ? "" : ", ") + name;
    return out;
}

std::string activation_energy_sentence(const cure::BakeVerdict& verdict) {
    const cure::ActivationEnergy& energy = verdict.activation_energy;
    const auto kilojoule = [](double j_per_mol) { return fixed(j_per_mol / 1000.0, 0); };
    return fmt::format(
        "Equivalent minutes are the heat received, restated at the schedule's first temperature. Activation energy {} kJ/mol "
        "({} to {}), {}.",
        kilojoule(energy.value_j_per_mol), kilojoule(energy.low_j_per_mol), kilojoule(energy.high_j_per_mol),
        verdict.activation_energy_origin.empty() ? "origin not recorded" : verdict.activation_energy_origin);
}

struct Place {
    std::string name;
    std::string reason;
};

/// The first place, zones before items, that has the word.
std::optional<Place> first_place(const cure::BakeVerdict& verdict, cure::Word word, const Units& units) {
    for (const cure::ZoneVerdict& zone : verdict.zones)
        if (zone.word == word) return Place{zone.zone, cure::reason_text(zone, units)};
    for (const cure::ItemVerdict& item : verdict.items)
        if (item.word == word) return Place{item.item, cure::reason_text(item, units)};
    return std::nullopt;
}

}  // namespace

std::vector<std::string> unmatched_sentences(const tune::Comparison& comparison) {
    std::vector<std::string> sentences;
    if (!comparison.unmatched_predicted.empty())
        sentences.push_back("Predicted but not logged: " + joined(comparison.unmatched_predicted) + ".");
    if (!comparison.unmatched_logged.empty())
        sentences.push_back("Logged but not predicted: " + joined(comparison.unmatched_logged) + ".");
    return sentences;
}

std::vector<std::string> split_sentences(const std::vector<bake::SplitZone>& splits) {
    std::vector<std::string> sentences;
    for (const bake::SplitZone& split : splits)
        sentences.push_back(fmt::format("{}: computed in {} layers through its thickness, Biot number {}{}{}", split.zone,
                                        split.nodes, fixed(split.biot, 2), split.reason.empty() ? "." : ". ", split.reason));
    return sentences;
}

std::string as_sentence(std::string text) {
    if (text.empty()) return text;
    if (text.front() >= 'a' && text.front() <= 'z') text.front() = static_cast<char>(text.front() - 'a' + 'A');
    return text.ends_with('.') ? text : text + '.';
}

namespace {

/// Where the limits of items come from, the names of those that share one together.
std::vector<std::string> limit_sentences(const std::vector<cure::ItemVerdict>& items) {
    std::vector<std::pair<std::string, std::string>> by_source;  // source, names; in the order of the verdict
    for (const cure::ItemVerdict& item : items) {
        if (item.limit_source.empty()) continue;
        const auto known = std::ranges::find(by_source, item.limit_source, &std::pair<std::string, std::string>::first);
        if (known == by_source.end())
            by_source.emplace_back(item.limit_source, item.item);
        else
            known->second += ", " + item.item;
    }
    std::vector<std::string> sentences;
    for (const auto& [source, names] : by_source) sentences.push_back(as_sentence("limits of " + names + ": " + source));
    return sentences;
}

}  // namespace

std::vector<std::string> verdict_sentences(const cure::BakeVerdict& verdict) {
    std::vector<std::string> sentences;
    if (!verdict.after_bake.empty()) sentences.push_back(as_sentence(verdict.after_bake));
    if (verdict.basis == cure::ScheduleBasis::part)
        sentences.emplace_back("The sheet's schedule means the temperature of the part.");
    for (const Phrase& remark : verdict.remarks) sentences.push_back(as_sentence(remark.text()));
    for (std::string& of_limits : limit_sentences(verdict.items)) sentences.push_back(std::move(of_limits));
    sentences.push_back(activation_energy_sentence(verdict));
    return sentences;
}

std::vector<std::string> conversion_sentences(const cure::BakeVerdict& verdict, const Units& units) {
    std::vector<std::string> sentences;
    for (const cure::ZoneVerdict& zone : verdict.zones)
        if (zone.conversion) sentences.push_back(fmt::format("{}: {}.", zone.zone, cure::conversion_text(zone, units)));
    return sentences;
}

std::vector<std::string> question_sentences(const cure::BakeVerdict& verdict) {
    std::vector<std::string> sentences;
    for (const std::string& question : verdict.questions) sentences.push_back(as_sentence(question));
    return sentences;
}

namespace {

std::string warning_sentence(const cure::HeatWarning& warning, const Units& units) {
    return as_sentence(fmt::format("{}: {}", cure::heat_warning_text(warning.kind), cure::reason_text(warning, units)));
}

}  // namespace

std::vector<std::string> warning_sentences(const cure::BakeVerdict& verdict, const Units& units) {
    std::vector<std::string> sentences;
    for (const cure::HeatWarning& warning : verdict.warnings)
        if (!cure::is_about_flash_off(warning.kind)) sentences.push_back(warning_sentence(warning, units));
    return sentences;
}

std::string worst_place_sentence(const cure::BakeVerdict& verdict, const Units& units) {
    std::string first;
    for (const cure::HeatWarning& warning : verdict.warnings)
        if (cure::is_about_flash_off(warning.kind)) first += "CHECK: " + warning_sentence(warning, units) + " ";
    for (const cure::Word word : {cure::Word::over, cure::Word::under, cure::Word::check, cure::Word::not_judged})
        if (const std::optional<Place> place = first_place(verdict, word, units))
            return first + fmt::format("{}: {}. {}", cure::word_text(word), place->name, as_sentence(place->reason));
    if (verdict.zones.empty() && verdict.items.empty()) return first + "NOT JUDGED: there was no zone and no item to judge.";
    return first + fmt::format("{}: every one of {} zones and {} items.", first.empty() ? "GOOD" : "Cure and heat are GOOD",
                               verdict.zones.size(), verdict.items.size());
}

namespace {

/// A coat's zones in doubt beyond these are counted, not named, unless every zone is asked for.
constexpr std::size_t kNamedInDoubt = 2;

std::string percent(double probability) {
    return probability > 0.995 ? "over 99 %" : fmt::format("{:.0f} %", 100.0 * probability);
}

/// Gathers who is sure and who is not.
class Doubts {
public:
    template <class Verdict>
    void add(const std::string& name, const Verdict& verdict, const Units& units) {
        ++count_;
        if (!verdict.certainty) return;
        if (verdict.certainty->too_close) {
            in_doubt_.push_back(
                {verdict.certainty->probability, fmt::format("{}: {}.", name, cure::certainty_text(verdict, units))});
            return;
        }
        ++sure_;
        least_ = std::min(least_, verdict.certainty->probability);
    }
    /// Least sure first.
    void put(std::vector<std::string>& sentences, const char* what, std::size_t most_named) {
        std::stable_sort(in_doubt_.begin(), in_doubt_.end(),
                         [](const auto& one, const auto& other) { return one.first < other.first; });
        const std::size_t named = std::min(most_named, in_doubt_.size());
        for (std::size_t i = 0; i < named; ++i) sentences.push_back(in_doubt_[i].second);
        if (in_doubt_.size() > named)
            sentences.push_back(fmt::format("{} more {} too close to call; --every-zone names them.", in_doubt_.size() - named,
                                            in_doubt_.size() - named == 1 ? "is" : "are"));
        if (sure_ > 0)
            sentences.push_back(fmt::format("{} of {} {} {} sure, the least sure of them {}.", sure_, count_, what,
                                            sure_ == 1 ? "is" : "are", percent(least_)));
    }

private:
    std::size_t count_ = 0, sure_ = 0;
    double least_ = 1.0;
    std::vector<std::pair<double, std::string>> in_doubt_;
};

constexpr std::size_t kAll = static_cast<std::size_t>(-1);

}  // namespace

std::vector<std::string> certainty_sentences(const cure::BakeVerdict& verdict, const Units& units) {
    std::vector<std::string> sentences;
    Doubts zones, items;
    for (const cure::ZoneVerdict& zone : verdict.zones) zones.add(zone.zone, zone, units);
    for (const cure::ItemVerdict& item : verdict.items) items.add(item.item, item, units);
    zones.put(sentences, "zones", kAll);
    items.put(sentences, "items", kAll);
    if (verdict.chance)
        sentences.push_back(
            fmt::format("{} sure that every coated zone cures and nothing gets too hot.", percent(*verdict.chance)));
    if (verdict.uncertainty_origin.empty()) return sentences;
    const std::string standard = verdict.standard_uncertainty_k > 0.0
                                     ? fmt::format(": standard uncertainty {} of each trace as a whole",
                                                   format_temperature_difference(verdict.standard_uncertainty_k, units))
                                     : std::string();
    sentences.push_back(
        fmt::format("Calculated with {}{}. A word counts as sure at 95 % or more.", verdict.uncertainty_origin, standard));
    return sentences;
}

std::vector<std::string> certainty_sentences(const cure::ShellVerdict& verdict, const Units& units, bool every_zone) {
    std::vector<std::string> sentences;
    std::vector<std::size_t> told;
    for (const cure::CoatVerdict& first : verdict.coats) {
        if (std::ranges::find(told, first.coat_index) != told.end()) continue;
        told.push_back(first.coat_index);
        Doubts zones;
        for (const cure::CoatVerdict& coat : verdict.coats)
            if (coat.coat_index == first.coat_index) zones.add(coat.coat + " on " + coat.total.zone, coat.total, units);
        zones.put(sentences, ("zones of " + first.coat).c_str(), every_zone ? kAll : kNamedInDoubt);
    }
    Doubts items;
    for (const cure::ItemHistoryVerdict& item : verdict.items)
        if (!item.aboard.empty()) items.add(item.total.item, item.total, units);
    items.put(sentences, "items", kAll);
    if (!verdict.uncertainty_origins.empty())
        sentences.push_back(fmt::format("Calculated with {}. A word counts as sure at 95 % or more.",
                                        fmt::join(verdict.uncertainty_origins, "; and with ")));
    return sentences;
}

}  // namespace bakewright::report
