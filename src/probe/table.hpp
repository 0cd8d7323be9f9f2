#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "columns.hpp"
#include "layout.hpp"
#include "row_scanner.hpp"
#include "time_text.hpp"

namespace bakewright::probe {

/// The cells of one column as they were read, before units.
struct ColumnCells {
    std::vector<double> value;              ///< NaN where there is no number
    std::vector<SampleQuality> quality;     ///< good, missing or open_circuit
    std::vector<TemperatureUnit> own_unit;  ///< unit behind each number; empty where no cell has one
    std::size_t numbers = 0, words = 0, blanks = 0;
    struct Word {
        int line;
        std::string text;
    };
    std::vector<Word> first_words;        ///< text that is no number, at most 20
    std::vector<Word> first_other_units;  ///< numbers with a unit of something else ("45 %"), at most 20
    std::string other_unit;               ///< that unit, of the first of them
};

/// All data rows of a file, column by column. Rows that repeat the headings or stand behind the data are not in it.
struct LogTable {
    std::vector<int> lines;
    std::vector<TimeText> times;  ///< text looks into the scanner's text
    std::vector<ColumnCells> columns;
    std::vector<LogFault> faults;
};

/// Reads every data row. The scanner stands before the first data row and must outlive the table.
[[nodiscard]] LogTable read_table(RowScanner& rows, const Layout& layout, const std::vector<Column>& columns,
                                  const TimeColumns& time, ProblemList& problems);

/// Adds an occurrence to a fault.
void count_fault(LogFault& fault, int line);

}  // namespace bakewright::probe
