// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "bakewright/bake/predict.hpp"
#include "bakewright/profile/read.hpp"
#include "example_records.hpp"
#include "random_bakes.hpp"

using namespace bakewright;
using namespace bakewright::bake;
using namespace bakewright::example;

// Heat does not come from nothing: without a burner, infrared or air that is given warmer, nothing leaves the range of what it
// began with and of the ambient. The second law; the network's edges all run from hot to cold then.

namespace {

struct Reached {
    double low_k, high_k;
    void take(double temperature_k) {
        low_k = std::min(low_k, temperature_k);
        high_k = std::max(high_k, temperature_k);
    }
};

/// Everything a bake begins with, and the ambient.
Reached surroundings_of(const RandomBake& bake) {
    Reached range{bake.booth.ambient_k, bake.booth.ambient_k};
    range.take(bake.start_temperature_k);
    if (bake.cycle.start_k) range.take(*bake.cycle.start_k);
    for (const Zone& zone : bake.shell.zones) range.take(zone.start_temperature_k.value_or(bake.start_temperature_k));
    for (const Cavity& cavity : bake.shell.cavities) range.take(cavity.start_temperature_k.value_or(bake.start_temperature_k));
    for (const Item& item : bake.shell.items) range.take(item.start_temperature_k.value_or(bake.start_temperature_k));
    return range;
}

/// Turns every source of heat off: air that is given starts no warmer than the ambient, and a burner may not fire, or is set to
/// the ambient from the beginning.
void put_no_heat_in(RandomBake& bake, bool may_fire) {
    const bool is_given = bake.booth.controller.kind == Controller::Kind::ideal;
    if (may_fire) bake.cycle.start_k.reset();
    if (is_given && bake.cycle.start_k) bake.cycle.start_k = std::min(*bake.cycle.start_k, bake.booth.ambient_k);
    for (Ventilation& mode : bake.booth.ventilation) mode.burner_may_fire = may_fire;
    for (Stage& stage : bake.cycle.stages) {
        stage = {.kind = stage.kind,
                 .setpoint_k = {},
                 .duration_s = stage.duration_s.value_or(600.0),
                 .rate_k_per_s = {},
                 .infrared = {}};
        const bool starts_colder = bake.cycle.start_k && *bake.cycle.start_k < bake.booth.ambient_k;
        if (!bake.cycle.start_k || is_given || starts_colder) stage.setpoint_k = bake.booth.ambient_k;
    }
    // Air that is given may not rise faster than the booth's ramp.
    bake.booth.largest_ramp_k_per_s = 1.0;
    bake.cycle.stages.front().duration_s = std::max(*bake.cycle.stages.front().duration_s, 300.0);
}

Reached range_of(const Prediction& prediction) {
    Reached range{HUGE_VAL, -HUGE_VAL};
    for (const Trace& trace : prediction.traces.traces)
        for (const double temperature_k : trace.temperature_k) range.take(temperature_k);
    return range;
}

/// @return whether it says anything: a burner set to the ambient heats air that a cold shell has cooled
bool check_bake(std::uint64_t seed) {
    RandomBake bake = random_bake(seed, Drawn::plausibly, 8);
    put_no_heat_in(bake, seed % 3 == 0);
    if (!problems_in(bake.shell).empty() || !problems_in(bake.booth).empty()) return false;
    PredictOptions options;
    options.start_temperature_k = bake.start_temperature_k;
    options.output_interval_s = 60.0;
    const Prediction prediction = predict(bake.shell, bake.booth, bake.cycle, options);
    if (prediction.summary.booth && prediction.summary.booth->burner_j > 1.0) return false;
    const Reached surroundings = surroundings_of(bake), reached = range_of(prediction);
    CAPTURE(seed);
    CHECK(reached.low_k >= surroundings.low_k - 0.02);
    CHECK(reached.high_k <= surroundings.high_k + 0.02);
    return true;
}

void check_bakes(std::uint64_t first) {
    int counted = 0;
    for (std::uint64_t seed = first; seed < first + 200; ++seed) counted += check_bake(seed) ? 1 : 0;
    CHECK(counted >= 120);
}

}  // namespace

// Tolerance 0.02 K: steps err by 0.005 K each, which fade.
TEST_CASE("without heat nothing leaves the range of its surroundings: random shells in all booths") { check_bakes(5'000); }
TEST_CASE("without heat nothing leaves the range of its surroundings: more random shells in all booths") { check_bakes(6'000); }

TEST_CASE("a vehicle that stands in a booth at 0 degC with no heat on stays at 0 degC, whatever the booth") {
    const profile::Library library({BAKEWRIGHT_PROFILES});
    const Shell van = profile::load_shell("library_van", library).record.shell;
    Cycle standing;
    standing.stages = {stage(StageKind::hold, 0.0, 120.0)};
    PredictOptions options;
    options.start_temperature_k = celsius_to_kelvin(0.0);
    for (const char* name : {"drive_through_insulated", "single_skin", "stirred_insulated"}) {
        Booth booth = profile::load_booth(name, library).record;
        booth.ambient_k = celsius_to_kelvin(0.0);
        using enum Controller::Kind;
        for (const Controller::Kind kind : {ideal, proportional_integral, on_off, burner_limited}) {
            booth.controller.kind = kind;
            const Reached reached = range_of(predict(van, booth, standing, options));
            CAPTURE(name);
            CAPTURE(static_cast<int>(kind));
            CHECK(reached.low_k >= celsius_to_kelvin(-0.01));
            // An on-off burner may light half a band under its set point, and stands just above that.
            CHECK(reached.high_k <= celsius_to_kelvin(0.01));
        }
    }
}

TEST_CASE("offsets hold in full where they were stated, whatever the ambient, and are nothing at it") {
    // Reference temperature 20 degC and rise 45 K: at 65 degC the air at 3 m is 8 K hotter, in a booth at 20 degC and in one
    // at 5.
    Shell shell;
    shell.id = "square";
    shell.zones = {square("skin", steel(), 1e-4, 3.0)};
    shell.zones.front().outer.emissivity = 0.0;
    Cycle cycle;
    cycle.stages = {stage(StageKind::ramp, 65.0, 30.0), stage(StageKind::hold, std::nullopt, 60.0)};
    for (const double ambient_c : {20.0, 5.0}) {
        Booth booth = layered_booth();
        booth.ambient_k = celsius_to_kelvin(ambient_c);
        PredictOptions options;
        options.start_temperature_k = booth.ambient_k;
        const Prediction prediction = predict(shell, booth, cycle, options);
        // A thin skin that does not radiate is where its air is: at the end to 0.02 K, at the start as it began.
        CHECK(std::abs(prediction.traces.find("skin")->temperature_k.back() - celsius_to_kelvin(73.0)) <= 0.02);
        CHECK(prediction.traces.find("skin")->temperature_k.front() == booth.ambient_k);
    }
}
