#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "bakewright/base/trace.hpp"
#include "bakewright/codec/part_statistics.hpp"

namespace bakewright::codec {

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
