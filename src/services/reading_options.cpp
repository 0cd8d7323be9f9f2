// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/reading_options.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <nlohmann/json.hpp>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/report/json.hpp"

namespace bakewright::services {
namespace {

[[noreturn]] void wrong_option(const std::string& option, const std::string& message) {
    throw InputError(Problem{{}, 0, option, message});
}

std::optional<char> one_character(const GivenOptions& options, const char* name) {
    if (!options.has(name)) return std::nullopt;
    const std::string text = options.text(name);
    if (text == "tab" || text == "\\t") return '\t';
    if (text == "comma") return ',';
    if (text == "semicolon") return ';';
    if (text == "space") return ' ';
    if (text.size() == 1) return text.front();
    wrong_option(std::string("--") + name, fmt::format("'{}' is not one character, tab, comma, semicolon or space", text));
}

std::optional<TemperatureUnit> temperature_unit(const std::string& text) {
    if (text == "C" || text == "degC" || text == "°C") return TemperatureUnit::celsius;
    if (text == "F" || text == "degF" || text == "°F") return TemperatureUnit::fahrenheit;
    if (text == "K") return TemperatureUnit::kelvin;
    return std::nullopt;
}

std::optional<probe::VoltageUnit> voltage_unit(const std::string& text) {
    if (text == "V") return probe::VoltageUnit::volt;
    if (text == "mV") return probe::VoltageUnit::millivolt;
    if (text == "uV" || text == "µV" || text == "\xCE\xBCV") return probe::VoltageUnit::microvolt;
    return std::nullopt;
}

int whole_number(const GivenOptions& options, const char* name, double least, double most) {
    const double number = options.number(name).value_or(least);
    if (number < least || number > most || number != static_cast<int>(number))
        wrong_option(std::string("--") + name, fmt::format("accepts a whole number from {} to {}", least, most));
    return static_cast<int>(number);
}

void read_units(const GivenOptions& options, probe::ReadOptions& asked) {
    if (options.has("temperature-unit")) {
        const std::string text = options.text("temperature-unit");
        asked.temperature_unit = temperature_unit(text);
        if (!asked.temperature_unit) wrong_option("--temperature-unit", fmt::format("'{}' is not degC, degF or K", text));
    }
    for (const std::string& text : options.texts("channel-unit")) {
        const auto [column, unit] = assignment(text, "--channel-unit");
        if (const auto temperature = temperature_unit(unit))
            asked.channel_units[column] = *temperature;
        else if (const auto volts = voltage_unit(unit))
            asked.channel_voltage_units[column] = *volts;
        else if (unit == "none" || unit == "%")
            asked.not_temperatures.push_back(column);
        else
            wrong_option("--channel-unit", fmt::format("'{}' is not degC, degF, K, V, mV, uV or none", unit));
    }
    for (const std::string& text : options.texts("scale")) {
        const auto [column, factor] = assignment(text, "--scale");
        double value = 0.0;
        const auto [end, status] = std::from_chars(factor.data(), factor.data() + factor.size(), value);
        if (status != std::errc{} || end != factor.data() + factor.size() || !(value > 0.0) || !std::isfinite(value))
            wrong_option("--scale", fmt::format("'{}' is not a number above 0 such as 0.1", factor));
        asked.channel_scales[column] = value;
    }
    asked.missing_words = options.texts("missing");
}

probe::ThermocoupleType thermocouple(const std::string& letter) {
    const auto type = value_of_word<probe::ThermocoupleType>(letter);
    if (!type) wrong_option("--thermocouple", fmt::format("'{}' is not a type; accepted are B, E, J, K, N, R, S and T", letter));
    return *type;
}

/// A temperature where it reads as one, else a column.
void read_reference_junction(const GivenOptions& options, probe::ReadOptions& asked) {
    if (!options.has("reference-junction")) return;
    const std::string text = options.text("reference-junction");
    try {
        asked.reference_junction_k = parse_quantity(text, Dimension::temperature);
    } catch (const QuantityError&) {
        asked.reference_junction_column = text;
    }
}

void read_thermocouples(const GivenOptions& options, probe::ReadOptions& asked) {
    for (const std::string& text : options.texts("thermocouple")) {
        const std::size_t at = text.rfind('=');
        if (at == std::string::npos)
            asked.thermocouple = thermocouple(text);
        else
            asked.channel_thermocouples[text.substr(0, at)] = thermocouple(text.substr(at + 1));
    }
    read_reference_junction(options, asked);
}

/// "-20 degC .. 120 degC".
void read_range(const GivenOptions& options, probe::QualityRules& rules) {
    if (!options.has("range")) return;
    const std::string text = options.text("range");
    const std::size_t at = text.find("..");
    if (at == std::string::npos) wrong_option("--range", fmt::format("'{}' is not of the form \"-20 degC .. 120 degC\"", text));
    try {
        rules.range_least_k = parse_quantity(text.substr(0, at), Dimension::temperature);
        rules.range_most_k = parse_quantity(text.substr(at + 2), Dimension::temperature);
    } catch (const QuantityError& error) {
        wrong_option("--range", error.what());
    }
}

void read_quality(const GivenOptions& options, probe::QualityRules& rules) {
    rules.enabled = !options.flag("no-flags");
    if (const auto limit_k = options.quantity("spike-limit", Dimension::temperature_difference)) rules.spike_k = *limit_k;
    if (const auto time_s = options.quantity("stuck-time", Dimension::time)) rules.stuck_time_s = *time_s;
    read_range(options, rules);
}

void read_part(const GivenOptions& options, probe::ReadOptions& asked) {
    constexpr double kMostLines = 2e9;
    if (options.has("skip-lines")) asked.skip_lines = whole_number(options, "skip-lines", 0, 10000);
    if (options.has("from-line")) asked.from_line = whole_number(options, "from-line", 1, kMostLines);
    if (options.has("to-line")) asked.to_line = whole_number(options, "to-line", 1, kMostLines);
}

}  // namespace

bool is_reading_flag(std::string_view name) {
    return std::find(kReadingFlags.begin(), kReadingFlags.end(), name) != kReadingFlags.end();
}

GivenOptions::GivenOptions(std::vector<std::pair<std::string, std::string>> given) : given_(std::move(given)) {
    std::vector<std::string> known;
    known.insert(known.end(), kReadingFlags.begin(), kReadingFlags.end());
    known.insert(known.end(), kReadingSingle.begin(), kReadingSingle.end());
    known.insert(known.end(), kReadingRepeated.begin(), kReadingRepeated.end());
    for (const auto& [name, value] : given_) {
        if (std::find(known.begin(), known.end(), name) != known.end()) continue;
        wrong_option("--" + name, "is not an option of reading a log" + did_you_mean(name, known));
    }
}

bool GivenOptions::has(std::string_view name) const {
    return std::any_of(given_.begin(), given_.end(), [&](const auto& one) { return one.first == name; });
}

std::string GivenOptions::text(std::string_view name) const {
    const auto at = std::find_if(given_.begin(), given_.end(), [&](const auto& one) { return one.first == name; });
    ensure(at != given_.end(), "an option is asked for only where it was given");
    return at->second;
}

std::string GivenOptions::text_or(std::string_view name, const std::string& otherwise) const {
    return has(name) ? text(name) : otherwise;
}

std::vector<std::string> GivenOptions::texts(std::string_view name) const {
    std::vector<std::string> found;
    for (const auto& [one, value] : given_)
        if (one == name) found.push_back(value);
    return found;
}

std::optional<double> GivenOptions::quantity(std::string_view name, Dimension dimension) const {
    if (!has(name)) return std::nullopt;
    try {
        return parse_quantity(text(name), dimension);
    } catch (const QuantityError& error) {
        wrong_option("--" + std::string(name), error.what());
    }
}

std::optional<double> GivenOptions::number(std::string_view name) const {
    if (!has(name)) return std::nullopt;
    const std::string given = text(name);
    double value = 0.0;
    const auto [end, status] = std::from_chars(given.data(), given.data() + given.size(), value);
    if (status != std::errc{} || end != given.data() + given.size() || !std::isfinite(value))
        wrong_option("--" + std::string(name), fmt::format("'{}' is not a number such as 12", given));
    return value;
}

std::pair<std::string, std::string> assignment(const std::string& text, const std::string& option) {
    const std::size_t at = text.rfind('=');
    if (at == std::string::npos || at == 0 || at + 1 == text.size())
        wrong_option(option, fmt::format("'{}' is not of the form COLUMN=NAME", text));
    return {text.substr(0, at), text.substr(at + 1)};
}

std::vector<LeftOut> left_out(const GivenOptions& options) {
    std::vector<LeftOut> made;
    for (const std::string& text : options.texts("leave-out")) {
        const std::size_t at = text.rfind('=');
        if (text.empty() || at == 0) wrong_option("--leave-out", fmt::format("'{}' is not of the form NAME or NAME=TIME", text));
        made.push_back({text.substr(0, at), {}});
        if (at == std::string::npos) continue;
        try {
            made.back().from_s = parse_quantity(text.substr(at + 1), Dimension::time);
        } catch (const QuantityError& error) {
            wrong_option("--leave-out", error.what());
        }
    }
    return made;
}

probe::ReadOptions read_options(const GivenOptions& options) {
    probe::ReadOptions asked;
    asked.delimiter = one_character(options, "delimiter");
    asked.decimal_mark = one_character(options, "decimal");
    asked.time_column = options.text_or("time-column", "");
    asked.date_column = options.text_or("date-column", "");
    asked.name_column = options.text_or("name-column", "");
    asked.value_column = options.text_or("value-column", "");
    if (options.has("time-form")) {
        asked.time_form = probe::time_form_from_name(options.text("time-form"));
        if (!asked.time_form)
            wrong_option("--time-form",
                         fmt::format("'{}' is none of ms, s, min, h, d, hh:mm:ss, mm:ss, clock, year-first, day-first, "
                                     "month-first, unix-s, unix-ms, unix-us, unix-ns, spreadsheet-days",
                                     options.text("time-form")));
    }
    read_units(options, asked);
    read_thermocouples(options, asked);
    asked.channels = options.texts("channel");
    read_part(options, asked);
    read_quality(options, asked.quality);
    asked.correct_daylight_saving = !options.flag("keep-clock");
    return asked;
}

std::string reading_options_json(const GivenOptions& options) {
    report::Json fields = report::Json::object();
    for (const auto& [name, value] : options.all()) {
        report::Json& field = fields[name];
        if (field.is_null())
            field = value;
        else if (field.is_array())
            field.push_back(value);
        else
            field = report::Json::array({field, value});
    }
    return report::json_text(fields, -1);
}

GivenOptions reading_options_from_json(const std::string& text) {
    const auto json = nlohmann::json::parse(text, nullptr, false);
    if (!json.is_object()) return {};
    std::vector<std::pair<std::string, std::string>> given;
    for (const auto& [name, value] : json.items())
        for (const auto& one : value.is_array() ? value : nlohmann::json::array({value}))
            given.emplace_back(name, one.is_string() ? one.get<std::string>() : one.dump());
    try {
        return GivenOptions(std::move(given));
    } catch (const InputError&) {  // a newer program's
        return {};
    }
}

bool same_part(const std::string& one_json, const std::string& other_json) {
    const auto part = [](const std::string& text) {
        const auto json = nlohmann::json::parse(text, nullptr, false);
        std::pair<std::string, std::string> lines;
        if (json.is_object()) lines = {json.value("from-line", ""), json.value("to-line", "")};
        return lines;
    };
    return part(one_json) == part(other_json);
}

std::string merge_json(const probe::LogAlignment& alignment) {
    const std::string shift =
        alignment.is_given ? std::string("given") : "aligned by " + alignment.first_air + " and " + alignment.second_air;
    return report::json_text(
        report::Json{{"shift_s", alignment.shift_s}, {"clock_offset_s", alignment.clock_offset_s}, {"shift", shift}}, -1);
}

}  // namespace bakewright::services
