#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "bakewright/base/trace.hpp"
#include "bakewright/book/ids.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/codec/block.hpp"
#include "statement.hpp"

namespace bakewright::book {

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

}  // namespace bakewright::book
