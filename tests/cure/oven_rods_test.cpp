// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <charconv>
#include <fstream>
#include <map>
#include <sstream>
#include <string>

#include "bakewright/cure/readings.hpp"
#include "traces.hpp"

using namespace bakewright;
using namespace bakewright::cure;
using namespace bakewright::cure::test;

namespace {

const std::string kFolder = std::string(BAKEWRIGHT_TEST_DATA) + "/nist-oven-rods/";

/// Plain comma-separated cells; these files have no quotes.
std::vector<std::vector<std::string>> cells(const std::string& file) {
    std::ifstream stream(kFolder + file);
    REQUIRE(stream.good());
    std::vector<std::vector<std::string>> rows;
    for (std::string line; std::getline(stream, line);) {
        std::vector<std::string> row;
        std::istringstream fields(line);
        for (std::string field; std::getline(fields, field, ',');) row.push_back(field);
        if (!line.empty() && line.back() == ',') row.emplace_back();
        rows.push_back(row);
    }
    return rows;
}

double number_or_missing(const std::string& text) {
    double value = kMissing;
    std::from_chars(text.data(), text.data() + text.size(), value);
    return value;
}

/// The columns of one oven test; a blank cell is a missing sample.
std::map<std::string, Trace> oven_traces(const std::string& file) {
    const auto rows = cells(file);
    std::map<std::string, Trace> traces;
    for (std::size_t column = 1; column < rows[0].size(); ++column) {
        Trace trace{.name = rows[0][column], .role = TraceRole::item, .time_s = {}, .temperature_k = {}, .quality = {}};
        for (std::size_t i = 2; i < rows.size(); ++i) {
            trace.time_s.push_back(min(number_or_missing(rows[i][0])));
            trace.temperature_k.push_back(c(number_or_missing(rows[i][column])));
        }
        traces[trace.name] = trace;
    }
    return traces;
}

}  // namespace

TEST_CASE("total time above, first rise and peak of the NIST oven rods agree with independent values") {
    // Source:    NIST TN 2320 r1 oven tests 001 and 002 (see tests/data/nist-oven-rods/SOURCE.md); expected-time-above.csv was
    // worked
    //            out from the same files by another program, straight lines between samples.
    // Tolerance: 5e-5 min, half the last printed digit, plus 1e-6 for rounding; peaks are printed as read.
    std::map<std::string, std::map<std::string, Trace>> logs;
    const auto expected = cells("expected-time-above.csv");
    REQUIRE(expected.size() == 37);
    for (std::size_t i = 1; i < expected.size(); ++i) {
        const auto& row = expected[i];
        CAPTURE(row[0]);
        CAPTURE(row[1]);
        CAPTURE(row[2]);
        if (!logs.contains(row[0])) logs[row[0]] = oven_traces(row[0]);
        const Trace& trace = logs[row[0]].at(row[1]);
        const StayReading stay = stay_at_or_above(trace, c(number_or_missing(row[2])));
        CHECK(std::abs(seconds_to_minutes(*stay.first_up_s) - number_or_missing(row[3])) <= 5.1e-5);
        CHECK(std::abs(seconds_to_minutes(stay.total_s) - number_or_missing(row[5])) <= 5.1e-5);
        CHECK(std::abs(kelvin_to_celsius(peak(trace)->temperature_k) - number_or_missing(row[6])) <= 1e-9);
    }
}

TEST_CASE("the cable with sixteen blank cells in a row has one open gap") {
    // Source: Oven_Test_001_avg.csv, column 4/C cable, blank from 11.16 to 13.66 min: usable samples at 11.00 and 13.83 min.
    const auto traces = oven_traces("Oven_Test_001_avg.csv");
    const JoinedTrace cable(traces.at("4/C cable"));
    CHECK(std::abs(cable.gaps().open_s - min(13.83 - 11.0)) <= 1e-9);
    CHECK(cable.gaps().bridged_s == 0.0);
    CHECK(JoinedTrace(traces.at("Al 1 inch")).gaps() == Gaps{});
}
