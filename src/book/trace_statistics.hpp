#pragma once

#include <cstddef>
#include <limits>
#include <optional>

#include "bakewright/base/trace.hpp"
#include "bakewright/book/trace_repository.hpp"

namespace bakewright::book {

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

/// The statistics of consecutive samples.
[[nodiscard]] PartStatistics statistics_of_part(const Trace& trace, std::size_t first, std::size_t count);

/// Puts a part behind those before it.
void append(PartStatistics& whole, const PartStatistics& part);

/// Name, role, counts, times and temperatures of a trace; stored_bytes stays 0. The mean is of the straight lines between
/// neighbouring usable samples, weighted by time; of a single usable sample, its value.
[[nodiscard]] TraceSummary summary_of(const Trace& named, const PartStatistics& whole);
/// The same of a trace held whole; it is taken in parts of kBlockSamples, so that both ways round alike.
[[nodiscard]] TraceSummary summarise(const Trace& trace);

}  // namespace bakewright::book
