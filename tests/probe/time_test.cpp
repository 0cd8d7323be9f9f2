// SPDX-License-Identifier: Apache-2.0
// Invented files, one for each way of writing time. ISO 8601:2004 for the forms with the year first.
#include <doctest/doctest.h>

#include <array>

#include "bakewright/base/units.hpp"
#include "log_text.hpp"

using namespace probe_test;

namespace {

/// A file with these three times and a temperature.
std::string log_with(std::string_view heading, const std::array<std::string, 3>& times) {
    std::string out = std::string(heading) + ";Roof (°C)\n";
    for (const std::string& time : times) out += time + ";20.5\n";
    return out;
}

struct Case {
    std::string heading;
    std::array<std::string, 3> times;
    TimeForm form;
    double first_s, second_s, third_s;
    std::string started_at;
};

void check(const Case& c, const ReadOptions& options = {}) {
    CAPTURE(c.heading);
    CAPTURE(c.times[0]);
    const ProbeLog log = read(log_with(c.heading, c.times), options);
    CHECK(log.reading.time_form == c.form);
    REQUIRE(log.traces.traces[0].size() == 3);
    // A serial day of ten decimals is good to 5e-6 s; all others are exact to rounding.
    const double tolerance_s = c.form == TimeForm::spreadsheet_days ? 1e-4 : 1e-6;
    CHECK(std::abs(log.traces.traces[0].time_s[0] - c.first_s) <= tolerance_s);
    CHECK(std::abs(log.traces.traces[0].time_s[1] - c.second_s) <= tolerance_s);
    CHECK(std::abs(log.traces.traces[0].time_s[2] - c.third_s) <= tolerance_s);
    CHECK(log.traces.started_at == c.started_at);
}

}  // namespace

TEST_CASE("elapsed time is kept as the logger counts it, below zero too") {
    const Case cases[] = {
        {"Time (s)", {"-10", "0", "10.5"}, TimeForm::elapsed_seconds, -10, 0, 10.5, ""},
        {"Time [min]", {"0", "0.5", "1"}, TimeForm::elapsed_minutes, 0, 30, 60, ""},
        {"Elapsed (h)", {"0.25", "0.5", "1"}, TimeForm::elapsed_hours, 900, 1800, 3600, ""},
        {"time_ms", {"0000", "0500", "1000"}, TimeForm::elapsed_milliseconds, 0, 0.5, 1, ""},
        {"Minutes", {"0", "1", "2"}, TimeForm::elapsed_minutes, 0, 60, 120, ""},
        {"Time (d)", {"0", "0.5", "1"}, TimeForm::elapsed_days, 0, 43200, 86400, ""},
        {"Time", {"5", "6", "7"}, TimeForm::elapsed_seconds, 5, 6, 7, ""},
        {"Elapsed time", {"00:00:10", "00:01:00", "25:00:00.5"}, TimeForm::elapsed_hms, 10, 60, 90000.5, ""},
        {"Time", {"0:00:00", "0:00:10", "0:00:20"}, TimeForm::elapsed_hms, 0, 10, 20, ""},
        {"Time (mm:ss)", {"00:10", "01:00", "62:03"}, TimeForm::elapsed_ms, 10, 60, 3723, ""},
        {"Time", {"00:10.5", "01:00.0", "62:03.0"}, TimeForm::elapsed_ms, 10.5, 60, 3723, ""},
        {"Time (hh:mm)", {"0:10", "1:00", "26:30"}, TimeForm::elapsed_hms, 600, 3600, 95400, ""},
    };
    for (const Case& c : cases) check(c);
}

TEST_CASE("dates with the year first are read in all forms of ISO 8601 and its relatives") {
    const TimeForm form = TimeForm::date_year_first;
    const Case cases[] = {
        {"Time",
         {"2026-03-02T14:05:00", "2026-03-02T14:05:10", "2026-03-03T00:00:00"},
         form,
         0,
         10,
         35700,
         "2026-03-02T14:05:00"},
        {"Time",
         {"2026-03-02 14:05:00.25", "2026-03-02 14:05:10,5", "2026-03-02 14:06"},
         form,
         0,
         10.25,
         59.75,
         "2026-03-02T14:05:00.25"},
        {"Time", {"20260302T140500", "20260302T140510", "20260302T140520"}, form, 0, 10, 20, "2026-03-02T14:05:00"},
        {"Time", {"20260302140500", "20260302140510", "20260302140520"}, form, 0, 10, 20, "2026-03-02T14:05:00"},
        {"Time", {"2026/3/2 9:05", "2026/3/2 9:06", "2026/3/2 24:00:00"}, form, 0, 60, 53700, "2026-03-02T09:05:00"},
        {"Time",
         {"2026-03-02T14:05:00Z", "2026-03-02T14:05:10Z", "2026-03-02T14:05:20Z"},
         form,
         0,
         10,
         20,
         "2026-03-02T14:05:00Z"},
        // The clock goes from winter to summer time at 02:00: with zones the step is ten seconds, as it was.
        {"Time",
         {"2026-03-29T01:59:50+01:00", "2026-03-29T03:00:00+02:00", "2026-03-29T03:00:10+0200"},
         form,
         0,
         10,
         20,
         "2026-03-29T01:59:50+01:00"},
        {"Time",
         {"2026-03-02 14:05:00 -0530", "2026-03-02 14:05:10 -05:30", "2026-03-02 14:05:20 -0530"},
         form,
         0,
         10,
         20,
         "2026-03-02T14:05:00-05:30"},
        {"Time",
         {"2024-02-28 23:59:50", "2024-02-29 00:00:00", "2024-03-01 00:00:00"},
         form,
         0,
         10,
         86410,
         "2024-02-28T23:59:50"},
    };
    for (const Case& c : cases) check(c);
}

