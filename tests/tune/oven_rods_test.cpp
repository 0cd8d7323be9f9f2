// SPDX-License-Identifier: Apache-2.0
// A real log end to end: aluminium rods in a convection oven, their air replayed through a model of each rod.

#include "oven_rods.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "bakewright/bake/predict.hpp"
#include "bakewright/tune/compare.hpp"

using namespace bakewright;

namespace {

tune::Comparison replay(double film_factor) {
    const TraceSet log = test::oven_log("Oven_Test_002_avg_cut.csv", {"Al 1/2 inch", "Al 1 inch"});
    bake::PredictOptions options;
    options.film_factor = film_factor;
    options.start_temperature_k = celsius_to_kelvin(24.4);  // first reading of both rods
    const bake::Prediction prediction =
        bake::predict_from_air(test::oven_rods(), test::oven(), *log.first(TraceRole::booth_air), options);
    return tune::compare(prediction.traces, log);
}

const tune::ChannelComparison& channel(const tune::Comparison& comparison, const std::string& name) {
    const auto found = std::find_if(comparison.channels.begin(), comparison.channels.end(),
                                    [&](const tune::ChannelComparison& one) { return one.predicted == name; });
    REQUIRE(found != comparison.channels.end());
    return *found;
}

}  // namespace

TEST_CASE("a replay of the oven's measured air follows rods of known size to a few kelvin over six hours") {
    // Source: McGrattan, Leventon, Bareham & Taylor, NIST Technical Note 2320 r1 and its data (see SOURCE.md): diameter, density
    // and specific heat stated; one film coefficient of 22.5 W/m2K for both rods, of which the source's note says that it is good
    // to a few kelvin. The smaller rod has the larger coefficient in truth and runs ahead while the oven climbs fastest. Bounds:
    // RMS 4 and 3 K (seen 3.0, 1.9), largest 14 and 6 K (seen 12.2, 3.8) of a rise of 275 K; the stated thermocouple uncertainty
    // is 0.75 % of the reading, 2.2 K at 300 degC.
    const tune::Comparison comparison = replay(1.0);
    struct Bound {
        const char* rod;
        double rms_k, largest_k;
    };
    for (const Bound& bound : {Bound{"Al 1/2 inch", 4.0, 14.0}, Bound{"Al 1 inch", 3.0, 6.0}}) {
        CAPTURE(bound.rod);
        const tune::ChannelComparison& found = channel(comparison, bound.rod);
        CAPTURE(found.bias_k);
        CAPTURE(found.rms_k);
        CAPTURE(found.largest_k);
        CHECK(found.samples > 2000);
        CHECK(found.rms_k <= bound.rms_k);
        CHECK(std::abs(found.largest_k) <= bound.largest_k);
    }
}

TEST_CASE("half the film coefficient is told apart from the right one by the same log") {
    // The test above must be able to fail: with half the film the one-inch rod lags by minutes.
    const tune::Comparison comparison = replay(0.5);
    CHECK(channel(comparison, "Al 1 inch").rms_k > 5.0);
    REQUIRE(channel(comparison, "Al 1 inch").lag_s.has_value());
    CHECK(std::abs(*channel(comparison, "Al 1 inch").lag_s) > 60.0);
}
