// SPDX-License-Identifier: Apache-2.0
// The files here are invented, in the ways loggers and spreadsheets are known to write. Source of the comma form: RFC 4180.
#include <doctest/doctest.h>

#include "log_text.hpp"

using namespace probe_test;

namespace {

constexpr std::string_view kPlain = "Time (s),Roof (°C),Sill (°C)\n0,20.5,19.5\n10,21.25,19.5\n20,22.0,19.75\n";

void check_plain(const ProbeLog& log) {
    REQUIRE(log.traces.traces.size() == 2);
    CHECK(log.traces.traces[0].name == "Roof");
    CHECK(log.traces.traces[1].name == "Sill");
    REQUIRE(log.traces.traces[0].size() == 3);
    CHECK(same(log.traces.traces[0].time_s[1], 10.0));
    CHECK(same(at_c(log, "Roof", 1), 21.25));
    CHECK(same(at_c(log, "Sill", 2), 19.75));
}

std::string utf16(std::string_view ascii_and_degree, bool big_endian, bool mark) {
    std::string out;
    const auto put = [&](unsigned unit) {
        const char high = static_cast<char>(unit >> 8), low = static_cast<char>(unit & 0xFF);
        out += big_endian ? std::string{high, low} : std::string{low, high};
    };
    if (mark) put(0xFEFF);
    for (std::size_t i = 0; i < ascii_and_degree.size(); ++i) {
        const auto byte = static_cast<unsigned char>(ascii_and_degree[i]);
        if (byte == 0xC2) continue;  // first byte of the degree sign in UTF-8
        put(byte);
    }
    return out;
}

std::string replaced(std::string text, std::string_view from, std::string_view to) {
    for (std::size_t at = 0; (at = text.find(from, at)) != std::string::npos; at += to.size()) text.replace(at, from.size(), to);
    return text;
}

}  // namespace

TEST_CASE("comma, decimal point, UTF-8") {
    const ProbeLog log = read(kPlain);
    check_plain(log);
    CHECK(log.reading.encoding == "UTF-8");
    CHECK(log.reading.delimiter == ',');
    CHECK(log.reading.decimal_mark == '.');
}

TEST_CASE("each encoding gives the same log") {
    struct Case {
        std::string bytes, encoding;
    };
    const std::string plain(kPlain);
    const Case cases[] = {{"\xEF\xBB\xBF" + plain, "UTF-8 with byte-order mark"},
                          {replaced(plain, "\xC2\xB0", "\xB0"), "Latin-1"},
                          {utf16(plain, false, true), "UTF-16 LE"},
                          {utf16(plain, true, true), "UTF-16 BE"},
                          {utf16(plain, false, false), "UTF-16 LE"},
                          {utf16(plain, true, false), "UTF-16 BE"}};
    for (const Case& c : cases) {
        CAPTURE(c.encoding);
        const ProbeLog log = read(c.bytes);
        check_plain(log);
        CHECK(log.reading.encoding == c.encoding);
        CHECK(log.reading.find("Roof")->found == "in the name");
    }
}

TEST_CASE("signs beyond 16 bits survive UTF-16, halves of them do not pass for text") {
    // U+1F690 is D83D DE90 in UTF-16 and F0 9F 9A 90 in UTF-8 (Unicode 15, 3.9); a lone half becomes U+FFFD.
    const std::string tail = utf16(
        " (\xC2\xB0"
        "C)\n0,20\n10,21\n20,22\n",
        false, false);
    const std::string head = utf16("Time (s),", false, true);
    CHECK(read(head + "\x3D\xD8\x90\xDE" + tail).traces.traces.at(0).name == "\xF0\x9F\x9A\x90");
    CHECK(read(head + "\x3D\xD8" + tail).traces.traces.at(0).name == "\xEF\xBF\xBD");
}

TEST_CASE("each line end gives the same log") {
    for (const std::string_view end : {"\r\n", "\r", "\n\n"}) check_plain(read(replaced(std::string(kPlain), "\n", end)));
    std::string unfinished(kPlain);
    unfinished.pop_back();
    check_plain(read(unfinished));
}

TEST_CASE("each delimiter gives the same log") {
    for (const char delimiter : {';', '\t', '|'}) {
        const ProbeLog log = read(replaced(std::string(kPlain), ",", std::string(1, delimiter)));
        check_plain(log);
        CHECK(log.reading.delimiter == delimiter);
    }
}

