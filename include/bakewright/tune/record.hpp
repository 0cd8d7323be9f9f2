// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "bakewright/bake/track_record.hpp"
#include "bakewright/bake/uncertainty.hpp"
#include "bakewright/tune/task.hpp"

/// What logs say of the certainty with which their bakes were predicted.
namespace bakewright::tune {

/// How far a prediction was off where cure is decided, and how far it was said that it may be: the mean over the part of the log
/// in which the predicted zone is within kPlateauK of its peak.
/// Shapes: off_k and probe_k2 by zone; the covariances zone by zone, row by row.
struct PlateauError {
    std::string name;                ///< of the log, for people
    std::vector<std::string> zones;  ///< with a probe
    std::vector<double> off_k;       ///< predicted less logged
    std::vector<double> booth_k2;    ///< covariance of that by what is not known of the booth
    std::vector<double> shell_k2;    ///< by what is not known of the shell
    std::vector<double> both_k2;     ///< by what was learned of the two together
    std::vector<double> probe_k2;    ///< variance: the zone's probe, where the shell began, what no model follows

    /// Standard deviation of a zone's error as it was stated with such a record [K].
    [[nodiscard]] double stated_k(std::size_t zone, const bake::TrackRecord& record) const;
};
inline constexpr double kPlateauWithinK = 5.0;  ///< common practice, no source
/// What no model follows, over a plateau; common practice, no source.
inline constexpr double kUnmodelledK = 0.5;

/// The prediction is made anew from the shell, booth and cycle that it was made with; it starts at the log's first readings. To
/// first order in what is not known. Nothing where no zone was logged for a tenth of its plateau.
/// @param log  its cycle is the prediction's @throws InputError where log and shell do not go together; SolveError
[[nodiscard]] std::optional<PlateauError> plateau_error(const bake::Shell& shell, const bake::Booth& booth, const LoggedBake& log,
                                                        const bake::Uncertainty& prior = {});

/// The record that such errors make. The errors of a bake are normal with the covariance b^2 booth + s^2 shell + b s both +
/// probe; one bake in ten is unlike the rest and spreads five times as wide, so that one, however far off, does not overthrow
/// what the others say. Before any log, log b and log s are normal about 0 with the standard deviation kScaleStandard. The scales
/// are those of which 95 % ranges hold 95 % over what the logs leave open of b and s, by summing over a grid from 1/3 to 3
/// (Gelman et al., Bayesian Data Analysis, 3rd ed., section 3.7 and chapter 5).
[[nodiscard]] bake::TrackRecord record_of(std::span<const PlateauError> errors);
inline constexpr double kScaleStandard = 0.6;  ///< nine spreads of ten are within a factor of 2.7 of what is assumed

}  // namespace bakewright::tune
