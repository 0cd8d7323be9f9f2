#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>

#include "bakewright/book/ids.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "statement.hpp"

namespace bakewright::book {

/// Adds the row of a trace, without its samples; returns its trace_id.
std::int64_t insert_trace_row(Connection& connection, BakeId bake, std::size_t position, const TraceSummary& summary);
/// Adds a block of samples packed by the newest codec.
void insert_block(Connection& connection, std::int64_t trace_id, std::size_t position, std::size_t samples,
                  std::string_view block);
/// Makes sure that a bake is there and has no traces yet, and gives it their start where it is not empty.
void begin_traces(Connection& connection, BakeId bake, std::string_view started_at);

}  // namespace bakewright::book
