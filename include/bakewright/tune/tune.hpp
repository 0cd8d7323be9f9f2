// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/base/format.hpp"
#include "bakewright/tune/estimate.hpp"
#include "bakewright/tune/task.hpp"
#include "bakewright/tune/tuned_number.hpp"

namespace bakewright::tune {

/// What was found of one probe in one bake.
struct TunedProbe {
    std::string bake, channel;
    double offset_k = 0.0, offset_standard_k = 0.0;  ///< reads so much more than the model
    std::optional<double> air_share{}, air_share_standard{};
    std::optional<double> lag_s{}, lag_standard_s{};
};

/// Errors on one bake, over the channels that were fitted [K].
struct BakeError {
    std::string bake;
    double before_k = 0.0;               ///< RMS of the profile as it was
    std::optional<double> used_k{};      ///< RMS when it was among those tuned on, its probes as they were found
    std::optional<double> held_out_k{};  ///< RMS when it was not: tuned on the others, or on the rest of its time
    std::size_t held_out_parts = 0;      ///< of its time, each left out in turn
    double probe_standard_k = 0.0;       ///< what its probes are good for
    std::size_t channels = 0;
    double end_s = 0.0;
};

struct TuneResult {
    bool is_complete = false;  ///< false where progress said no
    bool converged = false;
    std::string message;
    std::vector<TunedNumber> numbers;
    std::vector<TunedProbe> probes;
    std::vector<ChannelFinding> suspects;  ///< with their faults: left out, from a moment on or all of it
    std::vector<BakeError> errors;
    std::vector<Phrase> weak;                ///< combinations that the data could not tell, in words
    std::vector<CorrelatedPair> correlated;  ///< pairs of 0.8 and more, strongest first
    double noise_k = 0.0;                    ///< RMS of what the tuned records leave of the bakes used
    double lag_one = 0.0, durbin_watson = 2.0;
    double residual_time_s = 0.0;  ///< over which residuals stay alike, as those of a first-order series
    double film_spread = 0.0;      ///< standard deviation of zones' log films about their group's
    std::vector<Phrase> warnings;
    bake::Shell shell;  ///< tuned
    bake::Booth booth;
    /// Of each bake that was used, alone: logarithm of what it says for each of bake::discrepancy_sizes(), the largest 0.
    struct BakeEvidence {
        std::string bake;
        std::vector<double> log_evidence;
    };
    std::vector<BakeEvidence> evidence;
    std::size_t solves = 0;
    double compute_s = 0.0;

    /// Root mean square over bakes of the errors that are there.
    [[nodiscard]] std::optional<double> used_k() const;
    [[nodiscard]] std::optional<double> held_out_k() const;
};

/// Learns from logged bakes: what an estimate of all of them says of the numbers that are asked for. Each bake is driven by its
/// logged air (replay), or by its cycle where the air was not logged; zones start at their first readings. Every other number
/// stays as open as it was believed, counts as one of the unknowns and is not kept: held at its value it would make the others
/// surer than they are. What was learned before of the numbers asked for does not count: give all bakes. Errors are those of
/// predictions with the numbers that are kept.
/// @throws InputError where no bake has a channel of the shell's, or records have problems; SolveError
[[nodiscard]] TuneResult tune(const TuneTask& task, const TuneOptions& options = {});

}  // namespace bakewright::tune