TEST_CASE("the order of day and month is decided by the whole file") {
    const Case cases[] = {
        {"Date",
         {"1/3/2026 23:59:50", "1/3/2026 23:59:55", "13/3/2026 00:00"},
         TimeForm::date_day_first,
         0,
         5,
         950410,
         "2026-03-01T23:59:50"},
        {"Date",
         {"3/1/2026 23:59", "3/2/2026 0:00", "3/13/2026 0:00"},
         TimeForm::date_month_first,
         0,
         60,
         950460,
         "2026-03-01T23:59:00"},
        {"Date",
         {"02.03.2026 14:05", "02.03.2026 14:06", "02.03.2026 14:07"},
         TimeForm::date_day_first,
         0,
         60,
         120,
         "2026-03-02T14:05:00"},
        {"Date",
         {"4/4/26 2:05 PM", "4/4/26 2:06 PM", "4/4/26 2:07 PM"},
         TimeForm::date_day_first,
         0,
         60,
         120,
         "2026-04-04T14:05:00"},
        {"Date",
         {"24 Dec 2026 14:05", "24 December 2026 14:06", "24-Dec-26 14:07"},
         TimeForm::date_year_first,
         0,
         60,
         120,
         "2026-12-24T14:05:00"},
        {"Date",
         {"Dec 24, 2026 11:59:50 AM", "Dec 24, 2026 12:00:00 PM", "Dec 24, 2026 1:00:00 p.m."},
         TimeForm::date_year_first,
         0,
         10,
         3610,
         "2026-12-24T11:59:50"},
        {"Date",
         {"Thu 14:05:00 24/12/2026", "Thu 14:05:10 24/12/2026", "Thu 14:05:20 24/12/2026"},
         TimeForm::date_day_first,
         0,
         10,
         20,
         "2026-12-24T14:05:00"},
    };
    for (const Case& c : cases) check(c);
}

TEST_CASE("a date that can be read two ways is asked about, never guessed") {
    const std::string text = log_with("Date", {"2/3/2026 14:05", "2/3/2026 14:06", "2/3/2026 14:07"});
    const std::string problem = problems_of(text);
    CHECK(contains(problem, "Date: the date '2/3/2026 14:05' may have the day or the month first"));
    CHECK(contains(problem, "day-first or month-first"));
    ReadOptions options;
    options.time_form = TimeForm::date_day_first;
    CHECK(read(text, options).traces.started_at == "2026-03-02T14:05:00");
    options.time_form = TimeForm::date_month_first;
    CHECK(read(text, options).traces.started_at == "2026-02-03T14:05:00");
}

TEST_CASE("a file that changes the order of its dates is refused") {
    CHECK(contains(problems_of(log_with("Date", {"13/3/2026 14:05", "3/14/2026 14:06", "3/14/2026 14:07"})),
                   "the dates change their order"));
}

TEST_CASE("a time of day without a date starts at zero and runs on past midnight") {
    check({"Time", {"23:59:50", "00:00:00", "00:00:10"}, TimeForm::clock_of_day, 0, 10, 20, ""});
    check({"Clock", {"11:59:50 PM", "12:00:00 AM", "12:00:10 AM"}, TimeForm::clock_of_day, 0, 10, 20, ""});
    check({"Time", {"14:05", "14:06", "14:07"}, TimeForm::clock_of_day, 0, 60, 120, ""});
}

TEST_CASE("times such as 0:10 are asked about") {
    const std::string text = log_with("Time", {"0:00", "0:10", "0:20"});
    CHECK(contains(problems_of(text), "hours and minutes or minutes and seconds"));
    ReadOptions options;
    options.time_form = TimeForm::elapsed_ms;
    CHECK(read(text, options).traces.traces[0].time_s[1] == 10.0);
    options.time_form = TimeForm::elapsed_hms;
    CHECK(read(text, options).traces.traces[0].time_s[1] == 600.0);
}

