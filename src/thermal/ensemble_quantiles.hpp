#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace bakewright::thermal {

/// Counts of values in bins of equal width, for each of many series (a place at a moment). The ranges come from the values of
/// pilot members, so that memory does not grow with the members; counts are whole numbers, so that their sum does not depend on
/// the order of members.
class HistogramRanges {
public:
    static constexpr std::size_t kBins = 256;

    HistogramRanges() = default;
    /// @param pilot  by series, then pilot member; finite. A range reaches half the pilots' spread beyond them on either side.
    HistogramRanges(std::span<const float> pilot, std::size_t pilot_count);

    [[nodiscard]] std::size_t series_count() const noexcept { return low_.size(); }
    [[nodiscard]] std::size_t bin(std::size_t series, float value) const noexcept {
        const float x = (value - low_[series]) * bins_per_unit_[series];
        const float last = static_cast<float>(kBins - 1);
        return static_cast<std::size_t>(x > 0.0F ? (x < last ? x : last) : 0.0F);
    }
    [[nodiscard]] double bin_width(std::size_t series) const noexcept {
        return 1.0 / static_cast<double>(bins_per_unit_[series]);
    }
    [[nodiscard]] double widest_bin() const noexcept;
    /// @param counts  kBins of the series  @param total  their sum, > 0
    [[nodiscard]] double quantile(std::size_t series, std::span<const std::uint32_t> counts, std::uint64_t total,
                                  double level) const noexcept;

private:
    std::vector<float> low_, bins_per_unit_;
};

}  // namespace bakewright::thermal
