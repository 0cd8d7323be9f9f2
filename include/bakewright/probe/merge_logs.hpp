// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "bakewright/base/trace.hpp"

/// Two loggers that recorded one bake, each by its own clock.
namespace bakewright::probe {

struct MergeOptions {
    /// Added to the times of the second log, after its clock has been compared with the first one's (where both have a date) [s].
    /// Empty: found by aligning the air channels.
    std::optional<double> shift_s;
    std::string first_air;  ///< channel of the booth's air in each log; empty: the one whose words say so
    std::string second_air;
};

/// How the second log's times were brought to those of the first.
struct LogAlignment {
    bool is_given = false;  ///< the shift was the user's
    double clock_offset_s =
        0.0;  ///< start of the second log after that of the first, by their clocks; 0 where a clock is missing
    bool clocks_compared = false;
    double shift_s = 0.0;   ///< added to the second log's times besides the clock offset
    std::string first_air;  ///< channels that were aligned; empty where the shift was given
    std::string second_air;
    double overlap_s = 0.0;     ///< in which both air channels have values
    double correlation = 0.0;   ///< of the two air channels over the overlap, at the shift
    double difference_k = 0.0;  ///< standard deviation of their difference there
    double half_width_s = 0.0;  ///< a shift by so much more makes the difference larger by 0.2 K: how sharp the shift is
    /// By how much the second clock gains on the first in an hour, from the shifts of both halves of the overlap; empty where a
    /// half has too little movement to tell.
    std::optional<double> drift_s_per_h;
};

struct MergedLogs {
    TraceSet traces;  ///< the first log's, then the second's; time 0 and start are those of the first
    LogAlignment alignment;
    std::vector<std::pair<std::string, std::string>>
        renamed;  ///< second log's channels whose name the first log has too: old, new
};

/// Puts two logs together on the first one's time.
///
/// Without a given shift the one is taken at which the air channels agree best: the difference a(t) - b(t - shift) has the
/// smallest
///
///     score = sqrt(variance + max(0, |mean| - 3 K)^2)
///
/// (two good probes in one booth may differ by a steady 3 K, common practice), on a common grid, over all shifts that leave an
/// overlap of half the shorter log and 10 min (with both clocks known, within 2 h of them), then refined between the grid's
/// points. It is trusted only where
/// - both air channels move: a standard deviation of 5 K over the overlap,
/// - they are alike: a correlation of 0.95 and more,
/// - no other shift does nearly as well: beyond the nearest hump the score is at least 1.5 times as large and 0.5 K more,
/// - it is sharp: 0.2 K more of score within 2 min on either side.
/// These limits are common practice, no source.
/// @throws InputError that says which of these failed and asks for the shift, or for the air channel where none is found
[[nodiscard]] MergedLogs merge_logs(const TraceSet& first, const TraceSet& second, const MergeOptions& options = {});

}  // namespace bakewright::probe
