// SPDX-License-Identifier: Apache-2.0
// Rules that flag samples. The rules are common practice; all files are invented, but for one named below.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "log_text.hpp"

using namespace probe_test;

namespace {

/// A booth that warms by 2 K/min from 20 °C for 30 min, then holds; a row every 10 s. The roof follows 10 min behind.
struct Bake {
    std::string text = "Time (s),Air (°C),Roof (°C)\n";
    explicit Bake(const auto& change, int rows = 361) {
        for (int i = 0; i < rows; ++i) {
            double air = 20.0 + 2.0 * std::min(i / 6.0, 30.0);
            double roof = 20.0 + 2.0 * std::min(std::max(i / 6.0 - 10.0, 0.0), 25.0);
            // A ripple below the tenth of a kelvin that any logger shows.
            air += 0.1 * (i % 3);
            roof += 0.1 * (i % 2);
            change(i, air, roof);
            text += fmt::format("{},{:.1f},{:.1f}\n", 10 * i, air, roof);
        }
    }
};

std::size_t flagged(const ProbeLog& log, std::string_view name, SampleQuality quality) {
    const Trace* trace = log.traces.find(name);
    return static_cast<std::size_t>(std::count(trace->quality.begin(), trace->quality.end(), quality));
}

}  // namespace

TEST_CASE("a good bake has no flag, whatever its ramps") {
    const ProbeLog log = read(Bake([](int, double&, double&) {}).text);
    for (const Trace& trace : log.traces.traces) CHECK(trace.quality.empty());
    CHECK(log.reading.faults.empty());
}

TEST_CASE("a spike is flagged, keeps its value, and is no usable sample") {
    const ProbeLog log = read(Bake([](int i, double& air, double&) {
                                  if (i == 50 || i == 200 || i == 201) air += 40.0;
                              }).text);
    const Trace& air = *log.traces.find("Air");
    CHECK(flagged(log, "Air", SampleQuality::spike) == 3);
    CHECK(flagged(log, "Roof", SampleQuality::spike) == 0);
    CHECK(air.quality[50] == SampleQuality::spike);
    CHECK(air.quality[51] == SampleQuality::good);
    CHECK(std::abs(at_c(log, "Air", 50) - 76.9) <= 0.11);  // 20 + 2 * 50 / 6 + 40, and a ripple of 0.2 K at most
    CHECK_FALSE(air.usable(50));
    CHECK(log.reading.find("Air")->spikes == 3);
}

TEST_CASE("the one good sample between two spikes is none, though it stands off the line between them") {
    const ProbeLog log = read(Bake([](int i, double& air, double&) {
                                  if (i == 100 || i == 102 || i == 200 || i == 201 || i == 203) air += 40.0;
                              }).text);
    const Trace& air = *log.traces.find("Air");
    CHECK(flagged(log, "Air", SampleQuality::spike) == 5);
    for (const std::size_t good : {101U, 202U}) CHECK(air.usable(good));
}

TEST_CASE("a step that stays, a slow excursion and a small one are no spikes") {
    const ProbeLog step = read(Bake([](int i, double& air, double&) { air += i >= 200 ? 30.0 : 0.0; }).text);
    CHECK(flagged(step, "Air", SampleQuality::spike) == 0);
    const ProbeLog door = read(Bake([](int i, double& air, double&) { air -= i >= 200 && i < 206 ? 25.0 : 0.0; }).text);
    CHECK(flagged(door, "Air", SampleQuality::spike) == 0);
    const ProbeLog small = read(Bake([](int i, double& air, double&) { air += i == 200 ? 9.0 : 0.0; }).text);
    CHECK(flagged(small, "Air", SampleQuality::spike) == 0);
    ReadOptions options;
    options.quality.spike_k = 5.0;
    CHECK(flagged(read(Bake([](int i, double& air, double&) { air += i == 200 ? 9.0 : 0.0; }).text, options), "Air",
                  SampleQuality::spike) == 1);
}

TEST_CASE("a channel that jumps all the time has no spikes") {
    const ProbeLog log = read(Bake([](int i, double& air, double&) { air += i % 2 == 0 ? 15.0 : 0.0; }).text);
    CHECK(flagged(log, "Air", SampleQuality::spike) == 0);
}

TEST_CASE("rows in which a real logger swapped two sensors are found") {
    // Source: tests/data/pi-thermometers-5ch (licence beside it). At 1858 s and 2165 s sensors 1 and 2 read each other's values.
    const std::string name = std::string(BAKEWRIGHT_TEST_DATA) + "/pi-thermometers-5ch/Boiling_Water_250131.csv";
    const ProbeLog log = bakewright::probe::read_log(file_text(name), name);
    for (const std::string_view sensor : {"Sensor 1", "Sensor 2"})
        for (const double time_s : {1858.0, 2165.0}) {
            const Trace& trace = *log.traces.find(sensor);
            const auto at = std::find(trace.time_s.begin(), trace.time_s.end(), time_s) - trace.time_s.begin();
            CHECK(trace.quality.at(static_cast<std::size_t>(at)) == SampleQuality::spike);
        }
}

