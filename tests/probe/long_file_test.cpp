// SPDX-License-Identifier: Apache-2.0
// Files with one reading per row, and files with two rows of headings. All are invented, in ways that loggers and data bases
// write.
#include <doctest/doctest.h>

#include "log_text.hpp"

using namespace probe_test;

namespace {

constexpr std::string_view kLong =
    "Timestamp,Channel,Temperature (°C),Status\n"
    "2026-11-24 22:00:00,Roof,20.5,OK\n2026-11-24 22:00:00,Sill,19.5,OK\n2026-11-24 22:00:00,Booth air,25,OK\n"
    "2026-11-24 22:00:10,Roof,21.5,OK\n2026-11-24 22:00:10,Sill,OL,OK\n2026-11-24 22:00:10,Booth air,30,OK\n"
    "2026-11-24 22:00:20,Roof,22.5,OK\n2026-11-24 22:00:20,Sill,19.75,OK\n2026-11-24 22:00:20,Booth air,35,OK\n";

/// The same samples, channel after channel.
constexpr std::string_view kBlocks =
    "Probe,Time (s),Reading (°F)\nRoof,0,68\nRoof,10,86\nRoof,20,104\nSill,0,68\nSill,10,70\nSill,20,71\n";

}  // namespace

TEST_CASE("one reading per row is recognised and separated by channel") {
    const ProbeLog log = read(kLong);
    REQUIRE(log.traces.traces.size() == 3);
    CHECK(log.traces.traces[0].name == "Roof");
    CHECK(log.traces.traces[2].name == "Booth air");
    CHECK(log.reading.name_heading == "Channel");
    CHECK(log.reading.value_heading == "Temperature (°C)");
    CHECK(log.traces.traces[0].time_s == std::vector<double>{0.0, 10.0, 20.0});
    CHECK(same(at_c(log, "Roof", 2), 22.5));
    CHECK(log.traces.find("Sill")->quality.at(1) == SampleQuality::open_circuit);
    CHECK(log.traces.started_at == "2026-11-24T22:00:00");
    CHECK(log.reading.rows_read == 9);
    CHECK(log.reading.rows_kept == 9);
    CHECK(log.reading.find("Roof")->unit == "°C");
    CHECK(log.reading.find("Roof")->column == 3);
}

TEST_CASE("channels may follow each other, and may be told by headings alone") {
    const ProbeLog log = read(kBlocks);
    REQUIRE(log.traces.traces.size() == 2);
    CHECK(same(at_c(log, "Roof", 1), 30.0));
    CHECK(log.traces.find("Sill")->time_s == std::vector<double>{0.0, 10.0, 20.0});
    CHECK(read("Probe,Time (s),Reading\nRoof,0,20\nRoof,10,21\nRoof,20,22\n").traces.traces.size() == 1);
}

TEST_CASE("a channel that follows another over midnight starts at its own time") {
    std::string text = "Channel;Time;Value\n";
    for (const char* name : {"Roof", "Sill"})
        for (const char* time : {"23:59:40", "23:59:50", "00:00:00", "00:00:10"})
            text += std::string(name) + ";" + time + ";20\n";
    const ProbeLog log = read(text);
    CHECK(log.traces.find("Roof")->time_s == std::vector<double>{0.0, 10.0, 20.0, 30.0});
    CHECK(log.traces.find("Sill")->time_s == std::vector<double>{0.0, 10.0, 20.0, 30.0});
}

TEST_CASE("each channel keeps the times of its own rows") {
    const ProbeLog log = read(
        "time_s,sensor,value\n0.0,A,20\n0.4,B,30\n10.0,A,21\n10.4,B,31\n20.0,A,22\n20.4,B,32\n30.0,A,23\n30.4,B,33\n40.0,A,24\n");
    CHECK(log.traces.find("A")->time_s.size() == 5);
    CHECK(same(log.traces.find("B")->time_s.at(3), 30.4));
    CHECK(log.traces.find("B")->quality.empty());
    CHECK(same(log.reading.last_time_s, 40.0));
}

TEST_CASE("channels may be numbers, and each row may have its own unit") {
    const ProbeLog log = read(
        "Time "
        "(s),Channel,Value,Unit\n0,101,20,°C\n0,102,68,°F\n0,103,45,%\n10,101,21,°C\n10,102,86,°F\n10,103,46,%\n20,101,22,°C\n"
        "20,102,104,°F\n20,103,47,%\n");
    REQUIRE(log.traces.traces.size() == 2);
    CHECK(same(at_c(log, "101", 1), 21.0));
    CHECK(same(at_c(log, "102", 1), 30.0));
    CHECK(log.reading.find("103")->quantity == Quantity::other);
    CHECK(log.reading.find("103")->unit == "%");
}

TEST_CASE("volts of a long file become temperatures with the junction that is another channel") {
    // Type K: 2.436 mV at 60 °C, 1.000 mV at 25 °C (NIST Monograph 175), each rounded to half a microvolt: 0.025 K.
    ReadOptions options;
    options.thermocouple = bakewright::probe::ThermocoupleType::k;
    options.reference_junction_column = "Terminals";
    const ProbeLog log = read(
        "Time "
        "(s),Channel,Value,Unit\n0,Roof,1.436,mV\n0,Terminals,25,°C\n10,Roof,1.436,mV\n10,Terminals,25,°C\n20,Roof,1.436,mV\n"
        "20,Terminals,25,°C\n",
        options);
    CHECK(std::abs(at_c(log, "Roof", 1) - 60.0) <= 0.025);
}