TEST_CASE("counts since 1970 and serial days of spreadsheets are recognised by their size") {
    // 1767225600 s is 2026-01-01T00:00:00Z; 46023 is 2026-01-01 (25569 is 1970-01-01, and 20454 days lie between).
    check({"Time", {"1767225600", "1767225610", "1767225620.5"}, TimeForm::unix_seconds, 0, 10, 20.5, "2026-01-01T00:00:00Z"});
    check({"Time",
           {"1767225600250", "1767225610250", "1767225620250"},
           TimeForm::unix_milliseconds,
           0,
           10,
           20,
           "2026-01-01T00:00:00.25Z"});
    check({"Time",
           {"46023.5", "46023.5001157407", "46023.5002314815"},
           TimeForm::spreadsheet_days,
           0,
           10,
           20,
           "2026-01-01T12:00:00"});
    ReadOptions options;
    options.time_form = TimeForm::elapsed_seconds;
    check({"Time", {"46023.5", "46024", "46024.5"}, TimeForm::elapsed_seconds, 46023.5, 46024, 46024.5, ""}, options);
}

TEST_CASE("date and time of day may stand in two columns") {
    for (const std::string heading : {"Date;Time;Roof (°C)\n", "Datum;Uhrzeit;Roof (°C)\n"}) {
        const ProbeLog log = read(heading + "24.12.2026;23:59:50;20\n25.12.2026;00:00:00;21\n25.12.2026;00:00:10;22\n");
        CHECK(log.traces.started_at == "2026-12-24T23:59:50");
        CHECK(log.traces.traces[0].time_s[2] == 20.0);
        CHECK(log.traces.traces.size() == 1);
    }
    const ProbeLog apart = read("Time;Roof (°C);Date\n23:59:50;20;2026-12-24\n00:00:00;21;2026-12-25\n00:00:10;22;2026-12-25\n");
    CHECK(apart.reading.time_heading == "Date + Time");
    CHECK(apart.traces.traces[0].time_s[2] == 20.0);
}

TEST_CASE("the time column is found without a heading by its dates, or named by the user") {
    const ProbeLog log = read("When;Roof (°C)\n2026-03-02 14:05:00;20\n2026-03-02 14:05:10;21\n2026-03-02 14:05:20;22\n");
    CHECK(log.traces.started_at == "2026-03-02T14:05:00");
    CHECK(log.reading.remarks.size() == 1);
    const ProbeLog bare = read("2026-03-02 14:05:00;20\n2026-03-02 14:05:10;21\n2026-03-02 14:05:20;22\n");
    CHECK(bare.reading.heading_line == 0);
    CHECK(bare.traces.traces[0].name == "column 2");
    ReadOptions options;
    options.time_column = "Step";
    options.time_form = TimeForm::elapsed_minutes;
    CHECK(read("Step;Roof (°C)\n0;20\n1;21\n2;22\n", options).traces.traces[0].time_s[2] == 120.0);
    options.time_column = "1";
    CHECK(read("Step;Roof (°C)\n0;20\n1;21\n2;22\n", options).traces.traces[0].time_s[2] == 120.0);
}

TEST_CASE("a second time column is not a temperature") {
    const ProbeLog log =
        read("Timestamp;Elapsed (s);Roof\n2026-03-02 14:05:00;0;20\n2026-03-02 14:05:10;10;21\n2026-03-02 14:05:20;20;22\n");
    CHECK(log.traces.traces.size() == 1);
    CHECK(log.reading.find("Elapsed")->quantity == Quantity::time);
}

TEST_CASE("time that runs backwards is refused, with both lines and the likely cause") {
    CHECK(contains(problems_of(log_with("Time (s)", {"0", "20", "10"})),
                   "bake.csv:4: Time (s): time runs backwards: 10 comes after 20 of line 3"));
    CHECK(contains(problems_of(log_with("Time", {"2026-10-25 02:59:50", "2026-10-25 02:59:55", "2026-10-25 02:00:20"})),
                   "daylight saving"));
    CHECK(contains(problems_of(log_with("Time (s)", {"0", "10", "0"})), "take one part with the lines from and to"));
    CHECK(contains(problems_of(log_with("Time", {"12:59:50", "12:59:55", "1:00:00"})), "12-hour clock without AM and PM"));
}

TEST_CASE("a repeated time keeps its first row") {
    const ProbeLog log = read("Time (s),Roof\n0,20\n10,21\n10,29\n20,22\n");
    CHECK(log.reading.rows_read == 4);
    CHECK(log.reading.rows_kept == 3);
    CHECK(same(at_c(log, "Roof", 1), 21.0));
    REQUIRE(log.reading.faults.size() == 1);
    CHECK(log.reading.faults[0].lines == std::vector<int>{4});
}