TEST_CASE("decimal commas with semicolons, tabs and, in quotes, with commas") {
    const std::string commas = replaced(replaced(std::string(kPlain), ",", ";"), ".", ",");
    for (const std::string& text :
         {commas, replaced(commas, ";", "\t"),
          std::string("Time (s),Roof (°C),Sill (°C)\n0,\"20,5\",\"19,5\"\n10,\"21,25\",\"19,5\"\n20,\"22,0\",\"19,75\"\n")}) {
        CAPTURE(text);
        const ProbeLog log = read(text);
        check_plain(log);
        CHECK(log.reading.decimal_mark == ',');
    }
}

TEST_CASE("columns aligned by blanks, headings with blanks in them") {
    check_plain(
        read("Time (s)   Roof (°C)   Sill (°C)\n       0        20.5        19.5\n      10       21.25        19.5\n"
             "      20       22.0         19.75\n"));
    const ProbeLog log = read(
        "Time           Roof  Sill\n2026-03-02 14:05:00  20.5 19.5\n2026-03-02 14:05:10  21.25 19.5\n"
        "2026-03-02 14:05:20  22.0 19.75\n");
    check_plain(log);
    CHECK(log.traces.started_at == "2026-03-02T14:05:00");
}

TEST_CASE("the separator line of spreadsheets is obeyed") {
    const ProbeLog log = read("sep=;\r\nTime (s);Roof (°C);Sill (°C)\r\n0;20,5;19,5\r\n10;21,25;19,5\r\n20;22;19,75\r\n");
    check_plain(log);
    CHECK(log.reading.heading_line == 2);
    CHECK(log.reading.preamble.empty());
}

TEST_CASE("quoted fields may hold delimiters, newlines and doubled quotes (RFC 4180, section 2, rules 5 to 7)") {
    const ProbeLog log = read(
        "Time (s),\"Roof,\r\nleft \"\"A\"\" (°C)\",Note\r\n0,20.5,\"door, open\"\r\n10,\"21.25\",\"two\nlines\"\r\n20,22,ok\r\n");
    REQUIRE(log.traces.traces.size() == 1);
    CHECK(log.traces.traces[0].name == "Roof,\r\nleft \"A\"");
    CHECK(same(log.traces.traces[0].temperature_k[2], 22.0 + 273.15));
    CHECK(log.reading.find("Note")->quantity == Quantity::text);
    // Lines are counted through quoted newlines: the second data row starts on line 4, the third on line 6.
    CHECK(contains(problems_of("Time (s),\"Roof\n(°C)\"\n0,20.5\n10,21\n20,2o\n30,22\n"), "bake.csv:5: Roof\n(°C): '2o'"));
}

TEST_CASE("an inch mark inside a heading is no quotation") {
    const ProbeLog log = read("Time (s),Rod 3/4\" (°C),\"3/4\" tube\" (°C)\n0,20,21\n10,22,23\n20,24,25\n");
    REQUIRE(log.traces.traces.size() == 2);
    CHECK(log.traces.traces[0].name == "Rod 3/4\"");
}

TEST_CASE("preamble lines with commas and numbers are not taken for data") {
    const ProbeLog log = read(
        "Larch County body shop,booth 2\nSerial,12345\nInterval,10,s\nChannels,2\n\nTime (s),Roof (°C),Sill (°C)\n0,20.5,19.5\n"
        "10,21.25,19.5\n20,22.0,19.75\n");
    check_plain(log);
    CHECK(log.reading.heading_line == 6);
    CHECK(log.reading.preamble.size() == 4);
    CHECK(log.reading.preamble[0] == "Larch County body shop,booth 2");
}

TEST_CASE("a units row is found, in brackets or not") {
    for (const std::string_view units : {"s,°C,°C", "[s],[°C],[°C]", "(s),(degC),(deg C)", "sec,C,Celsius"}) {
        CAPTURE(units);
        const ProbeLog log = read("Time,Roof,Sill\n" + std::string(units) + "\n0,20.5,19.5\n10,21.25,19.5\n20,22.0,19.75\n");
        check_plain(log);
        CHECK(log.reading.units_line == 2);
        CHECK(log.reading.find("Roof")->found == "units row");
        CHECK(log.reading.remarks.empty());
    }
}

