// SPDX-License-Identifier: Apache-2.0
#include "line_decoder.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>

#include "bakewright/base/units.hpp"

using namespace bakewright;
using namespace bakewright::record;

namespace {

LineDecoder decoder(const probe::SourceRecord& record = {}, probe::ReadOptions options = {}) {
    return LineDecoder(record, std::move(options), probe::LineTime::in_the_line);
}

struct All {
    std::vector<SourceRow> rows;
    std::vector<probe::SourceChannel> announced;
    std::size_t refused = 0;
    std::string why;

    void add(LineDecoder::Decoded decoded) {
        for (SourceRow& row : decoded.rows) rows.push_back(std::move(row));
        for (probe::SourceChannel& channel : decoded.announced) announced.push_back(std::move(channel));
        refused += decoded.refused;
        if (!decoded.why.empty()) why = decoded.why;
    }
};

double celsius(const SourceRow& row, std::size_t channel) { return kelvin_to_celsius(row.readings.at(channel).temperature_k); }

void check_close(double one, double other) { CHECK(std::abs(one - other) <= 1e-9); }

const std::string kLog =
    "Larch County, booth 2\nTime;Air [°C];Roof [°C]\n07.03.2026 14:00:00;24,5;20,0\n07.03.2026 14:00:01;24,9;20,1\n"
    "07.03.2026 14:00:02;25,3;20,1\n07.03.2026 14:00:03;25,8;20,2\n";

}  // namespace

TEST_CASE("the form is found from the first lines, and each line counts once, in whatever pieces they come") {
    std::mt19937 random(5);
    for (int round = 0; round < 30; ++round) {
        LineDecoder lines = decoder();
        All all;
        for (std::size_t at = 0; at < kLog.size();) {
            const std::size_t count = std::uniform_int_distribution<std::size_t>(1, 40)(random);
            all.add(lines.take(std::string_view(kLog).substr(at, count), 100.0 + static_cast<double>(at)));
            at += count;
        }
        REQUIRE(all.announced.size() == 2);
        CHECK(all.announced[1].name == "Roof");
        REQUIRE(all.rows.size() == 4);
        for (std::size_t i = 1; i < 4; ++i) check_close(*all.rows[i].told_s - *all.rows[0].told_s, static_cast<double>(i));
        check_close(celsius(all.rows[3], 0), 25.8);
        check_close(celsius(all.rows[0], 1), 20.0);
        CHECK(all.refused == 0);
    }
}

TEST_CASE("elapsed times, times of day and dates go on from line to line, over midnight too") {
    struct Case {
        const char* head;
        const char* next;
        double step_s;
    };
    for (const Case& one :
         {Case{"time [s],air [°C]\n0,20.0\n10,21.0\n", "20,22.0\n", 10.0},
          {"Time,Air [°F]\n23:59:40,70.1\n23:59:50,71.3\n", "0:00:10,72.5\n", 20.0},
          {"Date,Time,Air [degC]\n2026-03-07,23:59:58,20.0\n2026-03-07,23:59:59,20.1\n", "2026-03-08,00:00:01,20.3\n", 2.0},
          {"elapsed min\tair °C\n0.0\t20.0\n0.5\t20.4\n", "1.0\t20.9\n", 30.0}}) {
        CAPTURE(one.head);
        LineDecoder lines = decoder();
        All all;
        all.add(lines.take(one.head, 1.0));
        CHECK(all.rows.size() == 2);
        all.add(lines.take(one.next, 2.0));
        CAPTURE(all.why);
        REQUIRE(all.rows.size() == 3);
        CHECK(all.announced.size() == 1);
        check_close(*all.rows[2].told_s - *all.rows[1].told_s, one.step_s);
        CHECK(all.rows[2].arrived_s == 2.0);
    }
}

TEST_CASE("garbage, half lines and lines with other fields are refused; what stands beside them is read") {
    LineDecoder lines = decoder();
    All all;
    all.add(lines.take(kLog, 1.0));
    all.add(lines.take("07.03.2026 14:00:04;26,1;20,3\n\x01\x80\xfe;12\x02\n07.03.2026 14:00:05;26,4\n@@@;##;--\n", 2.0));
    all.add(lines.take("07.03.2026 14:00:06;26,9;2", 3.0));
    lines.break_off();
    all.add(lines.take("0,5\n07.03.2026 14:00:07;27,3;20,6\n", 4.0));  // the rest of a line is no line
    REQUIRE(all.rows.size() == 6);
    check_close(celsius(all.rows[4], 1), 20.3);
    check_close(celsius(all.rows[5], 1), 20.6);
    check_close(*all.rows[5].told_s - *all.rows[4].told_s, 3.0);
    CHECK(all.refused == 3);
}

