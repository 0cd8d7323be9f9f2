// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "bakewright/bake/build_network.hpp"
#include "bakewright/bake/built_network.hpp"
#include "bakewright/bake/predict.hpp"
#include "bakewright/profile/read.hpp"
#include "support/cvode_reference.hpp"

using namespace bakewright;

TEST_CASE("the demo van's predicted bake is within 0.01 K of an independent solver at every sample") {
    // Reference: SUNDIALS CVODE, BDF, relative 1e-9 and absolute 1e-8 K, its right-hand side written apart from the product's.
    // Tolerance 0.01 K: a hundredth of the digit shown. The van is invented, of welded steel and bonded fibreglass.
    const profile::Library library({BAKEWRIGHT_PROFILES});
    const bake::Shell shell = profile::load_shell("library_van", library).record.shell;
    bake::Booth booth = profile::load_booth("stirred_insulated", library).record;
    booth.wall_offset_k.reset();  // walls, ceiling and floor by their balances
    booth.floor = bake::FloorKind::concrete;
    const bake::Cycle cycle = profile::load_cycle("clear_60", library).record;
    const bake::PredictOptions options;
    const bake::Prediction prediction = bake::predict(shell, booth, cycle, options);

    const bake::BuiltNetwork built = bake::build_network(shell, booth, options, bake::booth_air_of(booth), booth.ambient_k);
    const auto segments = bake::cycle_segments(built, booth, cycle, bake::resolve(cycle, booth), options.after_s);
    const std::vector<double>& time_s = prediction.traces.traces.front().time_s;
    const auto reference = support::solve_with_cvode(built.network, segments, time_s, 1e-9, 1e-8);
    REQUIRE(reference.time_s.size() == time_s.size());
    double apart_k = 0.0;
    std::size_t compared = 0;
    for (std::size_t t = 0; t < built.origins.size(); ++t) {
        const thermal::Following& at = built.origins[t].at;
        if (at.place.kind != thermal::Place::Kind::node) continue;
        for (std::size_t i = 0; i < time_s.size(); ++i, ++compared) {
            const double expected_k = at.gain * reference.node_k[i][at.place.index] + at.offset_k;
            apart_k = std::max(apart_k, std::abs(prediction.traces.traces[t].temperature_k[i] - expected_k));
        }
    }
    CHECK(compared > 1000);
    CHECK(apart_k <= 0.01);

    // The same bake replayed from its own air on the 10 s grid: hundreds of short segments, so that the step is carried on.
    const bake::Prediction replay = bake::predict_from_air(shell, booth, *prediction.traces.find("booth air"), options);
    double replay_apart_k = 0.0;
    for (std::size_t t = 0; t < built.origins.size(); ++t)
        for (std::size_t i = 0; i < time_s.size(); ++i)
            replay_apart_k = std::max(replay_apart_k, std::abs(prediction.traces.traces[t].temperature_k[i] -
                                                               replay.traces.traces[t].temperature_k[i]));
    CHECK(replay_apart_k <= 2e-3);
    CHECK(replay.summary.accepted_steps <= 2 * time_s.size());
}
