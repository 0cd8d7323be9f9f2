// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/booth_fit_text.hpp"

#include <fmt/format.h>

namespace bakewright::report {
namespace {

std::string value_text(const tune::BoothNumber& number, double value, const Units& units) {
    if (number.unit.name == unit::k.name) return format_temperature_difference(value, units);
    if (number.unit.name == unit::w_per_k.name) return fmt::format("{:.3g} kW/K", value / 1e3);
    return fmt::format("{:.3g}{}{}", number.unit.shown(value), number.unit.name.empty() ? "" : " ", number.unit.name);
}

std::string range_text(const tune::BoothNumber& number, const Spread& spread, const Units& units) {
    return fmt::format("{} to {}", value_text(number, spread.low, units), value_text(number, spread.high, units));
}

Json spread_json(const Spread& spread) { return {{"low", spread.low}, {"value", spread.value}, {"high", spread.high}}; }

}  // namespace

std::string booth_fit_text(const tune::EmptyBoothFit& fit, const TextOptions& options) {
    Table table({{"told by the log", Align::left, true},
                 {"before", Align::right},
                 {"now", Align::right},
                 {"9 in 10 within", Align::right}});
    std::vector<std::string> untold;
    for (const tune::BoothNumber& number : fit.numbers)
        if (number.is_told)
            table.add({number.name, value_text(number, number.before.value, options.units),
                       value_text(number, number.now.value, options.units), range_text(number, number.now, options.units)});
        else
            untold.push_back(fmt::format("{}: stays {}, {}. To settle it: {}.", number.name,
                                         value_text(number, number.before.value, options.units),
                                         range_text(number, number.now, options.units), number.told_by));
    const tune::RunPhases& phases = fit.phases;
    std::string text = paragraph_text(
        fmt::format(
            "Heat on at {:.0f} min, the air from {} to {} and held, {}. The booth misses the readings by {} now; it missed "
            "them by {} before.",
            phases.heat_on_s / kSecondPerMinute, format_temperature(phases.start_k, options.units),
            format_temperature(phases.hold_k, options.units),
            phases.has_cooling() ? fmt::format("heat off at {:.0f} min", phases.heat_off_s / kSecondPerMinute)
                                 : std::string("heat on to the end"),
            format_temperature_difference(fit.now_k, options.units), format_temperature_difference(fit.before_k, options.units)),
        options);
    return joined_blocks({text, table_block("What the log of the empty booth tells", table, options),
                          list_text("What it could not tell", untold, options), list_text("CHECK", fit.remarks, options)});
}

Json document_of(const tune::EmptyBoothFit& fit, const std::string& name, const std::string& path, const std::string& text) {
    Json numbers = Json::array();
    for (const tune::BoothNumber& number : fit.numbers)
        numbers.push_back({{"key", number.key},
                           {"name", number.name},
                           {"unit", std::string(number.unit.name)},
                           {"si_per_unit", number.unit.si_per_unit},
                           {"before", spread_json(number.before)},
                           {"now", spread_json(number.now)},
                           {"told", number.is_told},
                           {"told_by", number.told_by}});
    return document("bakewright.booth-fit", {{"name", name},
                                             {"path", path.empty() ? Json(nullptr) : Json(path)},
                                             {"text", text},
                                             {"heat_on_s", fit.phases.heat_on_s},
                                             {"heat_off_s", fit.phases.heat_off_s},
                                             {"start_k", fit.phases.start_k},
                                             {"hold_k", fit.phases.hold_k},
                                             {"before_k", fit.before_k},
                                             {"now_k", fit.now_k},
                                             {"numbers", std::move(numbers)},
                                             {"remarks", fit.remarks}});
}

}  // namespace bakewright::report
