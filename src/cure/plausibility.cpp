#include "bakewright/cure/plausibility.hpp"

#include <algorithm>
#include <limits>

#include "bakewright/base/units.hpp"

namespace bakewright::cure {
namespace {

/// Where a set of traces begins and how hot it gets.
struct Extent {
    double start_k = 0.0;
    double peak_k = 0.0;
};

std::optional<Extent> extent_of(const TraceSet& traces) {
    std::vector<double> starts_k;
    double peak_k = -std::numeric_limits<double>::infinity();
    for (const Trace& trace : traces.traces) {
        bool started = false;
        for (std::size_t i = 0; i < trace.size(); ++i) {
            if (!trace.usable(i)) continue;
            if (!started) starts_k.push_back(trace.temperature_k[i]);
            started = true;
            peak_k = std::max(peak_k, trace.temperature_k[i]);
        }
    }
    if (starts_k.empty()) return std::nullopt;
    const auto middle = starts_k.begin() + static_cast<std::ptrdiff_t>(starts_k.size() / 2);
    std::nth_element(starts_k.begin(), middle, starts_k.end());
    return Extent{*middle, peak_k};
}

bool plausible(const Extent& extent, const PlausibleBake& bake) {
    return extent.start_k >= bake.coldest_start_k && extent.start_k <= bake.hottest_start_k &&
           extent.peak_k >= bake.least_peak_k && extent.peak_k <= bake.most_peak_k;
}

template <typename Convert>
Extent converted(const Extent& extent, Convert convert) {
    return {convert(extent.start_k), convert(extent.peak_k)};
}

}  // namespace

std::optional<LikelyUnit> likely_other_unit(const TraceSet& traces, const PlausibleBake& bake) {
    const std::optional<Extent> extent = extent_of(traces);
    if (!extent || plausible(*extent, bake)) return std::nullopt;
    const auto as_fahrenheit = [](double read_k) { return fahrenheit_to_kelvin(kelvin_to_celsius(read_k)); };
    const auto as_celsius = [](double read_k) { return celsius_to_kelvin(kelvin_to_fahrenheit(read_k)); };
    // A long hot soak that starts warm is no slip of unit: only a start that no booth has at rest is asked about.
    if (extent->start_k > bake.hottest_start_k && plausible(converted(*extent, as_fahrenheit), bake))
        return LikelyUnit::fahrenheit_read_as_celsius;
    if (extent->peak_k < bake.least_peak_k && plausible(converted(*extent, as_celsius), bake))
        return LikelyUnit::celsius_read_as_fahrenheit;
    return std::nullopt;
}

std::string question_text(LikelyUnit unit) {
    if (unit == LikelyUnit::fahrenheit_read_as_celsius)
        return "is this log in degrees Fahrenheit? Read as Celsius it starts hotter than any room and would be no bake of this "
               "trade; "
               "in Fahrenheit it would be one. Import it again with its unit before you trust a word of this";
    return "is this log in degrees Celsius? Read as Fahrenheit it never gets warm; in Celsius it would be a bake. Import it "
           "again with "
           "its unit before you trust a word of this";
}

}  // namespace bakewright::cure
