// SPDX-License-Identifier: Apache-2.0
// Do the stated 95 % intervals hold? Truth drawn from the priors, a log made with it, tuned, two hundred times.

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <cstdint>
#include <vector>

#include "bakewright/bake/uncertainty.hpp"
#include "bakewright/thermal/ensemble.hpp"
#include "bakewright/tune/tune.hpp"
#include "small_shop.hpp"

using namespace bakewright;
using bake::LearnedKind;

namespace {

constexpr std::size_t kRepetitions = 200;
constexpr double kCalibrated_k = 0.25;  // standard uncertainty of the probes
constexpr std::size_t kAsked = 5;

struct Number {
    LearnedKind kind;
    const char* subject;
    double standard;       ///< of the logarithm, beforehand
    bool is_asked = true;  ///< else it is as uncertain and not to be learned
};

bake::Shell three_zones() {
    bake::Shell shell = test::small_shell();
    shell.zones.erase(shell.zones.begin());
    return shell;
}

/// Records of calibrated probes, embedded: they have an offset and nothing else.
probe::ProbeSet calibrated_probes(const TraceSet& traces) {
    probe::ProbeSet set;
    for (const Trace& trace : traces.traces) {
        probe::ProbeRecord record;
        record.channel = trace.name;
        record.attachment = probe::Attachment::embedded;
        record.calibration = probe::Calibration{{{celsius_to_kelvin(60.0), 0.0}}, 2.0 * kCalibrated_k, 2.0};
        set.probes.push_back(record);
    }
    return set;
}

}  // namespace

TEST_CASE("95 percent intervals hold the truth in 95 percent of two hundred bakes") {
    // Truth is drawn from the priors themselves, so that intervals are exact but for linearisation, whatever the data say
    // (self-consistency of Bayesian intervals: Cook, Gelman & Rubin, J. Comput. Graph. Stat. 15 (2006) 675, from memory).
    // Sampling error of a share of 200 at 0.95 is 0.0154: each number within three of those, 0.90 to 1; all together, which are
    // not independent, within two: 0.92 to 0.98.
    // What is not learned is as uncertain as it is believed to be, and drawn as well. Seen: 0.96; with all of that held at what
    // the profiles say, 0.76.
    const bake::Uncertainty prior;
    const double deviation = bake::kDeviationsTo95, zone = std::log1p(prior.zone_film) / deviation;
    const std::array numbers{Number{LearnedKind::group_film, "upright", std::log(8.0 / 3.0) / (2.0 * deviation)},
                             Number{LearnedKind::zone_film, "lower", zone},
                             Number{LearnedKind::zone_film, "door", zone},
                             Number{LearnedKind::zone_film, "frame", zone},
                             Number{LearnedKind::link, "lower frame", std::log1p(prior.link) / deviation},
                             Number{LearnedKind::thickness, "lower", std::log1p(prior.thickness) / deviation, false},
                             Number{LearnedKind::thickness, "door", std::log1p(prior.thickness) / deviation, false},
                             Number{LearnedKind::thickness, "frame", std::log1p(prior.thickness) / deviation, false},
                             Number{LearnedKind::vertical_profile, "", std::log1p(prior.vertical_profile) / deviation, false},
                             Number{LearnedKind::wall_offset, "", std::log1p(prior.wall_offset) / deviation, false},
                             Number{LearnedKind::emissivity, "", std::log1p(prior.emissivity) / deviation, false}};
    std::array<std::size_t, numbers.size()> held{};
    for (std::size_t repetition = 0; repetition < kRepetitions; ++repetition) {
        std::array<double, numbers.size() + 1> z{};
        thermal::draw_normals(4711, repetition, z);
        bake::Shell truth = three_zones();
        bake::Booth booth = test::small_booth();
        for (std::size_t n = 0; n < numbers.size(); ++n)
            (bake::is_of_booth(numbers[n].kind) ? booth.learned : truth.learned)
                .numbers.push_back({numbers[n].kind, numbers[n].subject, std::exp(z[n] * numbers[n].standard), 0.0, {}});
        tune::LoggedBake bake =
            test::logged("bake", truth, booth,
                         {.seed = 100 + repetition, .noise_k = 0.3, .offset_standard_k = kCalibrated_k, .interval_s = 120.0});
        bake.probes = calibrated_probes(bake.traces);
        for (double& temperature_k : test::channel(bake, "booth air").temperature_k) temperature_k += kCalibrated_k * z.back();
        tune::TuneOptions options;
        options.what = {tune::Tunable::film, tune::Tunable::zones, tune::Tunable::links};
        options.holds_out = false;
        options.keeps_suspects = true;
        options.thread_count = 1;
        const tune::TuneResult result = tune::tune({three_zones(), test::small_booth(), {bake}}, options);
        for (std::size_t n = 0; n < numbers.size(); ++n) {
            if (!numbers[n].is_asked) continue;
            const tune::TunedNumber* found = test::number(result, numbers[n].kind, numbers[n].subject);
            REQUIRE(found != nullptr);
            const double off = std::log(found->learned.value) - z[n] * numbers[n].standard;
            held[n] += std::abs(off) <= 1.96 * found->learned.standard_error ? 1 : 0;
        }
    }
    std::size_t all = 0;
    for (std::size_t n = 0; n < numbers.size(); ++n) {
        if (!numbers[n].is_asked) continue;
        CAPTURE(numbers[n].subject);
        CAPTURE(held[n]);
        const double share = static_cast<double>(held[n]) / static_cast<double>(kRepetitions);
        CHECK(share >= 0.90);
        all += held[n];
    }
    const double share = static_cast<double>(all) / static_cast<double>(kRepetitions * kAsked);
    CAPTURE(share);
    CHECK(share >= 0.92);
    CHECK(share <= 0.98);
}
