// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/booth_text.hpp"

#include <fmt/core.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "bakewright/base/units.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/text.hpp"
#include "json_records.hpp"

namespace bakewright::report {

namespace {

using tune::Trend;

/// A twelfth of the Julian year.
constexpr double kSecondPerMonth = 365.25 * 24.0 * kSecondPerHour / 12.0;

std::vector<std::string> groups_in(const tune::BoothTrend& trend) {
    std::vector<std::string> groups;
    for (const tune::BakeOfTrend& bake : trend.bakes)
        for (const tune::BakeOfTrend::Group& group : bake.groups)
            if (std::find(groups.begin(), groups.end(), group.name) == groups.end()) groups.push_back(group.name);
    std::sort(groups.begin(), groups.end());
    return groups;
}

Table bake_table(const tune::BoothTrend& trend, const Units& units) {
    const std::string kelvin = difference_symbol(units);
    std::vector<Column> columns{{"date"}, {"bake"}, {"air against\nset\n" + kelvin, Align::right}};
    const std::vector<std::string> groups = groups_in(trend);
    for (const std::string& group : groups) {
        columns.push_back({"bias\n" + one_line(group) + "\n" + kelvin, Align::right});
        columns.push_back({"lag\n" + one_line(group) + "\nmin", Align::right});
    }
    Table table(std::move(columns));
    for (const tune::BakeOfTrend& bake : trend.bakes) {
        std::vector<Cell> cells{bake.date, one_line(bake.label),
                                bake.air_offset_k ? difference_number(*bake.air_offset_k, units) : std::string("n/a")};
        for (const std::string& name : groups) {
            const auto group =
                std::find_if(bake.groups.begin(), bake.groups.end(), [&](const auto& one) { return one.name == name; });
            const bool is_there = group != bake.groups.end();
            cells.emplace_back(is_there ? difference_number(group->bias_k, units) : std::string("n/a"));
            cells.emplace_back(is_there && group->lag_s ? minutes_number(*group->lag_s) : std::string("n/a"));
        }
        table.add(std::move(cells));
    }
    return table;
}

std::string name_of(const Trend& trend) {
    switch (trend.of) {
        case Trend::Of::air:
            return "air against set";
        case Trend::Of::bias:
            return "bias, " + one_line(trend.group);
        case Trend::Of::lag:
            return "lag, " + one_line(trend.group);
    }
    return {};
}

/// Of a quantity, or its change: kelvins, or minutes of a lag.
std::string amount(const Trend& trend, double value, const Units& units, int decimals) {
    return trend.of == Trend::Of::lag ? minutes_number(value, decimals) : difference_number(value, units, decimals);
}

Table trend_table(const tune::BoothTrend& trend, const Units& units) {
    const std::string kelvin = difference_symbol(units);
    Table table({{"quantity", Align::left, true},
                 {"unit"},
                 {"bakes", Align::right},
                 {"median", Align::right},
                 {"a month", Align::right},
                 {"19 in 20 within", Align::right},
                 {"drifts"}});
    for (const Trend& one : trend.trends) {
        const auto per_month = [&](double slope) { return amount(one, slope * kSecondPerMonth, units, 2); };
        const tune::RobustSlope& slope = one.slope_per_s;
        table.add(
            {name_of(one), one.of == Trend::Of::lag ? "min" : kelvin, fmt::format("{}", one.bakes),
             amount(one, one.median, units, 1), per_month(slope.slope),
             slope.low ? fmt::format("{} to {}", per_month(*slope.low), per_month(*slope.high)) : std::string("too few bakes"),
             Cell(one.is_told ? "yes" : "not shown", one.is_told ? Mark::strong : Mark::none)});
    }
    return table;
}

/// "0.8 K": how much a month, and its range, without signs.
std::string per_month_text(const Trend& trend, double slope, const Units& units) {
    const double value = std::abs(slope) * kSecondPerMonth;
    return trend.of == Trend::Of::lag ? format_minutes(value, 2) : format_temperature_difference(value, units, 2);
}

std::string sentence_of(const Trend& trend, const Units& units) {
    const tune::RobustSlope& slope = trend.slope_per_s;
    const bool rises = slope.slope > 0.0;
    const std::string each = per_month_text(trend, slope.slope, units);
    std::string what;
    switch (trend.of) {
        case Trend::Of::air:
            what = fmt::format("The air ran {} {} against its set point each month", each, rises ? "hotter" : "colder");
            break;
        case Trend::Of::bias:
            what = fmt::format("Zones of group '{}' were logged {} {} against their predictions each month",
                               one_line(trend.group), each, rises ? "colder" : "hotter");
            break;
        case Trend::Of::lag:
            what = fmt::format("Zones of group '{}' ran {} {} against their predictions each month", one_line(trend.group), each,
                               rises ? "later" : "sooner");
            break;
    }
    std::string range;
    if (slope.low) {
        const double least = std::min(std::abs(*slope.low), std::abs(*slope.high)),
                     most = std::max(std::abs(*slope.low), std::abs(*slope.high));
        range =
            fmt::format(" ({} to {} in 19 of 20 cases)", per_month_text(trend, least, units), per_month_text(trend, most, units));
    }
    return fmt::format("{}{}, over {} bakes.", what, range, trend.bakes);
}

}  // namespace

std::vector<std::string> trend_sentences(const tune::BoothTrend& trend, const Units& units) {
    std::vector<std::string> sentences;
    for (const Trend& one : trend.trends)
        if (one.is_told) sentences.push_back(sentence_of(one, units));
    if (sentences.empty())
        sentences.emplace_back(
            "No drift shows: what there is may be chance, or is less than half a kelvin or half a minute in all.");
    return sentences;
}

std::string trend_text(const tune::BoothTrend& trend, const TextOptions& options) {
    std::vector<std::string> notes = trend.remarks;
    notes.emplace_back(
        "Bias is predicted minus logged. Slopes are medians of those of all pairs of bakes (Theil and Sen), with their 95 % "
        "range; "
        "a drift is told where chance would show one anywhere in this table in less than one booth of twenty (Kendall).");
    return table_block("The booth, bake by bake", bake_table(trend, options.units), options) + "\n" +
           table_block("What drifts", trend_table(trend, options.units), options) + "\n" +
           list_text("In plain words", trend_sentences(trend, options.units), options) + "\n" +
           list_text("Notes", notes, options);
}

Json document_of(const tune::BoothTrend& trend) {
    Json bakes = Json::array(), trends = Json::array();
    for (const tune::BakeOfTrend& bake : trend.bakes) {
        Json groups = Json::array();
        for (const tune::BakeOfTrend::Group& group : bake.groups)
            groups.push_back({{"group", group.name},
                              {"zones", group.zones},
                              {"bias_k", number_or_null(group.bias_k)},
                              {"lag_s", number_or_null(group.lag_s)}});
        bakes.push_back({{"bake", bake.label},
                         {"date", bake.date},
                         {"air_offset_k", number_or_null(bake.air_offset_k)},
                         {"groups", std::move(groups)}});
    }
    for (const Trend& one : trend.trends) {
        const bool is_lag = one.of == Trend::Of::lag;
        const auto per_month = [](const std::optional<double>& slope) {
            return slope ? number_or_null(*slope * kSecondPerMonth) : Json(nullptr);
        };
        trends.push_back({{"quantity", one.of == Trend::Of::air ? "air_offset"
                                       : is_lag                 ? "lag"
                                                                : "bias"},
                          {"unit", is_lag ? "s" : "K"},
                          {"group", one.group.empty() ? Json(nullptr) : Json(one.group)},
                          {"bakes", one.bakes},
                          {"median", number_or_null(one.median)},
                          {"per_month", per_month(one.slope_per_s.slope)},
                          {"per_month_low", per_month(one.slope_per_s.low)},
                          {"per_month_high", per_month(one.slope_per_s.high)},
                          {"chance_without_trend", one.slope_per_s.probability},
                          {"drifts", one.is_told}});
    }
    return document("bakewright.trend", {{"bakes", std::move(bakes)},
                                         {"trends", std::move(trends)},
                                         {"sentences", trend_sentences(trend, Units{})},
                                         {"remarks", trend.remarks}});
}

namespace {

/// Air so close to its set point has arrived. Common practice: what a booth's display can be trusted to.
constexpr double kArrivedK = 1.0;

std::string kilowatt_hours(double heat_j) { return fixed(heat_j / (1000.0 * kSecondPerHour), 1); }

std::string heat_sentence(const bake::BoothRun& run) {
    return fmt::format(
        "Burner: {} kWh, of which {} kWh went into the shell, {} kWh out with the air, {} kWh through the walls, and {} kWh are "
        "left in the booth's air and walls. Largest power {} kW.",
        kilowatt_hours(run.burner_j), kilowatt_hours(run.shell_j), kilowatt_hours(run.fresh_air_j),
        kilowatt_hours(run.wall_loss_j), kilowatt_hours(run.stored_j), fixed(run.largest_power_w / 1000.0, 0));
}

/// The end of the first rise to the highest set point: where the air should have arrived.
const bake::ResolvedStage* last_rise(const std::vector<bake::ResolvedStage>& stages) {
    const bake::ResolvedStage* rise = nullptr;
    for (const bake::ResolvedStage& stage : stages)
        if (stage.end_k > stage.begin_k && (rise == nullptr || stage.end_k > rise->end_k)) rise = &stage;
    return rise;
}

std::optional<std::string> lag_sentence(const bake::Prediction& prediction, const Units& units) {
    const bake::ResolvedStage* rise = last_rise(prediction.stages);
    const Trace* air = prediction.traces.find("booth air");
    if (rise == nullptr || air == nullptr) return std::nullopt;
    const double behind_k = rise->end_k - temperature_at_k(*air, rise->end_s);
    if (!(behind_k > kArrivedK)) return std::nullopt;
    std::string when = "does not arrive";
    for (std::size_t i = 0; i < air->size(); ++i)
        if (air->time_s[i] >= rise->end_s && air->temperature_k[i] >= rise->end_k - kArrivedK) {
            when = fmt::format("arrives at {}", elapsed_text(air->time_s[i]));
            break;
        }
    return fmt::format("When the ramp ends at {}, the air is {} under its set point; it {}.", elapsed_text(rise->end_s),
                       format_temperature_difference(behind_k, units), when);
}

}  // namespace

std::vector<std::string> booth_run_sentences(const bake::Prediction& prediction, const Units& units) {
    std::vector<std::string> sentences;
    if (!prediction.summary.booth) return sentences;
    const bake::BoothRun& run = *prediction.summary.booth;
    if (run.tripped_s)
        sentences.push_back(fmt::format("The high limit trips at {}: the burner stays off from there. Do not set this cycle.",
                                        elapsed_text(*run.tripped_s)));
    if (const std::optional<std::string> lag = lag_sentence(prediction, units)) sentences.push_back(*lag);
    if (run.full_power_s > 0.0)
        sentences.push_back(fmt::format("The burner runs at its full power for {} min.", minutes_number(run.full_power_s, 0)));
    if (run.pulsing_s > 0.0)
        sentences.push_back(
            fmt::format("It is under its least steady power, and pulses, for {} min.", minutes_number(run.pulsing_s, 0)));
    if (run.starts > 0) sentences.push_back(fmt::format("The burner is lit {} times.", run.starts));
    sentences.push_back(heat_sentence(run));
    return sentences;
}

}  // namespace bakewright::report