TEST_CASE("units are read from the headings, in every way they are written") {
    struct Case {
        std::string heading, name, unit;
    };
    const Case cases[] = {{"Roof [C]", "Roof", "°C"},
                          {"Roof (°F)", "Roof", "°F"},
                          {"Roof / K", "Roof", "K"},
                          {"Roof, °C", "Roof", "°C"},
                          {"Roof °C", "Roof", "°C"},
                          {"roof_degF", "roof", "°F"},
                          {"air_temp_f", "air_temp", "°F"},
                          {"Roof ºC", "Roof", "°C"},
                          {"Roof (℃)", "Roof", "°C"},
                          {"Roof (Â°C)", "Roof", "°C"},
                          {"Roof [Kelvin]", "Roof", "K"},
                          {"Roof (deg C)", "Roof", "°C"},
                          {"Roof (\xEF\xBF\xBD"
                           "C)",
                           "Roof", "°C"},
                          {"Roof (?C)", "Roof", "°C"},
                          {"Roof°F", "Roof", "°F"}};
    for (const Case& c : cases) {
        CAPTURE(c.heading);
        const ProbeLog log = read("Time (s)\t" + c.heading + "\n0\t310\n10\t311\n20\t312\n");
        REQUIRE(log.traces.traces.size() == 1);
        CHECK(log.traces.traces[0].name == c.name);
        CHECK(log.reading.channels[1].unit == c.unit);
        CHECK(log.reading.channels[1].found == "in the name");
    }
}

TEST_CASE("letters that belong to a name are not units") {
    for (const std::string heading : {"Probe C", "Type K", "Oven T/C", "12/C cable", "Left (front)"}) {
        CAPTURE(heading);
        const ProbeLog log = read("Time (s);" + heading + "\n0;20\n10;21\n20;22\n");
        CHECK(log.traces.traces[0].name == heading);
        CHECK(log.reading.channels[1].found == "assumed");
    }
}

TEST_CASE("a letter that may be a unit or a name is asked about, unless other letters stand in its place") {
    CHECK(contains(problems_of("Time (s);Zone F\n0;20\n10;21\n20;22\n"), "Zone F: 'F' may be a unit and was not understood"));
    const ProbeLog log = read("Time (s);Zone E;Zone F\n0;20;20\n10;21;21\n20;22;22\n");
    CHECK(log.reading.find("Zone F")->found == "assumed");
}

TEST_CASE("a suffix that all channels share is their unit") {
    const ProbeLog log = read("time_s,roof_k,left_sill_k\n0,300,301\n10,302,303\n20,304,305\n");
    CHECK(log.traces.traces[1].name == "left_sill");
    CHECK(log.traces.traces[1].temperature_k[0] == 301.0);
    CHECK(log.reading.time_form == TimeForm::elapsed_seconds);
}

TEST_CASE("degrees Fahrenheit and kelvin are converted, other quantities are listed and left alone") {
    const ProbeLog log =
        read("Time,Roof,Sill,Flux,Fan,RH\nmin,°F,K,kW/m2,rpm,%\n0,212,373.15,5,900,40\n1,32,273.15,5,900,40\n2,32,1,5,900,40\n");
    REQUIRE(log.traces.traces.size() == 2);
    CHECK(same(at_c(log, "Roof", 0), 100.0));
    CHECK(same(at_c(log, "Sill", 1), 0.0));
    CHECK(log.traces.traces[0].time_s[1] == 60.0);
    CHECK(log.reading.channels[3].quantity == Quantity::other);
    CHECK(log.reading.channels[5].unit == "%");
}

TEST_CASE("units behind the numbers are read, and may differ from cell to cell") {
    const ProbeLog log = read("Time (s),Roof,Humidity\n0,20.5 °C,45 %\n10,21°C,45 %\n20,71.6 °F,46 %\n");
    REQUIRE(log.traces.traces.size() == 1);
    CHECK(same(at_c(log, "Roof", 0), 20.5));
    CHECK(same(at_c(log, "Roof", 2), 22.0));
    CHECK(log.reading.find("Humidity")->quantity == Quantity::other);
}

TEST_CASE("without a unit anywhere a column is read as Celsius, and the reading says so") {
    const ProbeLog log = read("Time (s),Roof\n0,20\n10,21\n20,22\n");
    CHECK(log.reading.channels[1].found == "assumed");
    CHECK(log.reading.channels[1].unit == "°C");
    REQUIRE(log.reading.remarks.size() == 1);
    CHECK(contains(log.reading.remarks[0], "no unit for Roof"));
    CHECK(contains(log.reading.remarks[0], "°F would begin near freezing"));
    const std::string warm = problems_of("Time (s),Roof\n0,68\n10,69\n20,150\n");
    CHECK(contains(warm, "as °C it starts at 68.0 °C (hot already) and peaks at 150.0 °C (hotter than a low bake)"));
    CHECK(contains(warm, "as °F it starts at 20.0 °C (a shop's temperature) and peaks at 65.6 °C (a low bake)"));
    CHECK(contains(warm, "--channel-unit \"Roof=degF\""));
    ReadOptions said;
    said.temperature_unit = TemperatureUnit::fahrenheit;
    CHECK(same(at_c(read("Time (s),Roof\n0,68\n10,69\n20,150\n", said), "Roof", 0), 20.0));
}