TEST_CASE("dates that are not in the calendar and hours that are not on the clock are refused") {
    for (const std::string time : {"2026-02-29 10:00:00", "2026-13-01 10:00:00", "2026-02-01 25:00:00", "2026-02-01 10:61:00"}) {
        CAPTURE(time);
        CHECK(contains(problems_of(log_with("Time", {"2026-01-01 10:00:00", time, "2026-03-02 10:00:00"})),
                       "'" + time + "' is not a date"));
    }
    CHECK(contains(problems_of(log_with("Time", {"2026-01-01 13:00 PM", "2026-01-01 01:00 PM", "2026-01-01 02:00 PM"})),
                   "is not a time"));
}

TEST_CASE("rows with and without a time zone do not mix") {
    CHECK(contains(problems_of(log_with("Time", {"2026-01-01T10:00:00Z", "2026-01-01T10:00:10", "2026-01-01T10:00:20Z"})),
                   "some rows give a time zone"));
}

TEST_CASE("a date in digits alone is not a number of seconds, though it stands among them") {
    CHECK(contains(problems_of(log_with("Time", {"1", "2", "20261224153000"})),
                   "'20261224153000' is not a time; the column holds numbers"));
}

TEST_CASE("a time form that does not fit the column is refused") {
    ReadOptions options;
    options.time_form = TimeForm::elapsed_minutes;
    CHECK(contains(problems_of(log_with("Time", {"2026-01-01T10:00:00", "2026-01-01T10:00:10", "2026-01-01T10:00:20"}), options),
                   "asked for"));
    options.time_form = TimeForm::date_day_first;
    CHECK(contains(problems_of(log_with("Time", {"0", "1", "2"}), options), "asked for"));
}

TEST_CASE("every time form has a name that leads back to it") {
    for (int i = 0; i <= static_cast<int>(TimeForm::spreadsheet_days); ++i) {
        const auto form = static_cast<TimeForm>(i);
        CHECK(bakewright::probe::time_form_from_name(bakewright::probe::time_form_name(form)) == form);
    }
    CHECK_FALSE(bakewright::probe::time_form_from_name("fortnights").has_value());
}

TEST_CASE("rows without a time are as far apart as a line above the headings says, from the start it says") {
    const auto log_of = [](const std::string& above) {
        return above + "Roof (°C),Sill (°C)\n20.5,20.1\n21.0,20.2\nburner on\n\n21.5,20.4\n22.0,20.6\n";
    };
    struct Above {
        std::string text, started_at;
        double interval_s;
    };
    const std::vector<Above> accepted{
        {"Interval: 10 s\n", "", 10.0},
        {"Sample interval (s),5\n", "", 5.0},
        {"Messintervall;00:00:30\n", "", 30.0},
        {"Start: 2026-11-24 23:59:50\nLogging interval: 0.5 min\n", "2026-11-24T23:59:50", 30.0},
        {"Logger 4711\nInterval=250 ms\nStart time: 24 Nov 2026 16:00:00\n", "2026-11-24T16:00:00", 0.25}};
    for (const Above& above : accepted) {
        CAPTURE(above.text);
        const ProbeLog log = read(log_of(above.text));
        REQUIRE(log.traces.traces.size() == 2);
        const Trace& roof = log.traces.traces[0];
        REQUIRE(roof.size() == 4);
        for (std::size_t i = 0; i < 4; ++i) CHECK(std::abs(roof.time_s[i] - above.interval_s * static_cast<double>(i)) <= 1e-9);
        CHECK(std::abs(roof.temperature_k[3] - bakewright::celsius_to_kelvin(22.0)) <= 1e-9);
        CHECK(log.traces.started_at == above.started_at);
        CHECK(log.reading.channels.size() == 2);
        CHECK(log.reading.channels[0].column == 1);
        CHECK(contains(log.reading.remarks.back(), "by the line"));
        CHECK(log.reading.notes.size() == 1);
    }
    ReadOptions second;
    second.channels = {"2"};
    CHECK(read(log_of("Interval: 10 s\n"), second).traces.traces.at(0).name == "Sill");
    // Nothing is guessed: an interval without a unit, none at all, a moment that may be two.
    CHECK(contains(problems_of(log_of("Interval: 10\n")), "no time column"));
    CHECK(contains(problems_of(log_of("Period: 01:00:00\n")), "no time column"));
    CHECK(read(log_of("Interval: 10 s\nStart: 02/03/2026 16:00:00\n")).traces.started_at.empty());
    // A column that tells the time goes before what is said above.
    CHECK(read("Interval: 10 s\nTime (s),Roof (°C)\n0,20\n1,21\n2,22\n").traces.traces.at(0).time_s[1] == 1.0);
}
