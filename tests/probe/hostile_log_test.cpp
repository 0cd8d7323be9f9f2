// SPDX-License-Identifier: Apache-2.0
// Files made to do harm, or made by machines gone wrong. All are invented.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include "log_text.hpp"

using namespace probe_test;
using bakewright::probe::kLongestLineBytes;

TEST_CASE("a line without end is refused before it is taken apart") {
    std::string endless = "Time (s),Roof\n0,20\n10,21\n20,";
    endless.append(kLongestLineBytes + 1, '9');
    CHECK(contains(problems_of(endless), "bake.csv: a line has more than 2097152 bytes (after 25 of the file)"));
    endless = std::string(kLongestLineBytes + 1, 'x');
    CHECK(contains(problems_of(endless), "this is not a table of a logger"));
    endless = "Time (s),Roof\n0,20\n10,21\n20,\"" + std::string(kLongestLineBytes, 'x') + "\n";
    CHECK_FALSE(problems_of(endless).empty());
}

TEST_CASE("a hundred thousand columns are read, whether their headings differ or not") {
    // What would take a column's share of all others takes minutes here, so a slow way shows.
    for (const bool alike : {true, false}) {
        std::string text = "Time (s)";
        for (int i = 0; i < 100000; ++i) text += alike ? ",T" : fmt::format(",T{}", i);
        for (int row = 0; row < 3; ++row) {
            text += fmt::format("\n{}", 10 * row);
            for (int i = 0; i < 100000; ++i) text += i % 2 == 0 ? ",20.5" : ",21";
        }
        const ProbeLog log = read(text + "\n");
        CHECK(log.traces.traces.size() == 100000);
        CHECK(log.traces.traces.back().name == (alike ? "T (100000)" : "T99999"));
        CHECK(log.reading.remarks.size() <= 25);
    }
}

TEST_CASE("zero bytes anywhere but behind the last row make a binary file") {
    const std::string text = "Time (s),Roof\n0,20\n10,21\n20,22\n";
    for (std::size_t at = 0; at < text.size(); ++at) {
        std::string damaged = text;
        damaged.insert(at, 1, '\0');
        CHECK(contains(problems_of(damaged), "binary file"));
    }
    const ProbeLog padded = read(text + "30,2" + std::string(512, '\0'));
    CHECK(padded.reading.rows_kept == 3);  // the row before the zeros is in pieces
    CHECK(contains(padded.reading.remarks.at(0), "ends in zero bytes"));
}

TEST_CASE("control characters, newlines and directions in names are kept as data") {
    const ProbeLog log = read("Time (s),\x1B[31mRoof\x07,\"a\nb\",\xE2\x80\xAEslip\n0,20,20,20\n10,20,21,20\n20,21,20,20\n");
    REQUIRE(log.traces.traces.size() == 3);
    CHECK(log.traces.traces[0].name == "\x1B[31mRoof\x07");
    CHECK(log.traces.traces[1].name == "a\nb");
    CHECK(log.traces.traces[2].name == "\xE2\x80\xAEslip");
}

TEST_CASE("numbers beyond all bounds are flagged or refused, in cells and in times") {
    const ProbeLog log = read("Time (s),Roof\n0,20\n10,1e308\n20,-1e308\n40,21\n50,22\n60,23\n");
    CHECK(log.reading.find("Roof")->out_of_range == 2);
    CHECK_FALSE(problems_of("Time (s),Roof\n0,20\n1e400,21\n20,22\n").empty());
    CHECK_NOTHROW((void)problems_of("Time (s),Roof\n0,20\n1e300,21\n1.1e300,22\n"));
    CHECK_NOTHROW((void)problems_of("Time,Roof\n9999-12-31 23:59:59,20\n99999-12-31 23:59:59,21\n0000-00-00 00:00:00,22\n"));
    CHECK_NOTHROW((void)problems_of("Time (s),Channel,Value\n1e300,A,20\n-1e300,A,20\n1e300,B,20\n-1e300,B,20\n"));
}
