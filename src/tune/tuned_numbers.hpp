// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <deque>
#include <string>
#include <vector>

#include "bake_model.hpp"
#include "bakewright/tune/estimate.hpp"
#include "bakewright/tune/task.hpp"
#include "bakewright/tune/tuned_number.hpp"

/// The numbers of shell and booth that a tuning learns: what is believed of them, and what an estimate says.
namespace bakewright::tune {

/// Those that are asked for and do anything in one of the bakes, each as believed before any log: 1 (0 K) with its prior's
/// spread.
[[nodiscard]] std::vector<TunedNumber> numbers_to_tune(const TuneTask& task, const TuneOptions& options,
                                                       const std::deque<BakeModel>& bakes);

/// The task with the numbers in the place of what was learned of them; what was learned of others stays. An estimate of it has
/// each number among its unknowns, with its standard error for a prior.
[[nodiscard]] TuneTask with_numbers(TuneTask task, const std::vector<TunedNumber>& numbers);

/// What an estimate of that task says of them; their correlations stand in `learned`.
[[nodiscard]] std::vector<TunedNumber> told_of(std::vector<TunedNumber> numbers, const Estimate& estimate);

/// The spread of zones' films about their groups' that the numbers show, with a prior of the weight of some zones.
[[nodiscard]] double film_spread_of(const std::vector<TunedNumber>& numbers, const bake::Uncertainty& prior);

/// Directions in which the logs tell less than was believed beforehand, in words.
[[nodiscard]] std::vector<Phrase> weak_combinations(const std::vector<TunedNumber>& numbers);
[[nodiscard]] std::vector<CorrelatedPair> correlated_pairs(const std::vector<TunedNumber>& numbers);

}  // namespace bakewright::tune
