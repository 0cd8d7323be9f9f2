#include "ensemble_quantiles.hpp"

#include <algorithm>

namespace bakewright::thermal {

HistogramRanges::HistogramRanges(std::span<const float> pilot, std::size_t pilot_count) {
    // The least range is a few times the distance of two neighbouring floats near 500 K.
    constexpr float least_range = 0.01F;
    for (std::size_t begin = 0; begin < pilot.size(); begin += pilot_count) {
        const auto series = pilot.subspan(begin, pilot_count);
        const auto [lowest, highest] = std::minmax_element(series.begin(), series.end());
        const float margin = std::max(0.5F * (*highest - *lowest), 0.5F * least_range);
        low_.push_back(*lowest - margin);
        bins_per_unit_.push_back(static_cast<float>(kBins) / (*highest - *lowest + 2.0F * margin));
    }
}

double HistogramRanges::widest_bin() const noexcept {
    double widest = 0.0;
    for (std::size_t series = 0; series < series_count(); ++series) widest = std::max(widest, bin_width(series));
    return widest;
}

// The sorted value of a rank is taken to lie inside its bin as if the bin's values were spread evenly.
double HistogramRanges::quantile(std::size_t series, std::span<const std::uint32_t> counts, std::uint64_t total,
                                 double level) const noexcept {
    const double rank = level * static_cast<double>(total - 1);
    double below = 0.0;
    std::size_t bin = 0;
    while (bin + 1 < counts.size() && below + static_cast<double>(counts[bin]) <= rank)
        below += static_cast<double>(counts[bin++]);
    const double count = std::max(1.0, static_cast<double>(counts[bin]));
    const double inside = std::clamp((rank - below + 0.5) / count, 0.0, 1.0);
    return static_cast<double>(low_[series]) + (static_cast<double>(bin) + inside) * bin_width(series);
}

}  // namespace bakewright::thermal
