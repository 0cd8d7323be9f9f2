// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "bakewright/base/trace.hpp"
#include "bakewright/book/ids.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/codec/block.hpp"
#include "bakewright/codec/samples.hpp"
#include "statement.hpp"

/// The rows of traces: summed up, written and read.
namespace bakewright::book {

/// Name, role, counts, times and temperatures of a trace; stored_bytes stays 0. The mean is of the straight lines between
/// neighbouring usable samples, weighted by time; of a single usable sample, its value.
[[nodiscard]] TraceSummary summary_of(const Trace& named, const codec::PartStatistics& whole);
/// The same of a trace held whole; it is taken in parts of kBlockSamples, so that both ways round alike.
[[nodiscard]] TraceSummary summarise(const Trace& trace);

/// Adds the row of a trace, without its samples; returns its trace_id.
std::int64_t insert_trace_row(Connection& connection, BakeId bake, std::size_t position, const TraceSummary& summary);
/// Adds a block of samples packed by the newest codec.
void insert_block(Connection& connection, std::int64_t trace_id, std::size_t position, std::size_t samples,
                  std::string_view block);
/// Makes sure that a bake is there and has no traces yet, and gives it their start where it is not empty.
void begin_traces(Connection& connection, BakeId bake, std::string_view started_at);

/// The row of one trace.
struct StoredTrace {
    std::int64_t trace_id = 0;
    BakeId bake{};
    TraceSummary summary;

    /// "trace 'roof' of bake 3"
    [[nodiscard]] std::string label() const;
};

/// The columns stored_trace_of() reads; ends before WHERE.
inline constexpr std::string_view kSelectTrace =
    "SELECT trace_id, bake_id, name, role, sample_count, usable_count, first_time_s, last_time_s, min_temperature_k, "
    "max_temperature_k, mean_temperature_k, (SELECT coalesce(sum(length(data)), 0) FROM trace_block WHERE trace_block.trace_id = "
    "trace.trace_id) FROM trace ";

/// @throws BookError where the row contradicts itself
[[nodiscard]] StoredTrace stored_trace_of(const Connection& connection, const Statement& row);

/// Unpacks every block of a trace and holds the result against its row. @throws BookError that names the trace
/// @param first_trace  of its bake, for blocks that rest on that one's times; where empty it is read from the book
[[nodiscard]] Trace load_trace(Connection& connection, const StoredTrace& stored, const codec::FirstTrace& first_trace = {});

/// All traces of a bake, and the way back. (trace_repository.cpp)
[[nodiscard]] TraceSet load_traces(Connection& connection, BakeId bake);
void store_traces(Connection& connection, BakeId bake, const TraceSet& traces);

/// Steps through the blocks of a trace.
class BlockReader {
public:
    /// @param first  the first trace of the bake, on whose times blocks may rest
    BlockReader(Connection& connection, StoredTrace stored, const StoredTrace& first);

    /// The next block as a trace of its own; nothing behind the last. @throws BookError that names the trace
    [[nodiscard]] std::optional<Trace> next();
    /// Whether the last block rested on the times of the first trace, or is of it.
    [[nodiscard]] bool had_first_times() const noexcept { return had_first_times_; }

private:
    Connection* connection_;
    StoredTrace stored_;
    Statement blocks_;
    Statement first_blocks_;
    bool is_first_;
    bool had_first_times_ = false;
};

}  // namespace bakewright::book
