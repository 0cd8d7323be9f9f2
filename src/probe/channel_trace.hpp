// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <span>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "columns.hpp"
#include "row_order.hpp"
#include "table.hpp"
#include "voltage.hpp"

namespace bakewright::probe {

/// Settles what a column is, now that its cells are known, and counts them. Adds problems for words among numbers.
void settle_quantity(Column& column, const ColumnCells& cells, std::size_t rows, LogReading& reading, ProblemList& problems);

/// The trace of a temperature column from the kept rows. Takes over the flags, which flag_impossible completes; counts them.
/// @param reference  asked only for a column of volts
[[nodiscard]] Trace make_trace(Column& column, ColumnCells& cells, const SampleTimes& times, const ReferenceJunction& reference);

}  // namespace bakewright::probe
