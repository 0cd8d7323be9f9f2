#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "bakewright/cure/reason.hpp"
#include "bakewright/report/shell_text.hpp"
#include "bakewright/report/tables.hpp"
#include "numbers.hpp"

namespace bakewright::report {
namespace {

using CoatSpan = std::vector<const cure::CoatVerdict*>;

/// The verdicts of each coat, the coat with the worst zone first; within a coat the worst zone first, as judged.
std::vector<CoatSpan> by_coat(const cure::ShellVerdict& verdict) {
    std::vector<CoatSpan> coats;
    for (const cure::CoatVerdict& coat : verdict.coats) {
        auto span = std::find_if(coats.begin(), coats.end(),
                                 [&](const CoatSpan& one) { return one.front()->coat_index == coat.coat_index; });
        if (span == coats.end()) span = coats.emplace(coats.end());
        span->push_back(&coat);
    }
    return coats;
}

Cell word_cell(cure::Word word) { return {std::string(cure::word_text(word)), mark_of(word)}; }

/// "3 UNDER, 9 GOOD"
std::string count_words(const CoatSpan& zones) {
    constexpr std::array kWorstFirst = {cure::Word::over, cure::Word::under, cure::Word::check, cure::Word::not_judged,
                                        cure::Word::good};
    std::string text;
    for (const cure::Word word : kWorstFirst) {
        const auto count = std::count_if(zones.begin(), zones.end(), [&](const auto* zone) { return zone->total.word == word; });
        if (count > 0) text += fmt::format("{}{} {}", text.empty() ? "" : ", ", count, cure::word_text(word));
    }
    return text;
}

std::string worth(const cure::ZoneVerdict& zone) {
    const std::string least = minutes_number(zone.equivalent_time_s.least(), 0);
    const std::string most = minutes_number(zone.equivalent_time_s.most(), 0);
    return fmt::format("{} of {}", least == most ? least : least + " to " + most, minutes_number(zone.reference_minimum_s, 0));
}

std::string bake_or_dash(const cure::ShellVerdict& verdict, const std::optional<std::size_t>& bake) {
    return bake ? verdict.bake_names[*bake] : "-";
}

/// The bake after which every zone of a coat was cured; nothing where one is not.
std::optional<std::size_t> all_cured_in(const CoatSpan& zones) {
    std::optional<std::size_t> latest;
    for (const cure::CoatVerdict* zone : zones) {
        if (!zone->cured_in) return std::nullopt;
        latest = std::max(latest.value_or(0), *zone->cured_in);
    }
    return latest;
}

std::string exposure(const cure::LimitReading& reading, const Units& units) {
    const std::string at = format_temperature(reading.limit.temperature_k, units, 0);
    const char* scope = reading.limit.scope == cure::ExposureScope::lifetime ? " in all" : "";
    if (reading.limit.kind == cure::LimitKind::warn)
        return fmt::format("{} at {}, a warning", minutes_number(reading.exposed_s, 0), at);
    if (reading.limit.allowed_s <= 0.0) return fmt::format("{} at {}, never", minutes_number(reading.exposed_s, 0), at);
    return fmt::format("{} of {} at {}{}", minutes_number(reading.exposed_s, 0), minutes_number(reading.limit.allowed_s, 0), at,
                       scope);
}

std::string exposures(const cure::ItemVerdict& item, const Units& units) {
    std::string text;
    for (const cure::LimitReading& reading : item.limits) text += (text.empty() ? "" : "; ") + exposure(reading, units);
    return text;
}

std::string names_of(const std::vector<std::size_t>& bakes, const cure::ShellVerdict& verdict) {
    std::string text;
    for (const std::size_t bake : bakes) {
        const std::string& name = verdict.bake_names[bake];
        text += (text.empty() ? "" : ", ") + (name.starts_with("bake ") ? name.substr(5) : name);  // the head says "bake"
    }
    return text.empty() ? "none" : text;
}

}  // namespace

Table coat_table(const cure::ShellVerdict& verdict, const Units& units) {
    Table table({{.head = "Coat", .may_wrap = true},
                 {.head = "Verdict"},
                 {.head = "Zones", .may_wrap = true},
                 {.head = "Worst zone", .may_wrap = true},
                 {.head = "Worth\nmin of asked", .align = Align::right},
                 {.head = "All cured\nin"}});
    for (const CoatSpan& zones : by_coat(verdict)) {
        const cure::CoatVerdict& worst = *zones.front();
        const bool good = worst.total.word == cure::Word::good && worst.covered_by.empty();
        table.add({worst.coat, word_cell(worst.total.word), count_words(zones), worst.total.zone, worth(worst.total),
                   bake_or_dash(verdict, all_cured_in(zones))},
                  good ? std::string() : as_sentence(cure::reason_text(worst, verdict.bake_names, units)));
    }
    return table;
}

Table coat_zone_table(const cure::ShellVerdict& verdict, const Units& units) {
    Table table({{.head = "Coat", .may_wrap = true},
                 {.head = "Zone", .may_wrap = true},
                 {.head = "Verdict"},
                 {.head = "Worth\nmin of asked", .align = Align::right},
                 {.head = "Peak\n" + std::string(temperature_symbol(units)), .align = Align::right},
                 {.head = "in"},
                 {.head = "Cured in"}});
    for (const cure::CoatVerdict& coat : verdict.coats) {
        const cure::ZoneVerdict& zone = coat.total;
        table.add({coat.coat, zone.zone, word_cell(zone.word), worth(zone),
                   coat.peak_in ? temperature_number(zone.peak_temperature_k, units) : "n/a", bake_or_dash(verdict, coat.peak_in),
                   bake_or_dash(verdict, coat.cured_in)},
                  as_sentence(cure::reason_text(coat, verdict.bake_names, units)));
    }
    return table;
}

Table item_history_table(const cure::ShellVerdict& verdict, const Units& units) {
    Table table({{.head = "Item", .may_wrap = true},
                 {.head = "Verdict"},
                 {.head = "Aboard\nin bake"},
                 {.head = "Peak\n" + std::string(temperature_symbol(units)), .align = Align::right},
                 {.head = "At or above its limits\nmin of allowed", .may_wrap = true}});
    for (const cure::ItemHistoryVerdict& item : verdict.items) {
        if (item.aboard.empty()) continue;
        const bool seen = item.total.peak_temperature_k > 0.0;
        table.add({item.total.item, word_cell(item.total.word), names_of(item.aboard, verdict),
                   seen ? temperature_number(item.total.peak_temperature_k, units) : "n/a", exposures(item.total, units)},
                  as_sentence(cure::reason_text(item, verdict.bake_names, units)));
    }
    return table;
}

std::vector<std::string> removal_sentences(const cure::ShellVerdict& verdict, const Units& units) {
    std::vector<std::string> sentences;
    for (const cure::ItemHistoryVerdict& item : verdict.items)
        if (item.remove_before)
            sentences.push_back(fmt::format("{}: {}.", item.total.item, cure::reason_text(item, verdict.bake_names, units)));
    return sentences;
}

}  // namespace bakewright::report
