// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/causes.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "small_shop.hpp"

using namespace bakewright;
using bake::LearnedKind;
using Kind = tune::Cause::Kind;

namespace {

/// The likeliest cause of a log that was made with one number changed.
tune::Cause first_cause(const bake::LearnedNumber& number) {
    bake::Shell shell = test::small_shell();
    bake::Booth booth = test::small_booth();
    (bake::is_of_booth(number.kind) ? booth.learned : shell.learned).numbers = {number};
    const std::vector<tune::Cause> causes =
        tune::likely_causes(test::small_shell(), test::small_booth(), test::logged("bake", shell, booth, {.noise_k = 0.05}));
    REQUIRE(!causes.empty());
    return causes.front();
}

}  // namespace

TEST_CASE("the cause that a log was made with comes first, with about its amount") {
    // First order about the profile: a tenth of the change, plus what the noise of 0.05 K leaves.
    const tune::Cause film = first_cause({LearnedKind::group_film, "upright", 0.9, 0.0, {}});
    CHECK(film.kind == Kind::film);
    CHECK(std::abs(film.value - 0.9) <= 0.02);
    CHECK(film.explained > 0.9);
    const tune::Cause air = first_cause({LearnedKind::air_offset, {}, 3.0, 0.0, {}});
    CHECK(air.kind == Kind::air);
    CHECK(std::abs(air.value - 3.0) <= 0.3);
}

TEST_CASE("a probe that reads the air is told by its channel") {
    tune::LoggedBake bake = test::logged("bake", test::small_shell(), test::small_booth(), {.noise_k = 0.05});
    const Trace air = *bake.traces.first(TraceRole::booth_air);
    Trace& frame = test::channel(bake, "frame");
    for (std::size_t i = 0; i < frame.size(); ++i)
        frame.temperature_k[i] += 0.3 * (air.temperature_k[i] - frame.temperature_k[i]);
    const std::vector<tune::Cause> causes = tune::likely_causes(test::small_shell(), test::small_booth(), bake);
    REQUIRE(!causes.empty());
    CHECK(causes.front().kind == Kind::loose_probe);
    CHECK(causes.front().channel == "frame");
    CHECK(std::abs(causes.front().value - 0.3) <= 0.03);
}
