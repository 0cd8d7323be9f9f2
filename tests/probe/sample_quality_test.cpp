// SPDX-License-Identifier: Apache-2.0
// Words and numbers for missing values and open thermocouples. Common practice, no source; all files are invented.
#include <doctest/doctest.h>

#include <cmath>

#include "log_text.hpp"

using namespace probe_test;

namespace {

/// Quality of a cell in the middle of a good channel.
SampleQuality quality_of(const std::string& cell, const std::string& unit = "°C") {
    const std::string good = unit == "K" ? "300" : "25";
    const ProbeLog log =
        read("Time (s);Roof (" + unit + ")\n0;" + good + "\n10;" + good + "\n20;" + cell + "\n30;" + good + "\n");
    const Trace& trace = log.traces.traces.at(0);
    if (trace.quality.empty()) return SampleQuality::good;
    CHECK(std::isnan(trace.temperature_k[2]));
    CHECK(trace.quality[1] == SampleQuality::good);
    CHECK(trace.quality[3] == SampleQuality::good);
    return trace.quality[2];
}

}  // namespace

TEST_CASE("words for no value are missing samples") {
    for (const std::string cell : {"", "NaN", "nan", "N/A", "-", "---", "null", "#N/A", "  "}) {
        CAPTURE(cell);
        CHECK(quality_of(cell) == SampleQuality::missing);
    }
}

TEST_CASE("words and numbers for an open thermocouple are flagged") {
    for (const std::string cell : {"OL", "OPEN", "Open TC", "Err", "inf", "9999", "9999.0", "-999.9", "32767", "6553.5", "1370",
                                   "1372.0", "2500", "-127"}) {
        CAPTURE(cell);
        CHECK(quality_of(cell) == SampleQuality::open_circuit);
    }
}

TEST_CASE("numbers that no thermocouple gives are out of range") {
    CHECK(quality_of("-273.2") == SampleQuality::out_of_range);
    CHECK(quality_of("-3.9E+12") == SampleQuality::out_of_range);
    CHECK(quality_of("3.32E+03") == SampleQuality::out_of_range);
    CHECK(quality_of("-1", "K") == SampleQuality::out_of_range);
    CHECK(quality_of("-460", "°F") == SampleQuality::out_of_range);
    CHECK(quality_of("-459", "°F") == SampleQuality::good);
    CHECK(quality_of("0", "K") == SampleQuality::good);
}

TEST_CASE("a furnace that really climbs through a full-scale number keeps it") {
    const ProbeLog log = read("Time (s),Furnace (°C)\n0,950\n10,999\n20,1150\n30,1200\n40,1250\n50,1300\n");
    CHECK(log.traces.traces[0].quality.empty());
}

TEST_CASE("a channel that gives full scale from first to last is open") {
    const ProbeLog log = read("Time (s),A (°C),B (°C)\n0,1370,20\n10,1370,21\n20,1370,22\n");
    CHECK(log.reading.find("A")->open_circuit == 3);
    CHECK(log.reading.find("A")->numbers == 3);
    CHECK(log.reading.find("B")->open_circuit == 0);
    const ProbeLog until_plugged = read("Time (s),A (°C)\n0,1370\n10,1370\n20,22\n30,1370\n");
    CHECK(until_plugged.reading.find("A")->open_circuit == 3);
}

TEST_CASE("a dead channel is kept as a trace without a usable sample") {
    const ProbeLog log = read("Time (s),A,B\n0,NaN,20\n10,NaN,21\n20,NaN,22\n");
    REQUIRE(log.traces.find("A") != nullptr);
    CHECK(log.traces.find("A")->usable_samples().size() == 0);
    CHECK(log.reading.find("A")->missing == 3);
}

TEST_CASE("a row that is a field short loses its values and keeps its time") {
    const ProbeLog log = read("Time (s),A,B\n0,20,30\n10,31\n20,22,32\n30,23,33\n");
    CHECK(log.traces.traces[0].size() == 4);
    CHECK(log.traces.traces[0].quality[1] == SampleQuality::missing);
    CHECK(log.traces.traces[1].quality[1] == SampleQuality::missing);
    CHECK(log.reading.faults.at(0).lines == std::vector<int>{3});
}

TEST_CASE("a last row cut off by lost power is left out") {
    const ProbeLog log = read("Time (s),A,B\n0,20,30\n10,21,31\n20,22,32\n3");
    CHECK(log.reading.rows_kept == 3);
    REQUIRE(log.reading.faults.size() == 1);
    CHECK(contains(log.reading.faults[0].text(), "stops in the middle of its last row"));
}

TEST_CASE("numbers are read in every usual form") {
    for (const std::string cell : {"25.5", "+25.5", " 25.5 ", "2.55e1", "2.55E+01", "0025.50", "\"25.5\"", "25.5 °C",
                                   "\xC2\xA0"
                                   "25.5"}) {
        CAPTURE(cell);
        CHECK(same(at_c(read("Time (s);Roof (°C)\n0;20\n10;20\n20;" + cell + "\n"), "Roof", 2), 25.5));
    }
    CHECK(same(at_c(read("Time (s);Roof (°C)\n0;20\n10;20\n20;\xE2\x88\x92"
                         "5.5\n"),
                    "Roof", 2),
               -5.5));
    CHECK(same(at_c(read("Time (s);Roof (°C)\n0;20\n10;20\n20;.5\n"), "Roof", 2), 0.5));
}
