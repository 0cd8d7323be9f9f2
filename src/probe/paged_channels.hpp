#pragma once

#include <limits>
#include <vector>

#include "columns.hpp"
#include "sample_store.hpp"

namespace bakewright::probe {

/// A channel of temperatures whose cells are in a store.
struct PagedChannel {
    Column* column = nullptr;
    std::size_t stored = 0;                                     ///< its column in the store
    bool has_flags = false;                                     ///< any of its samples is not good
    double first_k = std::numeric_limits<double>::quiet_NaN();  ///< its first usable sample
};

/// Second pass over a log that is read page by page: turns the stored numbers into kelvin (NaN where there is none), flags them,
/// and counts and measures each channel. Does what make_trace and flag_quality do to a log held whole.
void settle_channels(SampleStore& store, std::vector<PagedChannel>& channels, const QualityRules& rules,
                     std::vector<std::string>& remarks, unsigned threads);

}  // namespace bakewright::probe
