// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "bakewright/cure/readings.hpp"

/// A stay at temperature as a painter means it: one time at or above a level that noise of a logger does not cut into pieces.
namespace bakewright::cure {

/// From this noise on a trace is read on its local straight line [K]. Common practice, no source.
inline constexpr double kReadThroughNoiseK = 0.05;
/// The local line is fitted over so long on either side of a sample [s]. Common practice, no source.
inline constexpr double kLocalLineReachS = 150.0;
/// A dip this deep and this long does not end a stay, and all dips together may be this share of it. The time of a dip does not
/// count. Common practice, no source.
inline constexpr double kDeepestDipK = 1.0;
inline constexpr double kLongestDipS = 120.0;
inline constexpr double kLargestDipShare = 0.1;

/// Standard deviation of the noise from sample to sample [K]: the 68 % quantile of how far each sample lies off the cubic through
/// its four neighbours, which a smooth course of any shape passes; 0 where there are too few samples to tell.
[[nodiscard]] double sample_noise_k(const JoinedTrace& trace);

/// A trace as stays are read on it: the samples themselves, or, where they are noisier than kReadThroughNoiseK, the least-squares
/// line through the samples within kLocalLineReachS of each, read at it. A trace without noise stays as it is, to the bit. Keeps
/// a view of the joined trace, which must outlive it.
class StayTrace {
public:
    StayTrace(const JoinedTrace& trace);  // NOLINT(google-explicit-constructor)
    /// Samples of a model: one run, without noise. Keeps views of both, which must outlive it.
    StayTrace(std::span<const double> time_s, std::span<const double> temperature_k);
    StayTrace(const StayTrace&) = delete;
    StayTrace& operator=(const StayTrace&) = delete;

    [[nodiscard]] std::span<const JoinedTrace::Run> runs() const noexcept { return runs_; }
    [[nodiscard]] std::span<const double> time_s() const noexcept { return time_s_; }
    [[nodiscard]] std::span<const double> temperature_k() const noexcept { return temperature_k_; }
    [[nodiscard]] double noise_k() const noexcept { return noise_k_; }
    [[nodiscard]] bool reads_through_noise() const noexcept { return !line_k_.empty(); }

private:
    JoinedTrace::Run whole_;
    std::span<const JoinedTrace::Run> runs_;
    std::span<const double> time_s_, temperature_k_;
    double noise_k_ = 0.0;
    std::vector<double> line_k_;  ///< filled only where the trace is noisy
};

/// The stay that earned most.
struct LongestStay {
    double earned = 0.0;              ///< without the dips
    double from_s = 0.0;              ///< both 0 where the trace never came to the level
    double until_s = 0.0;             ///< dips included
    double dips_s = 0.0;              ///< time under the level that did not end it
    std::optional<double> reached_s;  ///< when the target was first earned in one stay, found within 1e-6 s
};

/// What a straight piece of a trace earns, from one temperature to the other [K] in so many seconds. Never below 0; the sum over
/// the parts of a piece is that of the piece.
using Earning = std::function<double(double from_k, double until_k, double duration_s)>;

/// The stay at or above a level that earns most, of those the trace would have if it were warmer by an offset.
/// @param earning  asked for temperatures at or above the level alone
/// @param target   > 0; where it is reached that far less 1e-9 of it counts, since sums round
[[nodiscard]] LongestStay longest_stay(const StayTrace& trace, double level_k, const Earning& earning, double target,
                                       double offset_k = 0.0);

/// The same where every second counts: `earned` is its length without the dips [s].
[[nodiscard]] LongestStay longest_stay(const StayTrace& trace, double level_k, double target_s, double offset_k = 0.0);

}  // namespace bakewright::cure
