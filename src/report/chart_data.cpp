// SPDX-License-Identifier: Apache-2.0
#include "chart_data.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "bakewright/report/tables.hpp"
#include "bakewright/report/text.hpp"
#include "bakewright/report/thin.hpp"
#include "json_records.hpp"

namespace bakewright::report {
namespace {

/// Drawn to a hundredth of a degree and a hundredth of a minute; the CSV and JSON exports carry the full numbers.
Json drawn(double value) { return std::isfinite(value) ? Json(std::round(value * 100.0) / 100.0) : Json(nullptr); }

Json minutes(double time_s) { return drawn(seconds_to_minutes(time_s)); }

/// A band read at a time, between its own.
double band_at_k(const TraceBand& band, const std::vector<double>& side_k, double time_s) {
    const auto after = std::lower_bound(band.time_s.begin(), band.time_s.end(), time_s);
    if (after == band.time_s.end() || (after == band.time_s.begin() && *after > time_s)) return std::nan("");
    const auto i = static_cast<std::size_t>(after - band.time_s.begin());
    if (i == 0) return side_k.front();
    const double share = (time_s - band.time_s[i - 1]) / (band.time_s[i] - band.time_s[i - 1]);
    return side_k[i - 1] + share * (side_k[i] - side_k[i - 1]);
}

/// Adds "low" and "high" to a predicted series that has a band; null outside of the band's times.
void add_band(Json& series, const Trace& trace, const ReportInput& input, const std::vector<TraceBand>& bands) {
    for (const TraceBand& band : bands) {
        if (band.name != trace.name || band.time_s.empty()) continue;
        Json low = Json::array();
        Json high = Json::array();
        for (const double time_s : trace.time_s) {
            low.push_back(drawn(temperature_in(band_at_k(band, band.low_k, time_s), input.units)));
            high.push_back(drawn(temperature_in(band_at_k(band, band.high_k, time_s), input.units)));
        }
        series["low"] = std::move(low);
        series["high"] = std::move(high);
        return;
    }
}

Json series_of(const Trace& whole, std::string_view source, const ReportInput& input) {
    const Trace trace = thin(whole, input.most_points);
    Json times = Json::array();
    Json values = Json::array();
    for (std::size_t i = 0; i < trace.size(); ++i) {
        times.push_back(minutes(trace.time_s[i]));
        values.push_back(trace.usable(i) ? drawn(temperature_in(trace.temperature_k[i], input.units)) : Json(nullptr));
    }
    Json series = {{"name", trace.name}, {"source", source}, {"role", trace_role_name(trace.role)}, {"t", times}, {"v", values}};
    if (source == "predicted") add_band(series, trace, input, input.bands);
    if (source == "estimated") add_band(series, trace, input, input.estimated_bands);
    return series;
}

void add_series(Json& list, const std::optional<TraceSet>& traces, std::string_view source, const ReportInput& input,
                ChartData& data) {
    if (!traces) return;
    traces->ensure_well_formed();
    for (const Trace& trace : traces->traces) {
        if (trace.size() == 0) continue;
        list.push_back(series_of(trace, source, input));
        data.has_bands = data.has_bands || list.back().contains("low");
        if (trace.size() > input.most_points) ++data.thinned;
        (source == "logged" ? data.has_logged : source == "estimated" ? data.has_estimated : data.has_predicted) = true;
    }
}

std::vector<cure::ScheduleRow> schedule_rows(const ReportInput& input) {
    if (input.coating) return input.coating->schedule;
    std::vector<cure::ScheduleRow> rows;
    for (const JudgedBake& judged : input.verdicts)
        for (const cure::ZoneVerdict& zone : judged.verdict.zones) {
            if (!rows.empty()) return rows;
            for (const cure::RowReading& reading : zone.rows) rows.push_back(reading.row);
        }
    return rows;
}

Json limit(double temperature_k, const std::string& label, std::string_view kind, const Units& units) {
    return {{"value", drawn(temperature_in(temperature_k, units))}, {"label", label}, {"kind", kind}};
}

void add_window(Json& limits, const ReportInput& input) {
    for (const cure::ScheduleRow& row : schedule_rows(input)) {
        const std::string label =
            fmt::format("cure {}, {}", format_temperature(row.temperature_k, input.units, 0), format_minutes(row.minimum_s, 0));
        limits.push_back(limit(row.temperature_k, label, "cure", input.units));
    }
    if (!input.coating || !input.coating->absolute_maximum_k) return;
    const double maximum_k = *input.coating->absolute_maximum_k;
    limits.push_back(
        limit(maximum_k, "coating never above " + format_temperature(maximum_k, input.units, 0), "maximum", input.units));
}

/// Item limits by temperature, the names of those that share one together.
void add_item_limits(Json& limits, const ReportInput& input) {
    std::map<double, std::vector<std::string>> names;
    for (const JudgedBake& judged : input.verdicts)
        for (const cure::ItemVerdict& item : judged.verdict.items)
            for (const cure::LimitReading& reading : item.limits) {
                if (reading.limit.kind != cure::LimitKind::never) continue;
                std::vector<std::string>& here = names[reading.limit.temperature_k];
                const std::string name =
                    item.item + (reading.limit.allowed_s > 0.0 ? " " + format_duration(reading.limit.allowed_s) : "");
                if (std::find(here.begin(), here.end(), name) == here.end()) here.push_back(name);
            }
    for (const auto& [temperature_k, sharing] : names) {
        std::string label;
        for (const std::string& name : sharing) label += (label.empty() ? "" : ", ") + name;
        limits.push_back(
            limit(temperature_k, format_temperature(temperature_k, input.units, 0) + " " + label, "item", input.units));
    }
}

/// From the schedule's lowest temperature to the highest the coating may see, where the sheet has one.
Json window_band(const ReportInput& input) {
    const std::vector<cure::ScheduleRow> rows = schedule_rows(input);
    if (rows.empty() || !input.coating || !input.coating->absolute_maximum_k) return nullptr;
    return {{"low", drawn(temperature_in(rows.front().temperature_k, input.units))},
            {"high", drawn(temperature_in(*input.coating->absolute_maximum_k, input.units))}};
}

Json stages(const ReportInput& input) {
    Json list = Json::array();
    for (const bake::ResolvedStage& stage : input.stages)
        list.push_back({{"name", stage_words(stage.kind)},
                        {"from", minutes(stage.begin_s)},
                        {"to", minutes(stage.end_s)},
                        {"begin", drawn(temperature_in(stage.begin_k, input.units))},
                        {"end", drawn(temperature_in(stage.end_k, input.units))}});
    return list;
}

/// The word of each zone, for the letters of the drawing.
Json words_by_zone(const ReportInput& input) {
    Json words = Json::object();
    if (input.verdicts.empty()) return words;
    for (const cure::ZoneVerdict& zone : input.verdicts.front().verdict.zones) words[zone.zone] = cure::word_text(zone.word);
    return words;
}

}  // namespace

std::string started_at(const ReportInput& input) {
    if (!input.started_at.empty()) return input.started_at;
    if (input.logged && !input.logged->started_at.empty()) return input.logged->started_at;
    return input.predicted ? input.predicted->started_at : std::string();
}

ChartData chart_data(const ReportInput& input) {
    ChartData data;
    Json series = Json::array();
    add_series(series, input.logged, "logged", input, data);
    add_series(series, input.estimated, "estimated", input, data);
    add_series(series, input.predicted, "predicted", input, data);
    Json limits = Json::array();
    add_window(limits, input);
    add_item_limits(limits, input);
    const std::optional<int> clock = clock_minutes(started_at(input));
    data.json = json_text({{"unit", temperature_symbol(input.units)},
                           {"clock", clock ? Json(*clock) : Json(nullptr)},
                           {"series", std::move(series)},
                           {"limits", std::move(limits)},
                           {"band", window_band(input)},
                           {"stages", stages(input)},
                           {"course", input.course ? fields_of(*input.course) : Json(nullptr)},
                           {"drawing", input.drawing ? fields_of(*input.drawing) : Json(nullptr)},
                           {"titles", input.titles},
                           {"verdicts", words_by_zone(input)}},
                          -1);
    return data;
}

}  // namespace bakewright::report
