// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "columns.hpp"
#include "layout.hpp"
#include "row_scanner.hpp"
#include "table.hpp"

/// Long files: a row a sample, with the channel's name in one column and its value in another.
namespace bakewright::probe {

struct LongColumns {
    std::size_t name = 0;
    std::size_t value = 0;
    std::optional<std::size_t> unit;  ///< a column whose cells are units
};

/// Where name and value stand, in a long file; nothing for a wide one. A file is long where the user names the columns, or where
/// in its first rows a column of words never has the same word twice at one time and
/// - half of the rows or more share their time with another row, or
/// - the words come round in a cycle, or
/// - the headings say channel (probe, sensor, tag, ...) and value (reading).
/// Adds a problem where the file is long and several columns may hold the value.
[[nodiscard]] std::optional<LongColumns> find_long_columns(const std::vector<Column>& columns, const TimeColumns& time,
                                                           const Layout& layout, const ReadOptions& options,
                                                           ProblemList& problems);

/// All rows of a long file, parted by channel in the order in which they first appear.
struct LongTable {
    std::vector<std::string> names;
    std::vector<ColumnCells> cells;              ///< one a channel
    std::vector<std::vector<std::size_t>> rows;  ///< one a channel: the row of each of its cells
    std::vector<int> lines;                      ///< one a row
    std::vector<TimeText> times;                 ///< one a row
    std::vector<LogFault> faults;

    /// Channel after channel, instead of all channels at each time.
    [[nodiscard]] bool is_in_blocks() const;
};

/// @throws InputError where there are more channels than a logger has
[[nodiscard]] LongTable read_long_table(RowScanner& rows, const Layout& layout, const TimeColumns& time, const LongColumns& where,
                                        const ReadOptions& options, ProblemList& problems);

/// The channels as if each had a column of its own: name, unit and quantity from its name and the value's heading.
[[nodiscard]] std::vector<Column> plan_long_columns(const LongTable& table, const std::vector<Column>& columns,
                                                    const LongColumns& where, const Layout& layout);

}  // namespace bakewright::probe