TEST_CASE("words that tell a state make no long file") {
    const ProbeLog log = read(
        "Time "
        "(s),Roof,Sill,State\n0,20,20,idle\n10,21,20,heating\n20,22,20,heating\n30,23,21,hold\n40,24,22,hold\n50,24,23,off\n");
    CHECK(log.reading.name_heading.empty());
    CHECK(log.traces.traces.size() == 2);
    // Times to the minute repeat, and so do the words at them.
    const ProbeLog coarse =
        read("Time,Roof,State\n10:00,20,idle\n10:00,21,idle\n10:01,22,hold\n10:01,23,hold\n10:02,24,hold\n10:02,25,off\n");
    CHECK(coarse.reading.name_heading.empty());
}

TEST_CASE("options name the columns of a long file, and several values are asked about") {
    const std::string_view two = "Time (s),Where,Low,High\n0,Roof,20,21\n0,Sill,19,20\n10,Roof,22,23\n10,Sill,20,21\n";
    CHECK(contains(problems_of(two), "value column: each row is a sample of the channel that column 'Where' names"));
    ReadOptions options;
    options.name_column = "Where";
    options.value_column = "High";
    CHECK(same(at_c(read(two, options), "Sill", 1), 21.0));
    options.name_column.clear();
    CHECK(contains(problems_of(two, options), "name the name column too"));
    options = {};
    options.name_column = "Wher";
    CHECK(contains(problems_of(two, options), "the file has no column 'Wher'"));
}

TEST_CASE("time that runs backwards within a channel is refused with its lines") {
    CHECK(contains(problems_of("Probe,Time (s),Reading\nRoof,0,20\nRoof,10,21\nRoof,5,22\nSill,0,20\nSill,10,20\nSill,20,20\n"),
                   "bake.csv:4: Time (s): time runs backwards"));
}

TEST_CASE("rows of a long file without a name or a value are passed over and told") {
    const ProbeLog log =
        read("Time (s),Channel,Value\n0,A,20\n0,B,20\n10,A,21\n10,,20\n10,B,20\n20,A,22\n20,B\n30,A,23\n30,B,25\n");
    CHECK(log.traces.find("A")->size() == 4);
    CHECK(log.traces.find("B")->size() == 3);
    REQUIRE(log.reading.faults.size() == 2);
    CHECK(contains(log.reading.faults[0].text(), "rows end before their value") !=
          contains(log.reading.faults[1].text(), "rows end"));
}

TEST_CASE("a row of names above the logger's own labels gives the names") {
    const ProbeLog log = read("Time,Roof,Left sill,Booth air\ns,CH1,CH2,CH3\n,°C,°C,°F\n0,20,21,68\n10,22,21,86\n20,24,21,104\n");
    CHECK(log.traces.find("Left sill") != nullptr);
    CHECK(same(at_c(log, "Booth air", 1), 30.0));
    CHECK(log.reading.heading_line == 2);
    CHECK(log.reading.second_heading_line == 1);
    CHECK(log.reading.preamble.empty());
}

TEST_CASE("a row of names below the logger's own labels gives the names") {
    const ProbeLog log = read("Date/Time;CH1;CH2\n;Roof;Sill\n2026-11-24 22:00:00;20,5;21\n2026-11-24 22:00:10;21,5;22\n");
    CHECK(log.traces.find("Roof") != nullptr);
    CHECK(log.traces.find("Sill") != nullptr);
    CHECK(log.reading.time_heading == "Date/Time");
    CHECK(log.traces.started_at == "2026-11-24T22:00:00");
}

TEST_CASE("a group over several columns is joined to their names where these are not enough") {
    const ProbeLog log = read("Time (s),Body,,Cap,\n,upper,lower,upper,lower\n0,20,21,22,23\n10,20,21,22,23\n20,20,21,22,23\n");
    REQUIRE(log.traces.traces.size() == 4);
    CHECK(log.traces.traces[0].name == "Body upper");
    CHECK(log.traces.traces[3].name == "Cap lower");
}

TEST_CASE("names, units and the way of averaging may stand in three rows") {
    const ProbeLog log = read(
        "\"Larch County\",\"Logger 7\"\nTIMESTAMP,RECORD,Roof,Sill\ntime,number,Deg C,Deg C\n,,Avg,Avg\n\"2026-11-24 "
        "22:00:00\",1,20,21\n"
        "\"2026-11-24 22:00:10\",2,21,21\n\"2026-11-24 22:00:20\",3,22,21\n");
    REQUIRE(log.traces.traces.size() == 2);
    CHECK(log.traces.traces[0].name == "Roof");
}

TEST_CASE("lines about the logger above the headings are no headings") {
    const ProbeLog log = read("Operator;J. Painter;;\nTime (s);T1;T2;T3\n0;20;21;22\n10;20;21;22\n20;20;21;22\n");
    CHECK(log.traces.traces.at(0).name == "T1");
    CHECK(log.reading.second_heading_line == 0);
    CHECK(log.reading.preamble.size() == 1);
}