TEST_CASE("a line that comes again tells the same time, one that comes late its own") {
    LineDecoder lines = decoder();
    All all;
    all.add(lines.take(kLog, 1.0));
    all.add(lines.take("07.03.2026 14:00:03;25,8;20,2\n", 2.0));
    all.add(lines.take("07.03.2026 13:59:30;24,0;19,8\n", 3.0));
    all.add(lines.take("07.03.2026 14:00:04;26,0;20,4\n", 4.0));
    CAPTURE(all.why);
    REQUIRE(all.rows.size() == 7);
    check_close(*all.rows[4].told_s, *all.rows[3].told_s);
    check_close(*all.rows[5].told_s - *all.rows[0].told_s, -30.0);
    check_close(*all.rows[6].told_s - *all.rows[0].told_s, 4.0);
}

TEST_CASE("what the record says of columns goes before what is found: names, places, units, scales") {
    probe::SourceRecord record;
    probe::SourceChannel roof;
    roof.name = "roof";
    roof.column = "T2";
    roof.unit = probe::ReadingUnit::deg_f;
    roof.scale = 0.1;
    record.channels = {roof};
    LineDecoder lines = decoder(record);
    All all;
    all.add(lines.take("time [s],T1 [°C],T2\n0,20.0,680\n1,20.0,689\n", 1.0));
    CAPTURE(all.why);
    REQUIRE(all.announced.size() == 1);
    CHECK(all.announced[0].name == "roof");
    REQUIRE(all.rows.size() == 2);
    REQUIRE(all.rows[1].readings.size() == 1);
    check_close(celsius(all.rows[0], 0), 20.0);
    check_close(celsius(all.rows[1], 0), 20.5);
}

TEST_CASE("a log whose unit nothing tells is not guessed: it is said, and asked for") {
    LineDecoder lines = decoder();
    All all;
    all.add(lines.take("time,roof\n0,68\n1,69\n2,70\n", 1.0));
    CHECK(all.rows.empty());
    CHECK(all.why.find("unit") != std::string::npos);
    CHECK_FALSE(lines.knows_form());
}

TEST_CASE("lines of numbers alone have the time of their arrival") {
    probe::SourceRecord record;
    for (const char* name : {"roof", "sill"}) {
        probe::SourceChannel channel;
        channel.name = name;
        channel.unit = probe::ReadingUnit::deg_c;
        record.channels.push_back(channel);
    }
    record.channels[0].column = "2";
    record.channels[1].column = "1";
    for (const auto& [first, second] :
         {std::pair("+21.4 ; 22.5\r\n", "21.5;open\r\n"), {"  21,4   22,5\n", " 21,5 open\n"}, {"21.4,22.5\n", "21.5,open\n"}}) {
        CAPTURE(first);
        LineDecoder lines(record, {}, probe::LineTime::on_arrival);
        All all;
        all.add(lines.take(first, 7.0));
        all.add(lines.take(second, 8.0));
        all.add(lines.take("READY\n21.6\n", 9.0));
        REQUIRE(all.rows.size() == 2);
        CHECK_FALSE(all.rows[0].told_s);
        CHECK(all.rows[0].arrived_s == 7.0);
        check_close(celsius(all.rows[0], 0), 22.5);
        check_close(celsius(all.rows[1], 1), 21.5);
        CHECK(all.rows[1].readings[0].quality == SampleQuality::missing);
        CHECK(all.refused == 2);
    }
}

TEST_CASE("a million bytes without a line's end take no memory and are refused") {
    LineDecoder lines = decoder();
    All all;
    for (int i = 0; i < 1000; ++i) all.add(lines.take(std::string(1000, 'x'), 1.0));
    CHECK(all.refused >= 1);
    all.add(lines.take("\n" + kLog, 2.0));
    CHECK(all.rows.size() == 4);
}
