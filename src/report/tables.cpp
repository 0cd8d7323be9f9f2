// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/tables.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/reason.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr double kRiseSpanS = 60.0;

double last_usable_k(const cure::JoinedTrace& trace) {
    return trace.size() == 0 ? kNone : trace.temperature_k()[trace.size() - 1];
}

ZoneSummary summarize_trace(const Trace& trace, std::optional<double> arrival_k) {
    const cure::JoinedTrace joined(trace);
    const auto peak = cure::peak(joined);
    ZoneSummary summary{.name = trace.name,
                        .role = trace.role,
                        .peak_temperature_k = peak ? peak->temperature_k : kNone,
                        .peak_at_s = peak ? peak->at_s : kNone,
                        .end_temperature_k = last_usable_k(joined),
                        .reached_at_s = {},
                        .steepest_rate_k_per_s = {}};
    if (arrival_k) summary.reached_at_s = cure::stay_at_or_above(joined, *arrival_k).first_up_s;
    if (const auto rise = cure::steepest_rise(joined, kRiseSpanS)) summary.steepest_rate_k_per_s = rise->rate_k_per_s;
    return summary;
}

int group_of(TraceRole role) {
    switch (role) {
        case TraceRole::booth_air:
            return 0;
        case TraceRole::booth_wall:
            return 1;
        case TraceRole::zone:
        case TraceRole::test_panel:
            return 2;
        default:
            return 3;
    }
}

/// Later than ever for a zone that never arrives; among those the coldest first.
bool arrives_later(const ZoneSummary& a, const ZoneSummary& b) {
    const double never = std::numeric_limits<double>::infinity();
    const double a_s = a.reached_at_s.value_or(never);
    const double b_s = b.reached_at_s.value_or(never);
    return a_s != b_s ? a_s > b_s : a.peak_temperature_k < b.peak_temperature_k;
}

}  // namespace

std::optional<double> arrival_temperature_k(const std::vector<bake::ResolvedStage>& stages) {
    std::optional<double> held_k;
    std::optional<double> any_k;
    for (const bake::ResolvedStage& stage : stages) {
        any_k = std::max(any_k.value_or(stage.end_k), stage.end_k);
        if (stage.kind == bake::StageKind::hold) held_k = std::max(held_k.value_or(stage.end_k), stage.end_k);
    }
    const std::optional<double> highest_k = held_k ? held_k : any_k;
    if (!highest_k) return std::nullopt;
    return *highest_k - kArrivedBelowHoldK;
}

std::vector<ZoneSummary> summarize(const TraceSet& traces, std::optional<double> arrival_k) {
    std::vector<ZoneSummary> summaries;
    for (const Trace& trace : traces.traces) summaries.push_back(summarize_trace(trace, arrival_k));
    std::stable_sort(summaries.begin(), summaries.end(), [](const ZoneSummary& a, const ZoneSummary& b) {
        const int group_a = group_of(a.role);
        const int group_b = group_of(b.role);
        if (group_a != group_b) return group_a < group_b;
        return group_a == 2 && arrives_later(a, b);
    });
    return summaries;
}

