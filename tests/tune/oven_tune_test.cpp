// SPDX-License-Identifier: Apache-2.0
// Learning from a real log: aluminium rods in a convection oven. Fitted on one run, the other is predicted.

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "bakewright/bake/predict.hpp"
#include "bakewright/tune/compare.hpp"
#include "bakewright/tune/tune.hpp"
#include "oven_rods.hpp"

using namespace bakewright;
using bake::LearnedKind;

namespace {

const std::vector<std::string> kTwoRods{"Al 1/2 inch", "Al 1 inch"};

tune::TuneResult tuned_on_run_two(std::set<tune::Tunable> what) {
    tune::TuneTask task{test::oven_rods(), test::oven(), {{"run 2", test::oven_log("Oven_Test_002_avg_cut.csv", kTwoRods)}}};
    tune::TuneOptions options;
    options.what = std::move(what);
    return tune::tune(task, options);
}

/// Run 1 had no thermocouple in the air: the air that the smallest rod must have met, T + tau dT/dt with the tuned film, over
/// a minute either way.
Trace air_met_by(const Trace& rod, double tau_s) {
    const Trace smooth = rod.usable_samples();
    Trace air;
    air.name = "air";
    air.role = TraceRole::booth_air;
    constexpr std::size_t kReach = 6;  // of 10 s
    for (std::size_t i = kReach; i + kReach < smooth.size(); i += 3) {
        const double slope = (smooth.temperature_k[i + kReach] - smooth.temperature_k[i - kReach]) /
                             (smooth.time_s[i + kReach] - smooth.time_s[i - kReach]);
        air.time_s.push_back(smooth.time_s[i]);
        air.temperature_k.push_back(smooth.temperature_k[i] + tau_s * slope);
    }
    return air;
}

/// A rod like those of the profile, of another diameter: a quarter of it thick.
bake::Zone rod(const std::string& name, double diameter_m) {
    bake::Zone zone = test::oven_rods().zones.front();
    zone.name = name;
    zone.area_m2 *= diameter_m / 0.0127;
    zone.length_m = diameter_m;
    zone.layers[0].thickness_m = diameter_m / 4.0;
    return zone;
}

double film_w_per_m2_k(const tune::TuneResult& result, const std::string& zone) {
    return 22.5 * result.booth.learned.value(LearnedKind::group_film, "upright") *
           result.shell.learned.value(LearnedKind::zone_film, zone);
}

}  // namespace

TEST_CASE(
    "a film of its own for each rod tells the part of a real log that was held out, and meets what was not to its tolerance") {
    // Source: NIST Technical Note 2320 r1 and its data (tests/data/nist-oven-rods/SOURCE.md). 22.5 W/m2K is the note's own round
    // figure for all rods; a thin cylinder has a larger coefficient than a thick one. Bounds: thermocouples are stated to 0.75 %
    // of the reading, 2.2 K at 300 degC; seen 2.5 K before, 1.5 K tuned, 2.0 K held out. Held to fewer numbers the log is met to
    // 1.2 K and what is held out to 4.0 K.
    const tune::TuneResult result = tuned_on_run_two({tune::Tunable::film, tune::Tunable::zones});
    REQUIRE(result.errors.size() == 1);
    for (const tune::ChannelFinding& suspect : result.suspects) {
        CAPTURE(suspect.channel);
        CAPTURE(word_of(suspect.fault->kind));
        CAPTURE(suspect.fault->amount);
        CAPTURE(suspect.fault->statistic);
        CHECK(false);
    }
    CHECK(*result.errors[0].used_k < 0.65 * result.errors[0].before_k);
    // The quarter that holds the whole heating is told by three of slow cooling: the hardest thing to ask of one log.
    CHECK(*result.errors[0].held_out_k <= 2.5);
}

TEST_CASE("tuned on run 2, the rods of run 1 are met by what their films may be") {
    // Run 1 heats five rods of 1/2 to 2 inch; its air is that which the smallest must have met. Four others are predicted, three
    // of which had no part in the tuning: they share the group's film. The stated spread between zones has to cover them.
    const tune::TuneResult result = tuned_on_run_two({tune::Tunable::film, tune::Tunable::zones});
    const std::vector<std::string> rods{"Al 1/2 inch", "Al 3/4 inch", "Al 1 inch", "Al 1.5 inch", "Al 2 inch"};
    const TraceSet log = test::oven_log("Oven_Test_001_avg.csv", rods);
    const double tau_s = 2700.0 * 896.0 * 0.0127 / 4.0 / film_w_per_m2_k(result, "Al 1/2 inch");
    const Trace air = air_met_by(*log.find("Al 1/2 inch"), tau_s);
    const auto predicted = [&](double log_shift) {
        bake::Shell shell = result.shell;
        const double diameters_m[]{0.0127, 0.0195, 0.0254, 0.0381, 0.0508};
        shell.zones.clear();
        for (std::size_t i = 0; i < rods.size(); ++i) shell.zones.push_back(rod(rods[i], diameters_m[i]));
        bake::Booth booth = result.booth;
        booth.learned.numbers.front().value *= std::exp(log_shift);
        bake::PredictOptions options;
        options.start_temperature_k = celsius_to_kelvin(24.0);
        return bake::predict_from_air(shell, booth, air, options).traces;
    };
    const tune::Comparison middle = tune::compare(predicted(0.0), log);
    const double two_deviations = 2.0 * std::hypot(result.film_spread, result.booth.learned.numbers.front().standard_error);
    const TraceSet low = predicted(-two_deviations), high = predicted(two_deviations);
    for (const tune::ChannelComparison& channel : middle.channels) {
        CAPTURE(channel.logged);
        CAPTURE(channel.rms_k);
        CAPTURE(channel.largest_k);
        CHECK(channel.rms_k <= 6.0);  // seen: 0.6 to 5.2 K of a rise of 260 K
        // Share of samples within the band of films, widened by the thermocouples' 0.75 %.
        const Trace& logged = *log.find(channel.logged);
        std::size_t within = 0, count = 0;
        for (std::size_t i = 0; i < logged.size(); ++i) {
            const double at_s = logged.time_s[i], a = temperature_at_k(*low.find(channel.logged), at_s),
                         b = temperature_at_k(*high.find(channel.logged), at_s);
            if (!logged.usable(i) || !std::isfinite(a) || !std::isfinite(b)) continue;
            const double probe_k = 0.0075 * (logged.temperature_k[i] - celsius_to_kelvin(0.0)) + 0.5;
            ++count;
            within += logged.temperature_k[i] >= std::min(a, b) - probe_k && logged.temperature_k[i] <= std::max(a, b) + probe_k
                          ? 1
                          : 0;
        }
        REQUIRE(count > 100);
        CHECK(static_cast<double>(within) >= 0.9 * static_cast<double>(count));
    }
}
