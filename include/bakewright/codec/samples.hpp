#pragma once

#include <cstddef>
#include <span>

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

}  // namespace bakewright::codec