namespace {

std::string degree(const Units& units) { return std::string(temperature_symbol(units)); }

std::string role_words(const std::string& name, TraceRole role) {
    switch (role) {
        case TraceRole::booth_air:
            return "booth";
        case TraceRole::booth_wall:
            return name == word_of(bake::BoothSurface::ceiling) ? "ceiling"
                   : name == word_of(bake::BoothSurface::floor) ? "floor"
                                                                : "wall";
        case TraceRole::zone:
            return "zone";
        case TraceRole::cavity_air:
            return "inside";
        case TraceRole::item:
            return "item";
        case TraceRole::test_panel:
            return "panel";
        case TraceRole::unmapped:
            break;
    }
    return "unmapped";
}

/// Over before under before check before what could not be judged before good.
int severity(cure::Word word) {
    constexpr std::array kWorstFirst = {cure::Word::over, cure::Word::under, cure::Word::check, cure::Word::not_judged,
                                        cure::Word::good};
    return static_cast<int>(std::find(kWorstFirst.begin(), kWorstFirst.end(), word) - kWorstFirst.begin());
}

template <typename Judged>
std::vector<Judged> worst_first(std::vector<Judged> judged) {
    std::stable_sort(judged.begin(), judged.end(),
                     [](const Judged& a, const Judged& b) { return severity(a.word) < severity(b.word); });
    return judged;
}

std::string least_to_most(const cure::Band& band) {
    const std::string least = minutes_number(band.least(), 0);
    const std::string most = minutes_number(band.most(), 0);
    return least == most ? least : fmt::format("{} to {}", least, most);
}

std::string equivalent_words(const cure::ZoneVerdict& zone) {
    if (zone.word == cure::Word::not_judged) return "n/a";
    return fmt::format("{} of {}", least_to_most(zone.equivalent_time_s), minutes_number(zone.reference_minimum_s, 0));
}

/// The schedule row that comes nearest to being met: the one of which the smallest share is missing.
const cure::RowReading* nearest_row(const cure::ZoneVerdict& zone) {
    const auto share = [](const cure::RowReading& row) { return row.missing_s / row.row.minimum_s; };
    const auto found =
        std::min_element(zone.rows.begin(), zone.rows.end(), [&](const auto& a, const auto& b) { return share(a) < share(b); });
    return found == zone.rows.end() ? nullptr : &*found;
}

std::string stay_words(const cure::ZoneVerdict& zone, const Units& units) {
    const cure::RowReading* row = nearest_row(zone);
    if (zone.word == cure::Word::not_judged || row == nullptr) return "n/a";
    return fmt::format("{} of {} at {}", minutes_number(row->longest_stay_s, 0), minutes_number(row->row.minimum_s, 0),
                       format_temperature(row->row.temperature_k, units, 0));
}

std::string peak_number(double temperature_k, cure::Word word, const Units& units) {
    return word == cure::Word::not_judged ? "n/a" : temperature_number(temperature_k, units);
}

std::string limit_words(const cure::LimitReading& reading, const Units& units) {
    const std::string at = format_temperature(reading.limit.temperature_k, units, 0);
    const std::string exposed = minutes_number(reading.exposed_s, 0);
    if (reading.limit.kind == cure::LimitKind::warn) return fmt::format("{} min at {}, a warning", exposed, at);
    if (reading.limit.kind == cure::LimitKind::never_inside)
        return fmt::format("face {} min at {}, a layer inside allowed none", exposed, at);
    if (reading.limit.allowed_s <= 0.0) return fmt::format("{} min at {}, allowed none", exposed, at);
    return fmt::format("{} of {} min at {}{}", exposed, minutes_number(reading.limit.allowed_s, 0), at,
                       reading.limit.scope == cure::ExposureScope::lifetime ? " (lifetime)" : "");
}

std::string limits_words(const cure::ItemVerdict& item, const Units& units) {
    std::string words;
    for (const cure::LimitReading& limit : item.limits) words += (words.empty() ? "" : "; ") + limit_words(limit, units);
    for (const std::string& material : item.no_limit_known_of)
        words += fmt::format("{}{}: no limit known - CHECK", words.empty() ? "" : "; ", material);
    return words;
}

std::string optional_elapsed(const std::optional<double>& time_s) { return time_s ? elapsed_text(*time_s) : "never"; }

}  // namespace

Cell word_cell(cure::Word word) { return {std::string(cure::word_text(word)), mark_of(word)}; }

Mark mark_of(cure::Word word) noexcept {
    switch (word) {
        case cure::Word::good:
            return Mark::calm;
        case cure::Word::under:
        case cure::Word::over:
            return Mark::alarm;
        default:
            return Mark::strong;
    }
}

std::string_view stage_words(bake::StageKind kind) noexcept {
    switch (kind) {
        case bake::StageKind::flash_off:
            return "flash-off";
        case bake::StageKind::purge:
            return "purge";
        case bake::StageKind::ramp:
            return "ramp";
        case bake::StageKind::hold:
            return "hold";
        case bake::StageKind::cool:
            break;
    }
    return "cool";
}

Table zone_table(const TraceSet& traces, const std::vector<bake::ResolvedStage>& stages, const Units& units) {
    const std::optional<double> arrival_k = arrival_temperature_k(stages);
    std::vector<Column> columns{{.head = "Zone", .may_wrap = true},
                                {.head = "Kind"},
                                {.head = "Peak\n" + degree(units), .align = Align::right},
                                {.head = "at\nh:mm", .align = Align::right}};
    // A replay has no hold to arrive at, and so no such column.
    if (arrival_k)
        columns.push_back({.head = "Reaches " + format_temperature(*arrival_k, units, 0) + "\nh:mm", .align = Align::right});
    columns.push_back({.head = "Fastest rise\n" + difference_symbol(units) + "/min", .align = Align::right});
    Table table(std::move(columns));
    for (const ZoneSummary& zone : summarize(traces, arrival_k)) {
        const double rate_k_per_min = zone.steepest_rate_k_per_s ? *zone.steepest_rate_k_per_s * 60.0 : std::nan("");
        std::vector<Cell> cells{zone.name, role_words(zone.name, zone.role), temperature_number(zone.peak_temperature_k, units),
                                elapsed_text(zone.peak_at_s)};
        if (arrival_k) cells.emplace_back(optional_elapsed(zone.reached_at_s));
        cells.emplace_back(difference_number(rate_k_per_min, units));
        table.add(std::move(cells));
    }
    return table;
}

namespace {

/// A tilde stands behind what had no probe of its own.
std::string marked(const std::string& name, const std::optional<cure::KnownFrom>& from) {
    return name + (from == cure::KnownFrom::estimated ? " ~" : "");
}

}  // namespace

