// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/probe/read_log.hpp"
#include "problem_list.hpp"

namespace bakewright::probe {

/// One row kept for looking at.
struct SampleRow {
    int line = 0;
    std::size_t offset = 0;  ///< where it starts in the text
    std::vector<std::string> fields;
};

/// Where things stand in a file.
struct Layout {
    char delimiter = ',';
    char decimal_mark = '.';
    std::vector<std::string> preamble;
    int heading_line = 0;
    int second_heading_line = 0;  ///< of another row of headings above that one; 0 where there is none
    int units_line = 0;
    int first_data_line = 0;
    std::size_t first_data_offset = 0;     ///< in the text
    std::vector<std::string> headings;     ///< one a column; empty texts where the file has no heading row
    std::vector<std::string> heading_row;  ///< as scanned, to recognise it when it comes again
    std::vector<std::string> units;        ///< one a column, empty where the file has no units row
    std::size_t usual_fields = 0;          ///< commonest number of fields of a data row
    std::vector<SampleRow> sample;         ///< the first data rows
    std::vector<std::string> remarks;
};

/// Delimiter and decimal mark under which most cells of the first rows are numbers or times. (dialect.cpp)
struct Dialect {
    char delimiter = ',';
    char decimal_mark = '.';
};
[[nodiscard]] Dialect sniff_dialect(std::string_view text, const ReadOptions& options, ProblemList& problems);

/// A number, a time, or a word for a missing value.
[[nodiscard]] bool is_data_cell(std::string_view field, char decimal_mark) noexcept;

/// Finds the rows of headings, units and data in the whole text of a file. (layout.cpp)
/// @throws InputError where there is no table
[[nodiscard]] Layout find_layout(std::string_view whole, const ReadOptions& options, ProblemList& problems);

}  // namespace bakewright::probe
