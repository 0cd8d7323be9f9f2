// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/probe_advice.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "small_shop.hpp"

using namespace bakewright;

TEST_CASE("each probe teaches, the more the better it is, and what is probed already teaches little") {
    const bake::Shell shell = test::small_shell();
    const bake::Booth booth = test::small_booth();
    const bake::Cycle cycle = test::small_cycle(333.15);
    const tune::ProbeAdvice advice = tune::probe_advice(shell, booth, cycle);
    REQUIRE(advice.first.size() == 4);
    REQUIRE(advice.order.size() == 4);
    for (const tune::AdvisedProbe& place : advice.first) {
        CAPTURE(place.zone);
        CHECK(place.own_after_k < 0.9 * place.own_before_k);
        CHECK(place.all_after_k < place.all_before_k);
        CHECK(place.own_after_k <= 1.1);  // a probe of 1 K tells its own zone to about that
        CHECK_FALSE(place.teaches.empty());
    }
    for (std::size_t i = 1; i < 4; ++i) CHECK(advice.first[i].all_after_k >= advice.first[i - 1].all_after_k);
    // One probe after the other: each starts where the one before ended, and gains less.
    for (std::size_t i = 1; i < 4; ++i) CHECK(std::abs(advice.order[i].all_before_k - advice.order[i - 1].all_after_k) <= 1e-9);
    const tune::ProbeAdvice better = tune::probe_advice(shell, booth, cycle, {.probe_standard_k = 0.3});
    CHECK(better.order[0].all_after_k < advice.order[0].all_after_k);
    const tune::ProbeAdvice after = tune::probe_advice(shell, booth, cycle, {.probed = {advice.order[0].zone}});
    CHECK(after.order[0].zone == advice.order[1].zone);
    CHECK_THROWS_AS(tune::probe_advice(shell, booth, cycle, {.probed = {"bonnet"}}), InputError);
}

TEST_CASE("one lump that one number moves is told by a probe as the formula of one regression says") {
    // Only the zone's own film is not known (standard deviation s of its logarithm): with slopes g_i and a probe of offset u and
    // noise n, the information is g' (n^2 I + u^2 1 1')^-1 g = (sum g^2 - u^2 (sum g)^2 / (n^2 + N u^2)) / n^2 (Sherman &
    // Morrison 1950), and the variance left 1 / (1 / s^2 + that). Here only its bounds: perfect probe, no error left; useless
    // probe, all of it.
    bake::Shell shell = test::small_shell();
    shell.zones.resize(1);
    shell.links.clear();
    bake::Booth booth = test::small_booth();
    booth.vertical_profile.clear();
    tune::AdviceOptions options;
    options.probe_standard_k = 0.001;
    options.residual_k = 0.001;
    options.residual_time_s = 0.0;
    const tune::ProbeAdvice perfect = tune::probe_advice(shell, booth, test::small_cycle(333.15), options);
    CHECK(perfect.order[0].own_after_k <= 0.01);
    options.residual_k = 1000.0;
    const tune::ProbeAdvice useless = tune::probe_advice(shell, booth, test::small_cycle(333.15), options);
    CHECK(useless.order[0].own_after_k >= 0.99 * useless.order[0].own_before_k);
}

TEST_CASE("readings whose errors stay alike teach as many as the effective number of samples says") {
    // One lump, one number, a probe without an offset. For a first-order series of n readings with lag-one correlation r the
    // information of a constant is that of n (1 - r) / (1 + r) independent ones but for the ends (Bayley & Hammersley 1946). In
    // the cool and on the ramp the slopes are no constant: so only bounds. Correlated readings teach less than independent ones
    // of the same size, and not less than that many fewer, here with 60 s a sample and 300 s: r = exp(-0.2), a tenth.
    bake::Shell shell = test::small_shell();
    shell.zones.resize(1);
    shell.links.clear();
    bake::Booth booth = test::small_booth();
    booth.vertical_profile.clear();
    const auto left_k = [&](double residual_k, double time_s) {
        tune::AdviceOptions options;
        options.probe_standard_k = 0.001;
        options.residual_k = residual_k;
        options.residual_time_s = time_s;
        return tune::probe_advice(shell, booth, test::small_cycle(333.15), options).order[0].own_after_k;
    };
    const double r = std::exp(-60.0 / 300.0), fewer = std::sqrt((1.0 + r) / (1.0 - r));
    const double independent = left_k(0.5, 0.0), alike = left_k(0.5, 300.0), as_fewer = left_k(0.5 * fewer, 0.0);
    CAPTURE(independent);
    CAPTURE(alike);
    CAPTURE(as_fewer);
    CHECK(alike > 1.5 * independent);
    CHECK(alike <= 1.1 * as_fewer);
}

TEST_CASE("advice calculates with what tuning left, and says so") {
    bake::Shell shell = test::small_shell();
    const tune::ProbeAdvice plain = tune::probe_advice(shell, test::small_booth(), test::small_cycle(333.15));
    CHECK(plain.residual_k == tune::kUsualResidual_k);
    CHECK(plain.residual_time_s == tune::kUsualResidual_s);
    CHECK(plain.residual_origin.find("common practice") == 0);
    shell.learned.residual_k = 2.0;
    shell.learned.residual_time_s = 900.0;
    const tune::ProbeAdvice tuned = tune::probe_advice(shell, test::small_booth(), test::small_cycle(333.15));
    CHECK(tuned.residual_k == 2.0);
    CHECK(tuned.residual_time_s == 900.0);
    CHECK(tuned.residual_origin == "as tuning left it");
    CHECK(tuned.order[0].all_after_k > plain.order[0].all_after_k);
}

TEST_CASE("in a booth whose surroundings nobody measured, its walls, ceiling and floor are places for probes") {
    const bake::Shell shell = test::small_shell();
    bake::Booth booth = test::small_booth();
    booth.wall_offset_k.reset();
    const bake::Cycle cycle = test::small_cycle(333.15);
    const tune::ProbeAdvice advice = tune::probe_advice(shell, booth, cycle);
    REQUIRE(advice.first.size() == 7);
    for (const char* name : {"booth wall", "booth ceiling", "booth floor"}) {
        CAPTURE(name);
        const auto place = std::find_if(advice.first.begin(), advice.first.end(),
                                        [&](const tune::AdvisedProbe& one) { return one.zone == name; });
        REQUIRE(place != advice.first.end());
        CHECK(place->all_after_k < 0.999 * place->all_before_k);
        CHECK(place->own_after_k < 0.9 * place->own_before_k);
    }
    // One that is probed already is not advised again.
    const tune::ProbeAdvice after = tune::probe_advice(shell, booth, cycle, {.probed = {"booth wall", "booth floor"}});
    CHECK(after.first.size() == 5);
    CHECK(after.first.front().all_before_k < advice.first.front().all_before_k);
}
