// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>

#include "requirements.hpp"
#include "setpoint_run.hpp"

namespace bakewright::plan {

/// What one set point has to offer.
struct Offer {
    Candidate shortest;               ///< with the shortest hold that cures
    std::optional<Candidate> widest;  ///< with the hold that leaves most to spare, where the shortest is feasible
};

[[nodiscard]] Offer offer_of(const SearchModel& model, const Requirements& requirements, double setpoint_k, double ramp_k_per_s);

/// The candidate that an objective asks for, see plan_cycle(); an index into offers. Nothing where none is feasible.
[[nodiscard]] std::optional<std::size_t> choose(const std::vector<Offer>& offers, Objective objective);
[[nodiscard]] const Candidate& candidate_for(const Offer& offer, Objective objective);

}  // namespace bakewright::plan
