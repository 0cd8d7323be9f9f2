#include "import_options.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <nlohmann/json.hpp>

#include "bakewright/report/json_commands.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

std::optional<char> one_character(const Options& options, const char* name) {
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

int whole_number(const Options& options, const char* name, double least, double most) {
    const double number = options.number(name).value_or(least);
    if (number < least || number > most || number != static_cast<int>(number))
        wrong_option(std::string("--") + name, fmt::format("accepts a whole number from {} to {}", least, most));
    return static_cast<int>(number);
}

void read_units(const Options& options, probe::ReadOptions& asked) {
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
        else
            wrong_option("--channel-unit", fmt::format("'{}' is not degC, degF, K, V, mV or uV", unit));
    }
}

probe::ThermocoupleType thermocouple(const std::string& letter) {
    const auto type = probe::thermocouple_from_name(letter);
    if (!type) wrong_option("--thermocouple", fmt::format("'{}' is no type; accepted are B, E, J, K, N, R, S and T", letter));
    return *type;
}

/// A temperature where it reads as one, else a column.
void read_reference_junction(const Options& options, probe::ReadOptions& asked) {
    if (!options.has("reference-junction")) return;
    const std::string text = options.text("reference-junction");
    try {
        asked.reference_junction_k = parse_quantity(text, Dimension::temperature);
    } catch (const QuantityError&) {
        asked.reference_junction_column = text;
    }
}

void read_thermocouples(const Options& options, probe::ReadOptions& asked) {
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
void read_range(const Options& options, probe::QualityRules& rules) {
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

void read_quality(const Options& options, probe::QualityRules& rules) {
    rules.enabled = !options.flag("no-flags");
    if (const auto limit_k = options.quantity("spike-limit", Dimension::temperature_difference)) rules.spike_k = *limit_k;
    if (const auto time_s = options.quantity("stuck-time", Dimension::time)) rules.stuck_time_s = *time_s;
    read_range(options, rules);
}

void read_part(const Options& options, probe::ReadOptions& asked) {
    constexpr double kMostLines = 2e9;
    if (options.has("skip-lines")) asked.skip_lines = whole_number(options, "skip-lines", 0, 10000);
    if (options.has("from-line")) asked.from_line = whole_number(options, "from-line", 1, kMostLines);
    if (options.has("to-line")) asked.to_line = whole_number(options, "to-line", 1, kMostLines);
}

constexpr std::array kFlags = {"keep-clock", "no-flags"};
constexpr std::array kSingle = {
    "delimiter", "decimal", "time-column",        "date-column", "time-form",    "temperature-unit", "skip-lines",
    "from-line", "to-line", "reference-junction", "name-column", "value-column", "spike-limit",      "stuck-time",
    "range",     "air"};
constexpr std::array kRepeated = {"channel-unit", "channel", "thermocouple", "map"};

}  // namespace

std::pair<std::string, std::string> assignment(const std::string& text, const std::string& option) {
    const std::size_t at = text.rfind('=');
    if (at == std::string::npos || at == 0 || at + 1 == text.size())
        wrong_option(option, fmt::format("'{}' is not of the form COLUMN=NAME", text));
    return {text.substr(0, at), text.substr(at + 1)};
}

void describe_reading(Options& options) {
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    const auto texts = [](const char* name) { return po::value<std::vector<std::string>>()->composing()->value_name(name); };
    options.add()("channel", texts("COLUMN"), "take only this column; may be repeated")(
        "temperature-unit", text("UNIT"), "degC, degF or K, for columns that do not say")(
        "channel-unit", texts("COLUMN=UNIT"),
        "unit of one column, whatever the file says: degC, degF, K, V, mV or uV; may be repeated")(
        "thermocouple", texts("[COLUMN=]TYPE"),
        "columns of volts, or this one, are thermocouples of type B, E, J, K, N, R, S or T; may be repeated")(
        "reference-junction", text("COLUMN|TEMPERATURE"),
        "reference (cold) junction of the volts: a column, or such as \"0 degC\"")(
        "name-column", text("COLUMN"), "in a file with a row a sample, the column that names the channel")(
        "value-column", text("COLUMN"), "in such a file, the column of the values")(
        "time-column", text("COLUMN"), "the column that tells the time")("date-column", text("COLUMN"),
                                                                         "the date, where it stands apart")(
        "time-form", text("FORM"),
        "ms, s, min, h, d, hh:mm:ss, mm:ss, clock, year-first, day-first, month-first, unix-s, unix-ms or spreadsheet-days")(
        "delimiter", text("C"), "one character, tab, comma, semicolon or space")("decimal", text("C"), "decimal mark: . or ,")(
        "skip-lines", text("N"), "lines before the heading row")(
        "from-line", text("N"), "take only rows from this line of the file on")("to-line", text("N"),
                                                                                "take only rows up to this line")(
        "keep-clock", "leave a clock as it is written where daylight saving time begins or ends")(
        "spike-limit", text("T"), "how far a sample stands off its neighbours to be flagged as a spike; default 10 K")(
        "stuck-time", text("TIME"), "how long a reading stays the same to be flagged as stuck; default 20 min")(
        "range", text("T..T"),
        "measuring range of the logger, such as \"-20 degC .. 120 degC\": samples at its ends are clipped")(
        "no-flags", "flag no number as spike, stuck or clipped");
}

probe::ReadOptions read_options(const Options& options) {
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
                                     "month-first, unix-s, unix-ms, spreadsheet-days",
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

std::string reading_options_json(const Options& options) {
    report::JsonFields fields;
    for (const char* name : kSingle)
        if (options.has(name)) fields.push_back({name, options.text(name)});
    for (const char* name : kRepeated)
        for (const std::string& text : options.texts(name)) fields.push_back({name, text});
    for (const char* name : kFlags)
        if (options.flag(name)) fields.push_back({name, "yes"});
    return report::json_object(fields);
}

std::vector<std::pair<std::string, std::string>> given_reading_options(const Options& options) {
    std::vector<std::pair<std::string, std::string>> given;
    for (const std::string_view name : kSingle)
        if (options.has(name.data()) && name != "from-line" && name != "to-line")
            given.emplace_back(name, options.text(name.data()));
    for (const char* name : kRepeated)
        for (const std::string& text : options.texts(name)) given.emplace_back(name, text);
    for (const char* name : kFlags)
        if (options.flag(name)) given.emplace_back(name, "yes");
    return given;
}

std::vector<std::string> saved_words(const std::vector<std::pair<std::string, std::string>>& saved, const Options& options) {
    std::vector<std::string> words;
    for (const auto& [name, value] : saved) {
        if (options.has(name.c_str())) continue;
        const bool is_flag = std::any_of(kFlags.begin(), kFlags.end(), [&](const char* flag) { return name == flag; });
        words.push_back(is_flag ? "--" + name : fmt::format("--{}={}", name, value));
    }
    return words;
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
    report::JsonFields fields{{"shift_s", alignment.shift_s}, {"clock_offset_s", alignment.clock_offset_s}};
    fields.push_back({"shift", alignment.is_given ? std::string("given")
                                                  : "aligned by " + alignment.first_air + " and " + alignment.second_air});
    return report::json_object(fields);
}

}  // namespace bakewright::cli
