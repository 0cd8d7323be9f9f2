#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

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

}  // namespace bakewright::tune
