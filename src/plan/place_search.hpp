// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <Eigen/Core>
#include <cstddef>
#include <optional>
#include <vector>

/// The linear part of where probes go: sets of readings of numbers that are standard normal and independent beforehand.
namespace bakewright::plan {

using PlaceMatrix = Eigen::MatrixXd;

/// What a probe at each place would say, and what is asked.
struct PlaceProblem {
    std::vector<PlaceMatrix> readings;  ///< by place: rows J, whitened, so that J^T J is the information
    PlaceMatrix asked;                  ///< rows g: the variance of what is asked is sum g C g^T
};

/// Rows J with J^T J = information but for a remainder of that trace: Cholesky's rows with the largest pivot first.
/// @param information  symmetric, positive semidefinite
[[nodiscard]] PlaceMatrix rows_of(PlaceMatrix information, double missed_trace);

/// What readings tell: rows G with C' = C - G^T G, the covariance once they came. G = L^-1 J C with L L^T = 1 + J C J^T.
[[nodiscard]] PlaceMatrix told_rows(const PlaceMatrix& covariance, const PlaceMatrix& readings);
/// The covariance once these readings came.
void learn(PlaceMatrix& covariance, const PlaceMatrix& readings);
/// What is open of what is asked.
[[nodiscard]] double open_variance(const PlaceProblem& problem, const PlaceMatrix& covariance);
/// By how much it falls with a place's readings.
[[nodiscard]] double told_by(const PlaceProblem& problem, const PlaceMatrix& covariance, std::size_t place);

/// The place that tells most beside those that are taken, the first of equals; nothing where none tells anything.
[[nodiscard]] std::optional<std::size_t> best_place(const PlaceProblem& problem, const PlaceMatrix& covariance,
                                                    const std::vector<bool>& is_taken);
/// The best set of so many places beside those that are taken, or of as many as there are, and as tell anything: greedy, then
/// exchanged one for one as long as that helps, and the same again without each of the first two places that it began with, since
/// exchanges one for one may end in a set that two at once would better. The first of the set is the one that tells most by
/// itself, and so on.
/// @param before  covariance with those that are taken
[[nodiscard]] std::vector<std::size_t> best_places(const PlaceProblem& problem, const PlaceMatrix& before,
                                                   const std::vector<bool>& is_taken, std::size_t count);

}  // namespace bakewright::plan
