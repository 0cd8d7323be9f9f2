// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <functional>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/files.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/book/ids.hpp"
#include "bakewright/codec/samples.hpp"

namespace bakewright::book {

/// What is known about a stored trace without unpacking it. Times [s] are NaN for a trace without samples; temperatures [K]
/// are over the usable samples and NaN where there are none.
struct TraceSummary {
    std::string name{};
    TraceRole role = TraceRole::unmapped;
    std::uint64_t sample_count = 0;
    std::uint64_t usable_count = 0;
    double first_time_s = std::numeric_limits<double>::quiet_NaN();
    double last_time_s = std::numeric_limits<double>::quiet_NaN();
    double min_temperature_k = std::numeric_limits<double>::quiet_NaN();
    double max_temperature_k = std::numeric_limits<double>::quiet_NaN();
    double mean_temperature_k = std::numeric_limits<double>::quiet_NaN();  ///< of the straight lines between the usable samples
    std::uint64_t stored_bytes = 0;
};

/// Traces that are not held whole, packed for a book; blocks made for it lie in a temporary file. Makes its way without a book,
/// so that no other program has to wait for it.
class PackedTraces {
public:
    /// Packs on several threads what does not lie packed already.
    /// @param traces  of one sample at least; must outlive it
    /// @throws PromiseError where a part is not well formed; FileError where a disk refuses
    explicit PackedTraces(const codec::PartwiseTraces& traces);

private:
    friend class TraceRepository;
    struct Part {
        std::size_t trace, first;  ///< in the trace
        std::uint64_t offset = 0;
        std::uint64_t bytes = 0;  ///< 0: it lies packed with the traces
        codec::PartStatistics statistics;
    };

    [[nodiscard]] std::string block(const Part& part) const;

    const codec::PartwiseTraces& traces_;
    TemporaryFile file_;
    std::vector<Part> parts_;  ///< in the order of the traces and, in each, of time
};

/// The traces of bakes, as packed blocks that come back bit for bit: times, temperatures (NaN too) and flags.
/// Every call may throw BookError.
class TraceRepository {
public:
    explicit TraceRepository(Book& book) noexcept : connection_(&book.connection()) {}

    /// Stores the traces of a bake, which must have none yet. A start time in the set becomes the bake's.
    /// @throws PromiseError where the set is not well formed or the bake has traces; InputError where there is no such bake
    void store(BakeId bake, const TraceSet& traces);
    /// The same of traces that are not held whole. They come back as those that a TraceSet of the same samples would give.
    void store(BakeId bake, const PackedTraces& traces);
    /// All traces in the order they were stored, with the bake's start time. @throws InputError where there is no such bake;
    /// BookError where a block is damaged (load_one() still gets the others)
    [[nodiscard]] TraceSet load(BakeId bake) const;
    /// One trace; nothing where the bake has none of that name.
    [[nodiscard]] std::optional<Trace> load_one(BakeId bake, std::string_view name) const;
    /// The samples of a trace in the order of time, a block at a time (at most codec::kBlockSamples): what a log of any length
    /// takes is one block. Nothing is taken where the bake has no trace of that name. @throws BookError where a block is damaged
    void read_parts(BakeId bake, std::string_view name, const std::function<void(const Trace& part)>& take) const;
    /// The same blocks of all traces side by side. @return false, and nothing is taken, where the traces have times of their own
    bool read_rows(BakeId bake, const std::function<void(const TraceSet& rows)>& take) const;
    /// In the order they were stored; empty where the bake has none or is not there.
    [[nodiscard]] std::vector<TraceSummary> summaries(BakeId bake) const;
    /// The same, of their names alone: no block is looked at, so that a book whose blocks are lost still tells them.
    [[nodiscard]] std::vector<std::string> names(BakeId bake) const;

private:
    Connection* connection_;
};

}  // namespace bakewright::book
