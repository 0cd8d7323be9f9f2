// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/tune/empty_run.hpp"

/// A booth from one run of it with nothing inside.
namespace bakewright::tune {

struct EmptyBoothFit {
    bake::Booth booth;  ///< with the numbers that are told, and what is open of all of them under `learned`
    RunPhases phases;
    std::vector<BoothNumber> numbers;
    double before_k = 0.0, now_k = 0.0;  ///< RMS of the readings against the booth as it was and as it is
    std::vector<std::string> remarks;    ///< sentences: probes that were left out, what looked odd
};

struct EmptyBoothOptions {
    bool power_is_guess = false;  ///< nobody said how strong the heater is: it may have half or twice its power
};

/// Fits walls, heater, fresh air, controller and vertical profile of a booth to one run of it without a shell. The air at its
/// heights is held against the reference air's rise over the outside, in a straight line. Heater, fresh air and walls are
/// unknowns of tune(): while the heater gives all it has the model has its power, while the air is held the air that was logged,
/// then no heat. The controller's numbers are those with which the air comes to rest as it did. Numbers that the log does not
/// tell keep their values, with the spreads that are believed of them.
/// @param start  as its maker or the five questions have it; its size counts, and everything that the log does not tell
/// @throws InputError in plain words where the log is no such run: no air, not cold at first, a rise under kLeastRunRiseK, too
///         few readings while it heats, or readings that no such booth would give
[[nodiscard]] EmptyBoothFit fit_empty_booth(const bake::Booth& start, const EmptyRun& run, const EmptyBoothOptions& options = {});

}  // namespace bakewright::tune
