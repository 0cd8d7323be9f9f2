#include "bakewright/tune/probe_advice.hpp"

#include <doctest/doctest.h>

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
    for (const tune::ProbePlace& place : advice.first) {
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
    options.noise_k = 0.001;
    const tune::ProbeAdvice perfect = tune::probe_advice(shell, booth, test::small_cycle(333.15), options);
    CHECK(perfect.order[0].own_after_k <= 0.01);
    options.noise_k = 1000.0;
    const tune::ProbeAdvice useless = tune::probe_advice(shell, booth, test::small_cycle(333.15), options);
    CHECK(useless.order[0].own_after_k >= 0.99 * useless.order[0].own_before_k);
}