TEST_CASE("a reading that freezes in full motion is stuck from its second sample on") {
    const auto freeze = [](int i, double&, double& roof) {
        if (i >= 100 && i < 250) roof = 33.0;
    };
    const ProbeLog log = read(Bake(freeze).text);
    CHECK(flagged(log, "Roof", SampleQuality::stuck) == 149);
    CHECK(log.traces.find("Roof")->quality[100] == SampleQuality::good);
    CHECK(log.traces.find("Roof")->quality[250] == SampleQuality::good);
    CHECK(flagged(log, "Air", SampleQuality::stuck) == 0);
    ReadOptions options;
    options.quality.stuck_time_s = 1800.0;
    CHECK(flagged(read(Bake(freeze).text, options), "Roof", SampleQuality::stuck) == 0);
    options = {};
    options.quality.enabled = false;
    CHECK(read(Bake(freeze).text, options).traces.find("Roof")->quality.empty());
}

TEST_CASE("a part that waits for the heat, and a steady hold, are not stuck") {
    const ProbeLog waits = read(Bake([](int i, double&, double& roof) { roof = i < 150 ? 20.0 : roof; }).text);
    CHECK(flagged(waits, "Roof", SampleQuality::stuck) == 0);
    const ProbeLog holds = read(Bake([](int i, double& air, double& roof) {
                                    if (i >= 220) air = 80.0, roof = 70.0;
                                }).text);
    CHECK(flagged(holds, "Roof", SampleQuality::stuck) == 0);
    CHECK(flagged(holds, "Air", SampleQuality::stuck) == 0);
}

TEST_CASE("what a controller holds without noise is not stuck while the parts come towards it") {
    const ProbeLog log = read(Bake([](int i, double& air, double& roof) {
                                  air = std::min(20.0 + 2.0 * i / 6.0, 60.0);
                                  roof = 20.0 + 35.0 * (1.0 - std::exp(-std::max(i - 60, 0) / 100.0));
                              }).text);
    CHECK(flagged(log, "Air", SampleQuality::stuck) == 0);
    CHECK(flagged(log, "Roof", SampleQuality::stuck) == 0);
}

TEST_CASE("what no part of a body can reach is flagged whatever its value and wherever it stands") {
    for (const double value_c : {850.1, 0.0, 85.0, -0.1})
        for (const auto& [first, end] : {std::pair{0, 1}, {150, 151}, {150, 158}, {360, 361}}) {
            const ProbeLog log = read(Bake([&, first = first, end = end](int i, double&, double& roof) {
                                          if (i >= first && i < end) roof = value_c;
                                      }).text);
            CAPTURE(value_c);
            CAPTURE(first);
            CHECK(flagged(log, "Roof", SampleQuality::spike) == static_cast<std::size_t>(end - first));
        }
    // A probe that is pulled off reads something else for good: what follows is no temperature of the roof.
    const ProbeLog off = read(Bake([](int i, double&, double& roof) { roof = i >= 350 ? 25.0 : roof; }).text);
    CHECK(flagged(off, "Roof", SampleQuality::spike) == 11);
}

TEST_CASE("samples at the ends of a range that is given are clipped, and keep their value") {
    ReadOptions options;
    options.quality.range_most_k = bakewright::celsius_to_kelvin(60.0);
    const ProbeLog log = read(Bake([](int, double& air, double&) { air = std::min(air, 60.0); }).text, options);
    CHECK(flagged(log, "Air", SampleQuality::clipped) > 200);
    CHECK(same(at_c(log, "Air", 300), 60.0));
    CHECK(log.reading.find("Air")->clipped == flagged(log, "Air", SampleQuality::clipped));
}

TEST_CASE("a flat end at 125 °C that is reached in full motion is clipped; a set point is not") {
    const auto hot = [](double most_c) {
        std::string text = "Time (s),Air (°C)\n-20,20.2\n-10,20.3\n";
        for (int i = 0; i < 60; ++i) text += fmt::format("{},{:.1f}\n", 10 * i, std::min(20.3 + 2.5 * i + 0.1 * (i % 2), most_c));
        return read(text);
    };
    CHECK(flagged(hot(125.0), "Air", SampleQuality::clipped) == 18);  // 20.3 + 2.5 i passes 125 from i = 42 on
    CHECK(flagged(hot(120.0), "Air", SampleQuality::clipped) == 0);
}

TEST_CASE("rules that accept nothing are refused") {
    for (const auto& [change, key] : std::initializer_list<std::pair<void (*)(bakewright::probe::QualityRules&), const char*>>{
             {[](auto& rules) { rules.spike_k = 0.0; }, "spike limit"},
             {[](auto& rules) { rules.stuck_time_s = -1.0; }, "stuck time"},
             {[](auto& rules) { rules.range_least_k = 400.0, rules.range_most_k = 300.0; }, "range"}}) {
        ReadOptions options;
        change(options.quality);
        CHECK(contains(problems_of("Time (s),Roof\n0,20\n10,20\n20,21\n", options), key));
    }
}

TEST_CASE("gaps are measured, of the file and of each channel") {
    std::string text = "Time (s),Air (°C),Roof (°C)\n";
    for (int i = 0; i < 60; ++i) {
        if (i >= 20 && i < 30) continue;
        text += fmt::format("{},{},{}\n", 10 * i, 20 + i, i >= 40 && i < 52 ? "" : "21");
    }
    const ProbeLog log = read(text);
    CHECK(same(log.reading.longest_gap_s, 110.0));
    REQUIRE(log.reading.faults.size() == 1);
    CHECK(contains(log.reading.faults[0].text(), "gap before a row longer than five usual intervals (line 22)"));
    CHECK(same(log.reading.find("Roof")->longest_gap_s, 130.0));
    CHECK(same(log.reading.find("Roof")->longest_gap_from_s, 390.0));
    CHECK(same(log.reading.find("Air")->longest_gap_s, 110.0));
}
