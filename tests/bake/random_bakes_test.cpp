// SPDX-License-Identifier: Apache-2.0
#include "random_bakes.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdlib>
#include <string>

#include "bakewright/bake/predict.hpp"
#include "bakewright/base/error.hpp"

using namespace bakewright;
using namespace bakewright::bake;
using namespace bakewright::example;

// What is accepted can be solved: bakes drawn from everything that is accepted, and from a little beyond. Each is refused with
// the key that is at fault, or predicts in a bounded number of steps to temperatures that are numbers.

namespace {

/// An on-off burner is followed for 500 firings: some 20 steps each, and as many again for a shell that moves fast. What goes on
/// for so long is a day; an hour's bake takes some hundred.
constexpr std::size_t kMostSteps = 40'000;

std::vector<Problem> problems_of(const RandomBake& bake) {
    std::vector<Problem> problems = problems_in(bake.shell);
    for (const Problem& problem : problems_in(bake.booth)) problems.push_back(problem);
    if (problems.empty()) problems = problems_in(bake.cycle, bake.booth);
    return problems;
}

void check_prediction(const RandomBake& bake) {
    PredictOptions options;
    options.start_temperature_k = bake.start_temperature_k;
    // Samples are few and steps are not fewer for it.
    options.output_interval_s = 60.0;
    const Prediction prediction = predict(bake.shell, bake.booth, bake.cycle, options);
    CHECK(prediction.summary.accepted_steps + prediction.summary.rejected_steps <= kMostSteps);
    bool all_numbers = true;
    for (const Trace& trace : prediction.traces.traces)
        for (const double temperature_k : trace.temperature_k)
            all_numbers = all_numbers && std::isfinite(temperature_k) && temperature_k > 200.0;
    CHECK(all_numbers);
}

/// @return whether it was accepted
bool check_bake(std::uint64_t seed, std::size_t most_zones) {
    CAPTURE(seed);
    const RandomBake bake = random_bake(seed, Drawn::to_the_limits, most_zones);
    const std::vector<Problem> problems = problems_of(bake);
    for (const Problem& problem : problems) {
        CHECK_FALSE(problem.key.empty());
        CHECK_FALSE(problem.message.empty());
    }
    if (!problems.empty()) return false;
    CHECK_NOTHROW(check_prediction(bake));
    return true;
}

void check_shard(std::uint64_t shard, std::uint64_t count, std::size_t most_zones) {
    std::uint64_t accepted = 0;
    for (std::uint64_t i = 0; i < count; ++i) accepted += check_bake(shard * count + i, most_zones) ? 1 : 0;
    CHECK(2 * accepted > count);  // else the draws test refusals alone
}

constexpr std::uint64_t kShard = 250;
constexpr std::size_t kMostZones = 40;

}  // namespace

// Eight times 250, so that they run side by side.
TEST_CASE("what is accepted can be solved: random bakes, first shard") { check_shard(0, kShard, kMostZones); }
TEST_CASE("what is accepted can be solved: random bakes, second shard") { check_shard(1, kShard, kMostZones); }
TEST_CASE("what is accepted can be solved: random bakes, third shard") { check_shard(2, kShard, kMostZones); }
TEST_CASE("what is accepted can be solved: random bakes, fourth shard") { check_shard(3, kShard, kMostZones); }
TEST_CASE("what is accepted can be solved: random bakes, fifth shard") { check_shard(4, kShard, kMostZones); }
TEST_CASE("what is accepted can be solved: random bakes, sixth shard") { check_shard(5, kShard, kMostZones); }
TEST_CASE("what is accepted can be solved: random bakes, seventh shard") { check_shard(6, kShard, kMostZones); }
TEST_CASE("what is accepted can be solved: random bakes, eighth shard") { check_shard(7, kShard, kMostZones); }

TEST_CASE("what is accepted can be solved: as many random bakes as BAKEWRIGHT_RANDOM_BAKES says, shells of up to 400 zones") {
    const char* const asked = std::getenv("BAKEWRIGHT_RANDOM_BAKES");
    const std::uint64_t count = asked == nullptr ? 20 : std::strtoull(asked, nullptr, 10);
    REQUIRE(count > 0);
    std::uint64_t accepted = 0;
    // Behind the seeds of the shards.
    for (std::uint64_t i = 0; i < count; ++i) accepted += check_bake(1'000'000 + i, asked == nullptr ? kMostZones : 400) ? 1 : 0;
    CHECK(2 * accepted > count);
}
