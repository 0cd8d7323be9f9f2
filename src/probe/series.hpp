// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "columns.hpp"
#include "row_order.hpp"
#include "table.hpp"

namespace bakewright::probe {

/// Everything read from a file, column by column (channel by channel in a long file), before it becomes temperatures.
struct Series {
    std::vector<Column> columns;
    std::vector<ColumnCells> cells;  ///< one a column
    std::vector<SampleTimes> times;  ///< one for all columns, or one a column
    std::size_t rows = 0;            ///< rows of data in the file
    std::string started_at;

    /// Rows that could have a value of a column.
    [[nodiscard]] std::size_t rows_of(std::size_t column) const { return times.size() == 1 ? rows : cells[column].value.size(); }
    [[nodiscard]] const SampleTimes& times_of(std::size_t column) const { return times.size() == 1 ? times[0] : times[column]; }
};

/// Adds a remark where another column of elapsed time runs at another pace than the clock of the rows: by 2 s and more over the
/// log, which has to last half an hour. (clock_drift.cpp)
void report_clock_drift(const Series& series, LogReading& reading);

}  // namespace bakewright::probe
