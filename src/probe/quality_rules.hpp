// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/probe/quality.hpp"
#include "good_samples.hpp"

namespace bakewright::probe {

/// Samples of a trace and the flag each is to get; the first flag of a sample holds.
class FlagList {
public:
    struct Run {
        std::size_t first, count;
        SampleQuality quality;
    };

    void add(std::size_t sample, SampleQuality quality) {
        if (!runs_.empty() && runs_.back().quality == quality && runs_.back().first + runs_.back().count == sample)
            ++runs_.back().count;
        else
            runs_.push_back({sample, 1, quality});
    }
    [[nodiscard]] bool empty() const noexcept { return runs_.empty(); }
    [[nodiscard]] const std::vector<Run>& runs() const noexcept { return runs_; }

private:
    std::vector<Run> runs_;
};

/// What the rules below want to be told of a trace: they rely on samples that were gone through with it.
[[nodiscard]] LookOut look_out(const QualityRules& rules);

/// The rules of QualityRules, one function each.
void find_spikes(const GoodSamples& good, const QualityRules& rules, FlagList& flags);
void find_clipped(const GoodSamples& good, const QualityRules& rules, FlagList& flags);
void find_stuck(const std::vector<GoodSamples>& all, const QualityRules& rules, std::vector<FlagList>& flags);

/// Says where two channels or more stop at the same highest or lowest value for ten samples without being flagged.
void remark_shared_ends(const std::vector<GoodSamples>& all, const std::vector<FlagList>& flags,
                        std::vector<std::string>& remarks);

/// Flags those of a list that lie in a part of a trace beginning with sample `first`; a sample flagged before keeps its flag.
void set_flags(const FlagList& flags, std::size_t first, std::span<SampleQuality> quality);

/// The rules that look at one channel alone, and its gaps. (quality.cpp)
void flag_alone(const GoodSamples& good, const QualityRules& rules, FlagList& flags, QualityCounts& counts);
/// The rules that look at all channels, behind the others. (quality.cpp)
void flag_together(const std::vector<GoodSamples>& good, const QualityRules& rules, std::vector<FlagList>& flags,
                   std::vector<std::string>& remarks);

}  // namespace bakewright::probe
