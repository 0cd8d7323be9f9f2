// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/tune/task.hpp"
#include "posterior.hpp"

namespace bakewright::tune {

/// A channel with what looks wrong with it.
struct FoundFault {
    std::size_t block = 0;  ///< of the blocks that were looked at
    std::optional<std::size_t> with{};
    ProbeFault fault;

    /// By how much the logarithm of the readings' likelihood rises with it.
    [[nodiscard]] double gain() const noexcept {
        return fault.kind == ProbeFault::Kind::exchanged ? fault.statistic : 0.5 * fault.statistic * fault.statistic;
    }
};

/// Looks at each channel against what all the others say of it. With e the whitened reading less what is foretold and S its
/// covariance, a fault of shape g shows as (g^T S^-1 e) / sqrt(g^T S^-1 g), which is standard normal where there is none; two
/// channels are exchanged where e^T S^-1 e / 2 falls by more than kExchangedFrom when their readings change places. Thresholds
/// are twice what 99 % of the clean bakes stay under; where a quarter of the channels or fewer are foretold within what the model
/// allows for, they rise with what the best quarter is off (a model of the wrong form).
/// @param shrunk  see Evidence::posterior()
/// @return of those over their thresholds the likeliest
[[nodiscard]] std::optional<FoundFault> worst_fault(const std::vector<ChannelBlock>& blocks, const std::vector<bool>& is_surface,
                                                    const Evidence& evidence, const Posterior& full, const Vector& shrunk,
                                                    const Vector& at);
inline constexpr double kStepFrom = 5.7, kLooseFrom = 4.6, kExchangedFrom = 3.2;
/// Smaller steps lie within what a probe of class 2 may be off anyway, smaller shares within what taped ones read of the air.
inline constexpr double kLeastStepK = 2.0, kLeastLooseShare = 0.08;
/// The same for a drift in proportion to time (the rods of docs/real-logs.md, whose model is coarse, come to 8) and a rise that
/// is too large or too small, over the whole log; besides, the one has to come to kLeastDriftK and the other to kLeastGain of the
/// rise, which no clean bake's error does.
/// Either is looked for where at least kFewestForWhole channels of the shell speak for the model: a single rod of those logs is
/// foretold with errors that grow in proportion to its rise, and which of the two is wrong nothing else would tell.
inline constexpr std::size_t kFewestForWhole = 4;
inline constexpr double kWholeFrom = 6.0, kDriftFrom = 10.0, kLeastDriftK = 3.0, kLeastGain = 0.15;

/// A channel that shows without any model that it reads something else.
struct CondemnedChannel {
    std::size_t bake = 0;
    std::string channel;
    ProbeFault fault;
};
/// Those of a task's logs (probe::channel_faults()).
[[nodiscard]] std::vector<CondemnedChannel> condemned_in(const TuneTask& task);
/// The task with a channel named as nothing of the shell's, so that it has no say.
void put_aside(TuneTask& task, std::size_t bake, const std::string& channel);
/// The task with a channel's samples from a moment on flagged missing.
void cut_off(TuneTask& task, std::size_t bake, const std::string& channel, double from_s);

/// RMS [K] of a channel's readings against what the others say, with its own constant offset taken away.
[[nodiscard]] double foretold_within_k(const ChannelBlock& block, const Evidence& evidence, const Vector& shrunk,
                                       const Vector& at);

}  // namespace bakewright::tune
