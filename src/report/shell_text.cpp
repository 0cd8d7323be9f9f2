// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/shell_text.hpp"

#include <fmt/core.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "bakewright/cure/reason.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/tables.hpp"
#include "bakewright/report/text.hpp"
#include "json_records.hpp"

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
                 {.head = "Equivalent min\n/ required", .align = Align::right},
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
                 {.head = "Equivalent min\n/ required", .align = Align::right},
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
                 {.head = "In\nbake"},
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

std::vector<std::string> window_sentences(const cure::ShellVerdict& verdict) {
    std::vector<std::string> sentences;
    for (const cure::RecoatWarning& warning : verdict.recoats) sentences.push_back(as_sentence(warning.reason));
    for (const cure::CoatHeatWarning& warning : verdict.heat_warnings) sentences.push_back(as_sentence(warning.reason));
    return sentences;
}

std::vector<std::string> question_sentences(const cure::ShellVerdict& verdict) {
    std::vector<std::string> sentences;
    for (const std::string& question : verdict.questions) sentences.push_back("CHECK: " + as_sentence(question));
    return sentences;
}

std::vector<std::string> remark_sentences(const cure::ShellVerdict& verdict) {
    std::vector<std::string> sentences;
    for (const std::string& remark : verdict.remarks) sentences.push_back(as_sentence(remark));
    return sentences;
}

namespace {

std::string names(const std::vector<std::string>& texts) { return fmt::format("{}", fmt::join(texts, ", ")); }

}  // namespace

std::string coats_text(const std::vector<book::StoredCoat>& coats, const TextOptions& options) {
    if (coats.empty()) return "no coat is kept for this shell\n";
    Table table({{.head = "coat", .align = Align::right},
                 {.head = "sprayed"},
                 {.head = "name", .may_wrap = true},
                 {.head = "over", .may_wrap = true},
                 {.head = "sanded"},
                 {.head = "zones", .may_wrap = true}});
    for (const book::StoredCoat& coat : coats)
        table.add({fmt::format("{}", static_cast<std::int64_t>(coat.id)), minute_text(coat.applied_at), coat.name, coat.over,
                   coat.sanded_at ? minute_text(*coat.sanded_at) : "-", names(coat.zones)},
                  coat.note);
    return table.text(options.style);
}

std::string vehicles_text(const std::vector<book::Vehicle>& vehicles, const TextOptions& options) {
    if (vehicles.empty()) return "no vehicle has a history in this book\n";
    Table table({{.head = "history", .may_wrap = true}, {.head = "job number"}, {.head = "maker's number"}, {.head = "uid"}});
    for (const book::Vehicle& vehicle : vehicles)
        table.add({vehicle.shell, vehicle.job_number.empty() ? "-" : vehicle.job_number,
                   vehicle.maker_number.empty() ? "-" : vehicle.maker_number, vehicle.uid});
    return table.text(options.style);
}

std::string history_text(const std::vector<book::HistoryEntry>& entries, const TextOptions& options) {
    if (entries.empty()) return "no bake counts in this history\n";
    Table table({{.head = "bake", .align = Align::right},
                 {.head = "began"},
                 {.head = "items in", .may_wrap = true},
                 {.head = "zones", .may_wrap = true}});
    for (const book::HistoryEntry& entry : entries)
        table.add({fmt::format("{}", static_cast<std::int64_t>(entry.bake)), minute_text(entry.began_at),
                   entry.items.empty() ? "none" : names(entry.items), entry.zones.empty() ? "all" : names(entry.zones)});
    return table.text(options.style);
}

