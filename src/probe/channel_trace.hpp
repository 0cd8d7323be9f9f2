#pragma once

#include <span>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "columns.hpp"
#include "table.hpp"

namespace bakewright::probe {

/// Settles what a column is, now that its cells are known, and counts them. Adds problems for words among numbers.
void settle_quantity(Column& column, const ColumnCells& cells, std::size_t rows, std::vector<std::string>& remarks,
                     ProblemList& problems);

/// The trace of a temperature column from the kept rows. Takes over the flags, which flag_impossible completes; counts them.
[[nodiscard]] Trace make_trace(Column& column, ColumnCells& cells, std::span<const std::size_t> kept,
                               std::span<const double> time_s);

}  // namespace bakewright::probe
