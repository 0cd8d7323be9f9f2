// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/temperature_plot.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "bakewright/report/plain_text.hpp"
#include "report/lines.hpp"
#include "report/sample_report.hpp"

using namespace bakewright;
using namespace bakewright::report;

namespace {}  // namespace

TEST_CASE("the plot shows the air, the hottest and the coolest zone and the hottest item") {
    const TraceSet traces = sample::predicted();
    const std::vector<std::size_t> shown = traces_to_plot(traces);
    std::vector<std::string> names;
    for (const std::size_t i : shown) names.push_back(traces.traces[i].name);
    CHECK(names == std::vector<std::string>{"booth air", "roof skin", "left sill", "reading-corner seats"});
}

TEST_CASE("every line of the plot keeps within the width, and the air's letter stands over the seats'") {
    for (const std::size_t width : {60, 80, 120})
        for (const bool dots : {true, false}) {
            PlotOptions options;
            options.text.style.width = width;
            options.dots = dots;
            const std::string text = temperature_plot(sample::predicted(), traces_to_plot(sample::predicted()), options);
            const std::vector<std::string> lines = lines_of(text);
            CHECK(lines.size() == 1 + 16 + 1 + 4);
            for (const std::string& line : lines) CHECK(display_width(line) <= width);
            const auto row_of = [&](char letter) {
                for (std::size_t i = 1; i <= 16; ++i)
                    if (lines[i].find(letter) != std::string::npos) return i;
                return std::size_t{99};
            };
            CHECK(row_of('A') < row_of('D'));
        }
}

TEST_CASE("without dots the plot is plain ASCII") {
    PlotOptions options;
    options.dots = false;
    options.text.units = *units_from_name("si");
    options.level_k = celsius_to_kelvin(60.0);
    const std::string text = temperature_plot(sample::predicted(), traces_to_plot(sample::predicted()), options);
    CHECK(std::all_of(text.begin(), text.end(), [](char letter) { return static_cast<unsigned char>(letter) < 0x80; }));
    CHECK(text.find("- schedule") != std::string::npos);
}

TEST_CASE("a straight rise is drawn as a diagonal, and a gap stays open") {
    // By hand: 40 columns less the axis leave 33, a quarter of them in each of 4 rows.
    TraceSet set;
    set.traces = {
        {.name = "ramp", .role = TraceRole::booth_air, .time_s = {0.0, 1000.0}, .temperature_k = {300.0, 340.0}, .quality = {}}};
    PlotOptions options;
    options.text.style.width = 40;
    options.rows = 4;
    options.dots = false;
    const std::vector<std::string> lines = lines_of(temperature_plot(set, {0}, options));
    CHECK(lines[1].find_last_of('A') > lines[4].find_last_of('A'));
    for (std::size_t row = 1; row <= 4; ++row) {
        const auto letters = std::count(lines[row].begin(), lines[row].end(), 'A');
        CHECK(letters >= 7);  // a quarter of 33 columns, a little less at the ends, where dots are rounded
        CHECK(letters <= 10);
    }
    set.traces[0].time_s = {0.0, 400.0, 500.0, 600.0, 1000.0};
    set.traces[0].temperature_k = {300.0, 300.0, std::nan(""), 300.0, 340.0};
    const std::vector<std::string> open = lines_of(temperature_plot(set, {0}, options));
    CHECK(open[4].find("A ") != std::string::npos);
    CHECK(open[4].find(" A", open[4].find("A ") + 1) != std::string::npos);
}

TEST_CASE("a plot of nothing is empty, and names with control characters stay harmless") {
    CHECK(temperature_plot(TraceSet{}, {}, {}).empty());
    TraceSet set = sample::predicted();
    set.traces[0].name = "air\x1b[31m\n";
    CHECK(temperature_plot(set, {0}, {}).find('\x1b') == std::string::npos);
}
