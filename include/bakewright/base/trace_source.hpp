#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "bakewright/base/trace.hpp"

namespace bakewright {

/// The traces of one bake that are too long to be held whole, given part by part. All traces have the same times.
class TraceSource {
public:
    TraceSource() = default;
    virtual ~TraceSource() = default;
    TraceSource(const TraceSource&) = delete;
    TraceSource& operator=(const TraceSource&) = delete;

    /// Names and roles of the traces and the start of the bake; the traces themselves are empty.
    [[nodiscard]] virtual const TraceSet& outline() const = 0;
    /// Samples of each trace.
    [[nodiscard]] virtual std::size_t size() const = 0;
    /// Samples [first, first + count) of a trace, with its name and role. Has flags where any sample of the whole trace is not
    /// good. Several threads may call it at a time. @throws FileError where the disk refuses
    [[nodiscard]] virtual Trace part(std::size_t trace, std::size_t first, std::size_t count) const = 0;
};

}  // namespace bakewright