namespace {

/// The zone of each coat that has used most of its longest time.
std::vector<const cure::CoatVerdict*> most_used(const cure::ShellVerdict& verdict) {
    std::vector<const cure::CoatVerdict*> found;
    for (const cure::CoatVerdict& coat : verdict.coats) {
        const auto same =
            std::find_if(found.begin(), found.end(), [&](const auto* one) { return one->coat_index == coat.coat_index; });
        if (same == found.end())
            found.push_back(&coat);
        else if (coat.total.over_bake_dose.most() > (*same)->total.over_bake_dose.most())
            *same = &coat;
    }
    return found;
}

/// A coat without a single maximum time has no over-bake dose to be told.
bool has_maximum(const cure::CoatVerdict& coat) {
    return std::any_of(coat.total.rows.begin(), coat.total.rows.end(),
                       [](const cure::RowReading& row) { return row.row.maximum_s.has_value(); });
}

std::string used_text(const cure::CoatVerdict& coat) {
    if (!has_maximum(coat)) return "its sheet has no longest time";
    const double used = coat.total.over_bake_dose.most();
    return used > 1.0 ? fmt::format("nothing left: {:.0f} % of its longest time used", 100.0 * used)
                      : fmt::format("{:.0f} % of its longest time left", 100.0 * (1.0 - used));
}

double left_s(const cure::LimitReading& limit) { return std::max(limit.limit.allowed_s - limit.exposed_s, 0.0); }

bool is_lifetime(const cure::LimitReading& limit) {
    return limit.limit.scope == cure::ExposureScope::lifetime && limit.limit.allowed_s > 0.0;
}

}  // namespace

Table remaining_table(const cure::ShellVerdict& verdict, const Units& units) {
    Table table(
        {{"coat or item", Align::left, true}, {"verdict"}, {"where", Align::left, true}, {"what is left", Align::left, true}});
    for (const cure::CoatVerdict* coat : most_used(verdict))
        table.add({one_line(coat->coat), Cell(std::string(cure::word_text(coat->total.word)), mark_of(coat->total.word)),
                   one_line(coat->total.zone), used_text(*coat)});
    for (const cure::ItemHistoryVerdict& item : verdict.items)
        for (const cure::LimitReading& limit : item.total.limits)
            if (is_lifetime(limit))
                table.add({one_line(item.total.item),
                           Cell(std::string(cure::word_text(item.total.word)), mark_of(item.total.word)),
                           "at " + format_temperature(limit.limit.temperature_k, units, 0),
                           fmt::format("{} of {}", format_duration(left_s(limit)), format_duration(limit.limit.allowed_s))});
    return table;
}

std::string remaining_text(const cure::ShellVerdict& verdict, const TextOptions& options) {
    return table_block("What coats and items have left after it", remaining_table(verdict, options.units), options);
}

Json remaining_json(const cure::ShellVerdict& verdict) {
    Json coats = Json::array(), items = Json::array();
    for (const cure::CoatVerdict* coat : most_used(verdict))
        coats.push_back({{"coat", coat->coat},
                         {"word", std::string(cure::word_text(coat->total.word))},
                         {"zone", coat->total.zone},
                         {"share_left", has_maximum(*coat) ? Json(1.0 - coat->total.over_bake_dose.most()) : Json(nullptr)}});
    for (const cure::ItemHistoryVerdict& item : verdict.items)
        for (const cure::LimitReading& limit : item.total.limits)
            if (is_lifetime(limit))
                items.push_back({{"item", item.total.item},
                                 {"word", std::string(cure::word_text(item.total.word))},
                                 {"temperature_k", limit.limit.temperature_k},
                                 {"allowed_s", limit.limit.allowed_s},
                                 {"left_s", left_s(limit)}});
    return {{"coats", std::move(coats)}, {"items", std::move(items)}};
}

std::string reason_text(const plan::CoatOverBaked& coat, const Units& units) {
    if (coat.absolute_maximum_k && coat.peak_k > *coat.absolute_maximum_k)
        return fmt::format("earlier coat, peak of {} over its absolute maximum of {}", format_temperature(coat.peak_k, units),
                           format_temperature(*coat.absolute_maximum_k, units, 0));
    return fmt::format("earlier coat, {:.0f} % of its longest time used before this bake and {:.0f} % after it",
                       100.0 * coat.share_before, 100.0 * coat.share_after);
}

}  // namespace bakewright::report
