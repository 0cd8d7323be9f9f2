// SPDX-License-Identifier: Apache-2.0
// Rows that are not in the order of time, and clocks that jump. All files are invented.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include "log_text.hpp"

using namespace probe_test;

namespace {

std::string rows(std::string_view heading, const std::vector<std::string>& times) {
    std::string text = fmt::format("{};Roof (°C)\n", heading);
    for (std::size_t i = 0; i < times.size(); ++i) text += fmt::format("{};{}\n", times[i], 20 + i);
    return text;
}

std::vector<double> times_of(const ProbeLog& log) { return log.traces.traces.at(0).time_s; }

bool told(const ProbeLog& log, std::string_view part) {
    for (const auto& fault : log.reading.faults)
        if (contains(fault.text(), part)) return true;
    for (const std::string& remark : log.reading.remarks)
        if (contains(remark, part)) return true;
    return false;
}

}  // namespace

TEST_CASE("a late row is put where it belongs, and told") {
    const ProbeLog log = read(rows("Time (s)", {"0", "20", "10", "30", "40"}));
    CHECK(times_of(log) == std::vector<double>{0, 10, 20, 30, 40});
    CHECK(same(at_c(log, "Roof", 1), 22.0));
    CHECK(told(log, "rows come later than their time and were put where they belong (line 4)"));
}

TEST_CASE("a logger that starts anew is refused with its line, and each part can be taken") {
    const std::string text = rows("Time (s)", {"0", "10", "20", "0", "10", "20", "30"});
    CHECK(contains(problems_of(text), "bake.csv:5: Time (s): time runs backwards: 0 comes after 20 of line 4"));
    CHECK(contains(problems_of(text), "--from-line, --to-line"));
    ReadOptions first, second;
    first.to_line = 4;
    second.from_line = 5;
    CHECK(times_of(read(text, first)) == std::vector<double>{0, 10, 20});
    CHECK(times_of(read(text, second)) == std::vector<double>{0, 10, 20, 30});
    CHECK(same(at_c(read(text, second), "Roof", 0), 23.0));
    second.from_line = 50;
    CHECK(contains(problems_of(text, second), "no row of data stands between these lines"));
    second.from_line = 5;
    second.to_line = 2;
    CHECK(contains(problems_of(text, second), "to line"));
}

TEST_CASE("many rows together that lie in the past are no late rows") {
    CHECK_FALSE(problems_of(rows("Time (s)", {"0", "10", "20", "30", "40", "1", "2", "3", "4", "50", "60"})).empty());
}

TEST_CASE("rows from the newest to the oldest are turned round, and time 0 is the oldest") {
    const ProbeLog log = read(rows("Time", {"2026-11-24 22:00:20", "2026-11-24 22:00:10", "2026-11-24 22:00:00"}));
    CHECK(times_of(log) == std::vector<double>{0, 10, 20});
    CHECK(log.traces.started_at == "2026-11-24T22:00:00");
    CHECK(same(at_c(log, "Roof", 0), 22.0));
    CHECK(told(log, "newest to the oldest"));
}

TEST_CASE("rows that stand twice are told apart from rows that share their time") {
    const ProbeLog log = read("Time (s);Roof;Sill\n0;20;21\n10;20;22\n10;20;22\n20;21;23\n20;29;23\n30;22;24\n");
    CHECK(log.reading.rows_kept == 4);
    CHECK(same(at_c(log, "Roof", 2), 21.0));
    CHECK(told(log, "row repeats the time and the values") == false);
    CHECK(told(log, "repeat the time and the values of another row and were passed over (line 4)"));
    CHECK(told(log, "other values; the first row of each time was kept (line 6)"));
}

TEST_CASE("the hour at the end of daylight saving time is added to what follows") {
    // The night to Sunday, 25 October 2026: in the EU clocks go from 03:00 back to 02:00.
    const std::vector<std::string> times = {"2026-10-25 02:59:40", "2026-10-25 02:59:50", "2026-10-25 02:00:00",
                                            "2026-10-25 02:00:10", "2026-10-25 02:00:20"};
    const ProbeLog log = read(rows("Time", times));
    CHECK(times_of(log) == std::vector<double>{0, 10, 20, 30, 40});
    CHECK(told(log, "end of daylight saving time: an hour was added to what follows (line 4)"));
    ReadOptions options;
    options.correct_daylight_saving = false;
    CHECK(contains(problems_of(rows("Time", times), options), "time runs backwards"));
    // A clock that tells its zone needs no help.
    const ProbeLog zoned =
        read(rows("Time", {"2026-10-25T02:59:50+02:00", "2026-10-25T02:00:00+01:00", "2026-10-25T02:00:10+01:00"}));
    CHECK(times_of(zoned) == std::vector<double>{0, 10, 20});
    CHECK_FALSE(told(zoned, "daylight"));
}

TEST_CASE("the hour at the beginning of daylight saving time is taken from what follows, only in such a night") {
    // The night to Sunday, 29 March 2026: in the EU clocks go from 02:00 on to 03:00.
    const auto jump = [](std::string_view date) {
        std::vector<std::string> times;
        for (const char* clock : {"01:59:40", "01:59:50", "03:00:00", "03:00:10", "03:00:20"})
            times.push_back(fmt::format("{} {}", date, clock));
        return read(rows("Time", times));
    };
    CHECK(times_of(jump("2026-03-29")) == std::vector<double>{0, 10, 20, 30, 40});
    CHECK(told(jump("2026-03-29"), "beginning of daylight saving time"));
    const ProbeLog tuesday = jump("2026-03-31");
    CHECK(times_of(tuesday)[2] == 3620.0);
    CHECK(told(tuesday, "gap before a row"));
}

TEST_CASE("two clocks in one file that drift apart are told") {
    std::string text = "Time;Logger (s);Roof (°C)\n", steady = text;
    for (int i = 0; i <= 360; ++i) {
        const std::string clock = fmt::format("2026-11-24 {:02}:{:02}:{:02}", 20 + i / 360, i / 6 % 60, i % 6 * 10);
        text += fmt::format("{};{:.1f};20\n", clock, 10.02 * i);
        steady += fmt::format("{};{:.1f};20\n", clock, 10.0 * i);
    }
    CHECK(told(read(text), "the clock of 'Logger (s)' drifts against that of 'Time' by +7.2 s in an hour"));
    CHECK_FALSE(told(read(steady), "drifts"));
}
