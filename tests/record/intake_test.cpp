// SPDX-License-Identifier: Apache-2.0
#include "bakewright/record/intake.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace bakewright;
using namespace bakewright::record;

namespace {

Intake two_sources() {
    Intake intake;
    const std::size_t logger = intake.add_source("logger", 1.0), wireless = intake.add_source("wireless", 10.0);
    intake.add_channels(logger, {{"air", TraceRole::booth_air, "logger"}, {"roof", TraceRole::zone, "logger"}}, {0, 1});
    intake.add_channels(wireless, {{"sill", TraceRole::zone, "wireless"}}, {2});
    return intake;
}

std::vector<SourceRow> row(double time_s, std::vector<Reading> readings) {
    return {{.arrived_s = time_s, .readings = std::move(readings)}};
}

std::size_t missing_in(const Taken& taken) {
    std::size_t count = 0;
    for (const book::RecordedSample& sample : taken.samples) count += std::isnan(sample.temperature_k);
    return count;
}

}  // namespace

TEST_CASE("a gap is told once with the channels that had it, and a missing reading stands where it begins") {
    Intake intake = two_sources();
    Taken taken;
    for (int i = 0; i < 10; ++i) intake.take(0, row(i, {{0, 300.0 + i}, {1, 299.0}}), taken);
    CHECK(taken.events.empty());
    intake.take(0, row(40.0, {{0, 320.0}}), taken);  // the second comes later
    REQUIRE(taken.events.size() == 1);
    CHECK(taken.events[0].kind == "gap");
    CHECK(taken.events[0].channel == "air");
    CHECK(taken.events[0].time_s == 9.0);
    CHECK(taken.events[0].lasts_s == 31.0);
    CHECK(missing_in(taken) == 1);
    intake.take(0, row(60.0, {{0, 320.0}, {1, 310.0}}), taken);
    CHECK(taken.events.size() == 3);  // two gaps, each from another moment
    CHECK(intake.sources()[0].gaps == 3);
    // A source every ten seconds may be silent for thirty.
    intake.take(1, row(0.0, {{0, 300.0}}), taken);
    intake.take(1, row(29.0, {{0, 301.0}}), taken);
    CHECK(intake.sources()[1].gaps == 0);
    intake.take(1, row(60.0, {{0, 301.0}}), taken);
    CHECK(intake.sources()[1].gaps == 1);
    CHECK(taken.events.back().channel.empty());  // all of the source
}

TEST_CASE("late and repeated readings are counted and told in one line a minute") {
    Intake intake = two_sources();
    Taken taken;
    for (int i = 0; i < 5; ++i) intake.take(0, row(i, {{0, 300.0}, {1, 299.0}}), taken);
    intake.take(0, row(4.0, {{0, 300.0}, {1, 299.0}}), taken);
    intake.take(0, row(2.5, {{0, 300.0}}), taken);
    CHECK(taken.samples.size() == 11);  // the late one goes on to its place, those that are there do not
    intake.sum_up(60.0, taken);
    REQUIRE(taken.events.size() == 2);
    CHECK(taken.events[0].kind == "late");
    CHECK(taken.events[0].count == 1);
    CHECK(taken.events[1].kind == "duplicate");
    CHECK(taken.events[1].count == 2);
    intake.sum_up(120.0, taken);
    CHECK(taken.events.size() == 2);
}

TEST_CASE("the status shows the newest reading, and since when it has been the same") {
    Intake intake = two_sources();
    Taken taken;
    for (int i = 0; i < 700; ++i) intake.take(0, row(i, {{0, i < 20 ? 290.0 + i : 310.0}, {1, 299.0 + i}}), taken);
    CHECK(intake.channels()[0].latest_k == 310.0);
    CHECK(intake.channels()[0].same_since_s == 20.0);
    CHECK(intake.channels()[1].same_since_s == 699.0);
    CHECK(std::isnan(intake.channels()[2].latest_s));
    intake.take(0, row(700.0, {{0, std::nan(""), SampleQuality::open_circuit}}), taken);
    CHECK(intake.channels()[0].quality == SampleQuality::open_circuit);
}

TEST_CASE("a recording that broke off has its gap marked in the traces; the recorder tells of it") {
    Intake intake = two_sources();
    intake.seed(0, 100.0);
    Taken taken;
    intake.take(0, row(400.0, {{0, 300.0}, {1, 300.0}}), taken);
    CHECK(taken.events.empty());
    REQUIRE(taken.samples.size() == 3);
    CHECK(taken.samples[0].time_s == 101.0);
    CHECK(std::isnan(taken.samples[0].temperature_k));
}