Table verdict_table(const cure::BakeVerdict& verdict, const Units& units) {
    const bool panel = std::any_of(verdict.zones.begin(), verdict.zones.end(),
                                   [](const cure::ZoneVerdict& zone) { return zone.share_of_panel.has_value(); });
    std::vector<Column> columns = {{.head = "Zone", .may_wrap = true},
                                   {.head = "Verdict"},
                                   {.head = "Equivalent\nmin / required", .align = Align::right},
                                   {.head = "Longest stay\nmin / required", .align = Align::right},
                                   {.head = "Peak\n" + degree(units), .align = Align::right}};
    if (panel) columns.push_back({.head = "Of panel\n%", .align = Align::right});
    Table table(std::move(columns));
    for (const cure::ZoneVerdict& zone : worst_first(verdict.zones)) {
        std::vector<Cell> cells = {marked(zone.zone, zone.known_from), word_cell(zone.word), equivalent_words(zone),
                                   stay_words(zone, units), peak_number(zone.peak_temperature_k, zone.word, units)};
        if (panel) cells.emplace_back(zone.share_of_panel ? fmt::format("{:.0f}", 100.0 * *zone.share_of_panel) : "n/a");
        table.add(std::move(cells), as_sentence(cure::reason_text(zone, units)));
    }
    return table;
}

Table item_table(const cure::BakeVerdict& verdict, const Units& units) {
    Table table({{.head = "Item", .may_wrap = true},
                 {.head = "Verdict"},
                 {.head = "Peak\n" + degree(units), .align = Align::right},
                 {.head = "at\nh:mm", .align = Align::right},
                 {.head = "At or above its limits\nmin of allowed", .may_wrap = true}});
    for (const cure::ItemVerdict& item : worst_first(verdict.items)) {
        const bool judged = item.word != cure::Word::not_judged;
        table.add(
            {marked(item.item, item.known_from), word_cell(item.word), peak_number(item.peak_temperature_k, item.word, units),
             judged ? elapsed_text(item.peak_at_s) : std::string("n/a"), limits_words(item, units)},
            as_sentence(cure::reason_text(item, units)));
    }
    return table;
}

Table cycle_table(const std::vector<bake::ResolvedStage>& stages, const Units& units, std::string_view started_at,
                  bool booth_purges) {
    const bool clock = clock_minutes(started_at).has_value();
    std::vector<Column> columns = {{.head = "Stage"},
                                   {.head = "Set point\n" + degree(units), .align = Align::right},
                                   {.head = "Length\nmin", .align = Align::right},
                                   {.head = "From\nh:mm", .align = Align::right},
                                   {.head = "Until\nh:mm", .align = Align::right}};
    if (clock) columns.push_back({.head = "Until\nby the clock", .align = Align::right});
    Table table(std::move(columns));
    bool is_purged = !booth_purges;
    for (const bake::ResolvedStage& stage : stages) {
        if (!is_purged && stage.end_k > stage.begin_k) {
            std::vector<Cell> cells = {"purge", "", "by the booth", elapsed_text(stage.begin_s), elapsed_text(stage.begin_s)};
            if (clock) cells.emplace_back(clock_text(started_at, stage.begin_s));
            table.add(std::move(cells));
            is_purged = true;
        }
        const std::string begin = temperature_number(stage.begin_k, units, 0);
        const std::string end = temperature_number(stage.end_k, units, 0);
        std::vector<Cell> cells = {std::string(stage_words(stage.kind)), begin == end ? end : begin + " to " + end,
                                   minutes_number(stage.end_s - stage.begin_s, 0), elapsed_text(stage.begin_s),
                                   elapsed_text(stage.end_s)};
        if (clock) cells.emplace_back(clock_text(started_at, stage.end_s));
        table.add(std::move(cells));
        if (stage.door_open_s <= 0.0) continue;
        const double shut_s = stage.begin_s + stage.door_open_s;
        std::vector<Cell> open = {"  doors open", "", minutes_number(stage.door_open_s, 0), elapsed_text(stage.begin_s),
                                  elapsed_text(shut_s)};
        if (clock) open.emplace_back(clock_text(started_at, shut_s));
        table.add(std::move(open));
    }
    return table;
}

Table comparison_table(const tune::Comparison& comparison, const Units& units) {
    const std::string kelvin = difference_symbol(units);
    Table table({{.head = "Channel", .may_wrap = true},
                 {.head = "Samples", .align = Align::right},
                 {.head = "Bias\n" + kelvin, .align = Align::right},
                 {.head = "RMS\n" + kelvin, .align = Align::right},
                 {.head = "Largest\n" + kelvin, .align = Align::right},
                 {.head = "at\nh:mm", .align = Align::right},
                 {.head = "Lag\nmin", .align = Align::right},
                 {.head = "RMS left\n" + kelvin, .align = Align::right}});
    for (const tune::ChannelComparison& channel : comparison.channels) {
        const bool same = channel.predicted == channel.logged;
        table.add({same ? channel.logged : channel.predicted + " / " + channel.logged, fmt::format("{}", channel.samples),
                   difference_number(channel.bias_k, units), difference_number(channel.rms_k, units),
                   difference_number(channel.largest_k, units), elapsed_text(channel.largest_at_s),
                   channel.lag_s ? minutes_number(*channel.lag_s) : std::string("n/a"),
                   channel.lag_s ? difference_number(channel.rms_after_shift_k, units) : std::string("n/a")});
    }
    return table;
}

}  // namespace bakewright::report
