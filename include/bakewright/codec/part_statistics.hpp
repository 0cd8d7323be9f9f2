#pragma once

#include <cstddef>
#include <limits>
#include <optional>

#include "bakewright/codec/samples.hpp"

namespace bakewright::codec {

/// What a part of a trace comes to.
struct PartStatistics {
    struct Sample {
        double time_s = 0.0, temperature_k = 0.0;
    };
    std::size_t sample_count = 0, usable_count = 0;
    double first_time_s = std::numeric_limits<double>::quiet_NaN(), last_time_s = std::numeric_limits<double>::quiet_NaN();
    double min_temperature_k = std::numeric_limits<double>::infinity();
    double max_temperature_k = -std::numeric_limits<double>::infinity();
    std::optional<Sample> first_usable, last_usable;
    double area_ks = 0.0;  ///< under the lines between the usable samples [K s]
};

/// The statistics of consecutive samples, of which there is at least one.
[[nodiscard]] PartStatistics statistics_of(const Samples& samples);

/// Puts a part behind those before it.
void append(PartStatistics& whole, const PartStatistics& part);

}  // namespace bakewright::codec
