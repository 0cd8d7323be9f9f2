// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <limits>
#include <optional>
#include <span>
#include <string>

#include "bakewright/base/trace.hpp"

namespace bakewright::codec {

/// Consecutive samples of a trace, held by someone else. All spans have the same length, but that quality may be empty: then the
/// whole trace has no flags.
struct Samples {
    std::span<const double> time_s, temperature_k;
    std::span<const SampleQuality> quality;

    [[nodiscard]] std::size_t size() const noexcept { return temperature_k.size(); }
    /// As Trace::usable(), of all at a time.
    [[nodiscard]] bool are_all_usable() const noexcept;
};

/// Samples [first, first + count) of a trace that has as many.
[[nodiscard]] inline Samples samples_of(const Trace& trace, std::size_t first, std::size_t count) {
    const std::span<const SampleQuality> quality(trace.quality);
    return {std::span(trace.time_s).subspan(first, count), std::span(trace.temperature_k).subspan(first, count),
            quality.empty() ? quality : quality.subspan(first, count)};
}

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

/// A part of a trace as a block of the newest codec, and what it comes to.
struct PackedPart {
    std::string block;
    PartStatistics statistics;
};

/// The traces of one bake that are too long to be held whole, given part by part. All traces have the same times. Several threads
/// may ask at a time.
class PartwiseTraces {
public:
    PartwiseTraces() = default;
    virtual ~PartwiseTraces() = default;
    PartwiseTraces(const PartwiseTraces&) = delete;
    PartwiseTraces& operator=(const PartwiseTraces&) = delete;

    /// Names and roles of the traces and the start of the bake; the traces themselves are empty.
    [[nodiscard]] virtual const TraceSet& outline() const = 0;
    /// Samples of each trace.
    [[nodiscard]] virtual std::size_t size() const = 0;
    /// Samples [first, first + count) of a trace, with its name and role. Has flags where any sample of the whole trace is not
    /// good. @throws FileError where the disk refuses
    [[nodiscard]] virtual Trace part(std::size_t trace, std::size_t first, std::size_t count) const = 0;
    /// The same as pack_block() makes of it (the first trace with its times, the others resting on them), where it lies packed
    /// already. @throws FileError where the disk refuses
    [[nodiscard]] virtual std::optional<PackedPart> packed_part(std::size_t /*trace*/, std::size_t /*first*/,
                                                                std::size_t /*count*/) const {
        return std::nullopt;
    }
};

}  // namespace bakewright::codec
