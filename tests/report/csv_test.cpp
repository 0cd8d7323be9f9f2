// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/csv.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdlib>
#include <limits>

#include "report/sample_report.hpp"

using namespace bakewright;
using namespace bakewright::report;

namespace {

using Rows = std::vector<std::vector<std::string>>;

/// Reads CSV by the grammar of RFC 4180, strictly: every line ends in CRLF, quotes are doubled inside quotes.
Rows read_csv(const std::string& text) {
    Rows rows(1);
    rows.back().emplace_back();
    bool quoted = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char letter = text[i];
        if (quoted) {
            if (letter != '"') {
                rows.back().back() += letter;
            } else if (i + 1 < text.size() && text[i + 1] == '"') {
                rows.back().back() += '"';
                ++i;
            } else {
                quoted = false;
            }
        } else if (letter == '"') {
            quoted = true;
        } else if (letter == ',') {
            rows.back().emplace_back();
        } else if (letter == '\r') {
            REQUIRE(i + 1 < text.size());
            REQUIRE(text[++i] == '\n');
            rows.emplace_back(1);
        } else {
            REQUIRE(letter != '\n');
            rows.back().back() += letter;
        }
    }
    REQUIRE(rows.back() == std::vector<std::string>{""});
    rows.pop_back();
    return rows;
}

Trace column(const Rows& rows, std::size_t index) {
    Trace trace;
    for (std::size_t i = 1; i < rows.size(); ++i) {
        if (rows[i][index].empty()) continue;
        trace.time_s.push_back(std::strtod(rows[i][0].c_str(), nullptr));
        trace.temperature_k.push_back(std::strtod(rows[i][index].c_str(), nullptr));
    }
    return trace;
}

TraceSet named(const std::string& name) {
    TraceSet set;
    set.traces = {{.name = name, .role = TraceRole::zone, .time_s = {0.0}, .temperature_k = {300.0}, .quality = {}}};
    return set;
}

std::string head_of(const std::string& name) { return read_csv(traces_csv(named(name)))[0][1]; }

}  // namespace

TEST_CASE("heads carry the unit, times are the union and missing samples are blank") {
    TraceSet set;
    set.traces = {
        {.name = "roof skin", .role = TraceRole::zone, .time_s = {0.0, 20.0}, .temperature_k = {293.15, 313.15}, .quality = {}},
        {.name = "sill",
         .role = TraceRole::zone,
         .time_s = {0.0, 10.0},
         .temperature_k = {std::numeric_limits<double>::quiet_NaN(), 294.65},
         .quality = {}}};
    CHECK(traces_csv(set) ==
          "time [s],roof skin [°C],sill [°C]\r\n"
          "0,20.00,\r\n"
          "10,,21.50\r\n"
          "20,40.00,\r\n");
    CHECK(traces_csv(set, {.units = *units_from_name("us")}).find("10,,70.70\r\n") != std::string::npos);
}

TEST_CASE("an exact export reads back to the same doubles") {
    TraceSet set = sample::logged();
    set.traces[0].time_s[1] = std::nextafter(7.0, 8.0);
    const Rows rows = read_csv(traces_csv(set, {.exact = true, .flagged_samples = true}));
    REQUIRE(rows[0].size() == set.traces.size() + 1);
    CHECK(rows[0][1] == "booth air [K]");
    for (std::size_t i = 0; i < set.traces.size(); ++i) {
        Trace finite = set.traces[i];
        finite.quality.clear();
        const Trace expected = finite.usable_samples();
        const Trace read = column(rows, i + 1);
        CHECK(read.time_s == expected.time_s);
        CHECK(read.temperature_k == expected.temperature_k);
    }
}

TEST_CASE("flagged samples are blank unless asked for") {
    const TraceSet set = sample::logged();
    const std::size_t spike = 2;  // index of the trace with the spike
    CHECK(column(read_csv(traces_csv(set)), spike + 1).size() == set.traces[spike].size() - 1);
    CHECK(column(read_csv(traces_csv(set, {.flagged_samples = true})), spike + 1).size() == set.traces[spike].size());
}

TEST_CASE("names with commas, quotes and line ends stay one field") {
    CHECK(head_of("roof, \"left\"") == "roof, \"left\" [°C]");
    CHECK(head_of("roof\r\nskin") == "roof  skin [°C]");
}

TEST_CASE("a name cannot become a spreadsheet formula") {
    // Source of the guard: OWASP, "CSV Injection" (cells that begin with = + - @ and their full-width forms).
    for (const std::string name : {"=1+1", "+A1", "-2", "@SUM(A1)", "  =1+1", "\t=1+1", "\r=1+1",
                                   "\xEF\xBC\x9D"
                                   "1"}) {
        CAPTURE(name);
        CHECK(head_of(name).front() == '\'');
    }
    CHECK(head_of("roof = skin").front() == 'r');
}

TEST_CASE("an empty set is a head without rows, and the byte order mark comes only when asked for") {
    CHECK(traces_csv({}) == "time [s]\r\n");
    CHECK(traces_csv({}, {.byte_order_mark = true}) == "\xEF\xBB\xBFtime [s]\r\n");
}
