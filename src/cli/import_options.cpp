// SPDX-License-Identifier: Apache-2.0
#include "import_options.hpp"

namespace bakewright::cli {

namespace po = boost::program_options;

void describe_reading(Options& options) {
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    const auto texts = [](const char* name) { return po::value<std::vector<std::string>>()->composing()->value_name(name); };
    options.add()("channel", texts("COLUMN"), "take only this column; may be repeated")(
        "temperature-unit", text("UNIT"), "degC, degF or K, for columns that do not say")(
        "channel-unit", texts("COLUMN=UNIT"),
        "unit of one column, whatever the file says: degC, degF, K, V, mV, uV, or none where it is not a temperature; may be "
        "repeated")("scale", texts("COLUMN=FACTOR"),
                    "multiply the numbers of this column, such as Roof=0.1 for tenths of a degree; may be repeated")(
        "missing", texts("WORD"), "this word (or number) stands for no reading; may be repeated")(
        "thermocouple", texts("[COLUMN=]TYPE"),
        "columns of volts, or this one, are thermocouples of type B, E, J, K, N, R, S or T; may be repeated")(
        "reference-junction", text("COLUMN|TEMPERATURE"),
        "reference (cold) junction of the volts: a column, or such as \"0 degC\"")(
        "name-column", text("COLUMN"), "in a file with one reading per row, the column that names the channel")(
        "value-column", text("COLUMN"), "in such a file, the column of the values")(
        "time-column", text("COLUMN"), "the column that tells the time")("date-column", text("COLUMN"),
                                                                         "the date, where it stands apart")(
        "time-form", text("FORM"),
        "ms, s, min, h, d, hh:mm:ss, mm:ss, clock, year-first, day-first, month-first, unix-s, unix-ms, unix-us, unix-ns or "
        "spreadsheet-days")("delimiter", text("C"), "one character, tab, comma, semicolon or space")(
        "decimal", text("C"), "decimal mark: . or ,")("skip-lines", text("N"), "lines before the heading row")(
        "from-line", text("N"), "take only rows from this line of the file on")("to-line", text("N"),
                                                                                "take only rows up to this line")(
        "keep-clock", "leave a clock as it is written where daylight saving time begins or ends")(
        "spike-limit", text("T"), "how far a sample stands off its neighbours to be flagged as a spike; default 10 K")(
        "stuck-time", text("TIME"), "how long a reading stays the same to be flagged as stuck; default 20 min")(
        "range", text("T..T"),
        "measuring range of the logger, such as \"-20 degC .. 120 degC\": samples at its ends are clipped")(
        "no-flags", "flag no number as spike, stuck or clipped")(
        "leave-out", texts("NAME[=TIME]"),
        "do not believe this channel, or not from this time of the log on; it stays so with the bake; may be repeated");
}

services::GivenOptions reading_options(const Options& options) {
    std::vector<std::pair<std::string, std::string>> given;
    for (const std::string_view name : services::kReadingSingle)
        if (options.has(name.data())) given.emplace_back(name, options.text(name.data()));
    for (const std::string_view name : services::kReadingRepeated)
        for (const std::string& text : options.texts(name.data())) given.emplace_back(name, text);
    for (const std::string_view name : services::kReadingFlags)
        if (options.flag(name.data())) given.emplace_back(name, "yes");
    return services::GivenOptions(std::move(given));
}

}  // namespace bakewright::cli