TEST_CASE("headings that stand twice are told apart") {
    const ProbeLog log = read("Time (s),T,T,T\n0,20,21,22\n10,20,21,22\n20,20,21,22\n");
    CHECK(log.traces.traces[1].name == "T (2)");
    CHECK(log.traces.traces[2].name == "T (3)");
    CHECK(same(at_c(log, "T (3)", 0), 22.0));
    CHECK(log.reading.remarks.size() == 3);
}

TEST_CASE("channels that are headed by numbers are headings, not data") {
    const ProbeLog log = read("Time,1,2,3\n0,20,21,22\n10,20,21,22\n20,20,21,22\n");
    CHECK(log.reading.heading_line == 1);
    CHECK(log.traces.traces[2].name == "3");
    CHECK(log.reading.rows_read == 3);
}

TEST_CASE("a delimiter at the end of each row makes no column") {
    const ProbeLog log = read("Time (s),Roof,\n0,20,\n10,21,\n20,22,\n");
    CHECK(log.traces.traces.size() == 1);
    CHECK(problems_of("Time (s),Roof\n0,20,\n10,21,\n20,22,\n").empty());
}

TEST_CASE("headings that come again in the middle are passed over, and the reading says so") {
    const ProbeLog log = read("Time (s),Roof\ns,C\n0,20\n10,21\nTime (s),Roof\ns,C\n20,22\n");
    CHECK(log.reading.rows_kept == 3);
    REQUIRE(log.reading.faults.size() == 1);
    CHECK(log.reading.faults[0].text() == "2 rows repeat the headings or units and were passed over (lines 5, 6)");
}

TEST_CASE("a summary behind the data is passed over") {
    const ProbeLog log = read("Time (s),Roof\n0,20\n10,21\n20,22\nMax,22\nEnd of log\n");
    CHECK(log.reading.rows_kept == 3);
    CHECK(log.reading.faults[0].lines == std::vector<int>{5, 6});
}

TEST_CASE("options go before what is found in the file") {
    ReadOptions options;
    options.temperature_unit = TemperatureUnit::fahrenheit;
    CHECK(same(at_c(read("Time (s),Roof\n0,212\n10,212\n20,212\n", options), "Roof", 0), 100.0));
    // A unit in the file stands against the general option, but not against the one for the column.
    CHECK(same(at_c(read("Time (s),Roof (°C)\n0,100\n10,212\n20,212\n", options), "Roof", 0), 100.0));
    ReadOptions single;
    single.channel_units["Roof"] = TemperatureUnit::fahrenheit;
    CHECK(same(at_c(read("Time (s),Roof (°C)\n0,212\n10,212\n20,212\n", single), "Roof", 0), 100.0));

    ReadOptions forced;
    forced.delimiter = ';';
    forced.decimal_mark = ',';
    forced.skip_lines = 1;
    const ProbeLog log = read("1;2;3\nTime (s);Roof\n0;20,5\n10;21,5\n20;22\n", forced);
    CHECK(log.reading.heading_line == 2);
    CHECK(same(at_c(log, "Roof", 0), 20.5));
}

TEST_CASE("chosen columns become traces, the others are listed as not chosen") {
    ReadOptions options;
    options.channels = {"sill", "2"};
    const ProbeLog log = read("Time (s),Roof,Sill,Door\n0,20,21,22\n10,20,21,22\n20,20,21,22\n", options);
    REQUIRE(log.traces.traces.size() == 2);
    CHECK(log.reading.find("Door")->quantity == Quantity::unread);
}

TEST_CASE("the worked example of docs/log-files.md is read as the page says") {
    const std::string page = file_text(std::string(BAKEWRIGHT_TEST_DATA) + "/../../docs/log-files.md");
    const std::size_t from = page.find("Larch County Specialty Body");
    const ProbeLog log = read(page.substr(from, page.find("```", from) - from));
    CHECK(log.reading.delimiter == ';');
    CHECK(log.reading.decimal_mark == ',');
    CHECK(log.reading.preamble.size() == 2);
    CHECK(log.reading.heading_line == 3);
    CHECK(log.reading.units_line == 4);
    CHECK(log.reading.time_heading == "Datum + Uhrzeit");
    CHECK(log.reading.time_form == TimeForm::date_day_first);
    CHECK(log.traces.started_at == "2026-11-24T23:59:50");
    CHECK(log.reading.find("Dach")->found == "units row");
    CHECK(same(at_c(log, "Schweller", 0), 20.0));
    CHECK(log.traces.find("Dach")->quality[2] == SampleQuality::open_circuit);
    CHECK(log.reading.find("Lüfter")->quantity == Quantity::other);
    CHECK(log.traces.traces.size() == 3);
}
