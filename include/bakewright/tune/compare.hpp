// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/cycle.hpp"
#include "bakewright/base/trace.hpp"

namespace bakewright::tune {

/// How a predicted and a logged channel differ over their common time. Differences are predicted minus logged [K].
struct ChannelComparison {
    std::string predicted;  ///< name of the predicted trace
    std::string logged;     ///< name of the logged trace
    TraceRole role = TraceRole::unmapped;
    double from_s = 0.0;  ///< common span of time
    double to_s = 0.0;
    std::size_t samples = 0;  ///< logged samples compared
    double bias_k = 0.0;      ///< time-weighted mean
    double rms_k = 0.0;       ///< time-weighted root mean square
    double largest_k = 0.0;   ///< signed, of largest magnitude
    double largest_at_s = 0.0;
    std::optional<double> lag_s;  ///< shift of the logged trace that fits best, > 0 where it runs behind the prediction; absent
                                  ///< where the traces are too flat to tell
    double rms_after_shift_k = 0.0;  ///< what is left after that shift
    double interpolation_k = 0.0;    ///< largest error of reading the prediction between its samples, by their second differences
};

/// A whole bake compared. unmatched_* name traces that found no partner.
struct Comparison {
    std::vector<ChannelComparison> channels;  ///< largest RMS first
    std::vector<std::string> unmatched_predicted;
    std::vector<std::string> unmatched_logged;
};

/// Compares one channel. Needs at least two usable samples on each side in common time; else nothing.
///
/// The difference is taken at the logged samples, with the prediction read off the straight line between its own; between two
/// logged samples the difference is a straight line, over which bias and RMS are integrated. A gap in the log (more than five
/// times its median interval and more than two minutes) or a missing stretch of the prediction counts for nothing.
///
/// The lag is the shift s that makes the RMS of predicted(t - s) - logged(t) least, looked for within 20 minutes and a third of
/// the common span either way; nothing is known of offsets, so a bias on a steady ramp shows as a lag. It is absent where
/// shifting to one side or the other does not raise the RMS by 0.5 K within that range; rms_after_shift_k is then rms_k.
[[nodiscard]] std::optional<ChannelComparison> compare_channel(const Trace& predicted, const Trace& logged);

/// Compares every pair of traces of one name.
[[nodiscard]] Comparison compare(const TraceSet& predicted, const TraceSet& logged);

/// How a predicted and a logged channel differ during the stages of one kind, predicted minus logged.
struct StageDifference {
    std::string channel;
    bake::StageKind kind = bake::StageKind::hold;
    std::size_t samples = 0;
    double bias_k = 0.0;  ///< time-weighted mean: in the hold the plateau's error
    double rms_k = 0.0;
    double slope_k_per_s = 0.0;  ///< of the difference over time, by least squares: in the ramp the error of the heating rate
};

/// By channel of one name in both, then by kind in the order the cycle first has them. Kinds with fewer than three samples of the
/// log are left out. Readings of the prediction and gaps of the log as in compare_channel().
[[nodiscard]] std::vector<StageDifference> stage_differences(const TraceSet& predicted, const TraceSet& logged,
                                                             const std::vector<bake::ResolvedStage>& stages);

/// How far the prediction and the log of one channel may be off without either being wrong.
/// Shapes: time_s, below_k and above_k of one length, time rising; beyond its ends the nearest counts.
struct ChannelAllowance {
    double probe_k = 0.0;         ///< what the probe may read too much or too little, its tolerance; >= 0
    std::optional<Trace> unsafe;  ///< the log as it would be if the probe erred by its whole share of the air on the unsafe side
    std::vector<double> time_s;   ///< of the model's spread
    std::vector<double> below_k, above_k;  ///< so far may the truth lie below and above the prediction, >= 0
};

/// Whether a channel's prediction and log can be of one temperature.
struct ChannelAgreement {
    std::string channel;
    TraceRole role = TraceRole::unmapped;
    std::size_t samples = 0, inside = 0;  ///< logged samples compared; of them those that can be of one temperature
    double probe_k = 0.0;                 ///< as allowed
    double attachment_k = 0.0;            ///< mean error of the probe's attachment on its unsafe side
    double below_k = 0.0, above_k = 0.0;  ///< the model's spread, means
    double interpolation_k = 0.0;         ///< largest error of reading the prediction between its samples; see ChannelComparison
    double largest_excess_k = 0.0;  ///< beyond all that, > 0 where the prediction is hotter than the log; 0 where all are inside
    double largest_excess_at_s = 0.0;

    [[nodiscard]] double share_inside() const noexcept {
        return samples > 0 ? static_cast<double>(inside) / static_cast<double>(samples) : 0.0;
    }
    /// Nearly all samples are inside: one in twenty may be outside by chance.
    [[nodiscard]] bool agrees() const noexcept { return share_inside() >= kAgrees; }
    static constexpr double kAgrees = 0.95;
};

/// A whole bake, and what its allowances rest on, for people.
struct Agreement {
    std::vector<ChannelAgreement> channels;  ///< smallest share inside first
    std::string probes_origin, model_origin;
};

/// Compares a channel at its usable samples in common time. A sample is inside where the range of the truth that the reading
/// leaves (the reading and its unsafe twin, the tolerance either way) meets the one the prediction leaves (its spread, and the
/// error of reading it between its samples, either way). The parts are added, not their squares: each may be off by all of it for
/// a whole bake. Nothing where fewer than two samples are in common time.
[[nodiscard]] std::optional<ChannelAgreement> channel_agreement(const Trace& predicted, const Trace& logged,
                                                                const ChannelAllowance& allowance);

}  // namespace bakewright::tune
