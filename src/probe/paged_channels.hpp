// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <limits>
#include <vector>

#include "columns.hpp"
#include "page_intake.hpp"
#include "quality_rules.hpp"

namespace bakewright::probe {

/// A channel of temperatures whose samples are in a store.
struct PagedChannel {
    Column* column = nullptr;
    ChannelIntake* intake = nullptr;
    std::size_t stored = 0;                                     ///< its number in the store
    bool has_flags = false;                                     ///< any of its samples is not good
    FlagList flags;                                             ///< by the rules of quality, over those in the store
    double first_k = std::numeric_limits<double>::quiet_NaN();  ///< its first usable sample
};

/// What the rules of quality say once all samples are there; counts and measures each channel. Does what flag_quality does to a
/// log held whole.
void settle_channels(const SampleStore& store, std::vector<PagedChannel>& channels, const QualityRules& rules,
                     std::vector<std::string>& remarks, unsigned threads);

}  // namespace bakewright::probe
