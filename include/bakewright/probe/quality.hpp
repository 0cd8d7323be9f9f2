// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/base/trace.hpp"

/// Samples that are numbers and yet no temperatures of the thing measured. They are flagged and keep their value; nothing is
/// deleted.
namespace bakewright::probe {

/// Rules by which samples are flagged. Defaults are common practice, no source, unless one is given.
struct QualityRules {
    bool enabled = true;  ///< false leaves every number good

    /// spike: one or two samples that stand off the straight line between their good neighbours by more than
    /// max(spike_k, spike_noise times the noise around it), on one side of it, while the neighbours differ from each other by
    /// less than half of that and are no further apart than spike_time_s. The noise is 1.4826 times the median step from sample
    /// to sample among the eight before and behind (a scale of the median that a spike does not move, with the factor for normal
    /// noise: Hampel, J. Am. Stat. Assoc. 69 (1974) 383, from memory).
    /// Flagged so too: the first or last sample, where it stands off the next by more than spike_k, the noise and four times each
    /// of the next steps; samples between two steps that no part of a body can make, there and back; one or two before the
    /// first such step; those behind the last, where they are few. Such a step closes more than a share 1 - exp(-dt / 15 s) of
    /// the channel's whole range; booth air, by its name, may.
    double spike_k = 10.0;        ///< > 0 [K]
    double spike_noise = 6.0;     ///< >= 0
    double spike_time_s = 120.0;  ///< > 0 [s]: longer ago the thing itself may have warmed and cooled

    /// stuck: a value repeated to the last digit for stuck_time_s and more, while another channel moved by more than
    /// max(stuck_other_k, 50 steps of the channel's resolution) and is hotter by stuck_other_k or goes away from it by as much
    /// (what a controller holds is the hottest thing there, and the others come towards it), in a channel that has moved by
    /// stuck_other_k at some time. The run does not begin with the channel's first sample (a part waits until the heat arrives),
    /// and the channel moved by ten steps of its resolution in the quarter of that time before it, or jumps by as much behind it,
    /// or never moves again (what warms comes to rest slowly). The first sample of the run stays good.
    double stuck_time_s = 1200.0;  ///< > 0 [s]
    double stuck_other_k = 10.0;   ///< > 0 [K]

    /// clipped: at or beyond an end of the logger's measuring range, where it is given; else five samples and more in a row at
    /// the channel's highest or lowest value, equal to the last digit, reached or left by a step of at least five times the
    /// resolution, where that value is an end of usual sensors: -55, -40, 125 or 150 degC.
    std::optional<double> range_least_k;  ///< lower end of the measuring range [K]
    std::optional<double> range_most_k;   ///< upper end, above the lower one [K]

    /// @throws InputError that names the rule and what is accepted
    void check() const;
};

/// What was found in one trace.
struct QualityCounts {
    std::size_t spikes = 0;
    std::size_t stuck = 0;
    std::size_t clipped = 0;
    /// Longest time between two samples with a value, where it is more than five usual intervals; else 0 [s].
    double longest_gap_s = 0.0;
    double longest_gap_from_s = std::numeric_limits<double>::quiet_NaN();  ///< when it begins
};

/// Flags the samples of all traces; only good samples are looked at, values stay. One entry a trace.
/// @param remarks  gets a sentence where several channels stop at the same value, as they do at the end of a logger's range
std::vector<QualityCounts> flag_quality(std::vector<Trace>& traces, const QualityRules& rules, std::vector<std::string>& remarks);

}  // namespace bakewright::probe
