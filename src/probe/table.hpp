// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <optional>
#include <span>
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
    std::vector<Word> first_words;  ///< text that is no number and no word for an open circuit, at most 20
    /// Words in place of a reading, with how often and where first: at most 20 different ones.
    struct WordUse {
        std::string text, at;  ///< at: time of the row, as written
        int line;
        std::size_t count;
    };
    std::vector<WordUse> word_uses;
    std::size_t spoilt = 0;               ///< of the words, those that begin like a number
    std::vector<Word> first_other_units;  ///< numbers with a unit of something else ("45 %"), at most 20
    std::string other_unit;               ///< that unit, of the first of them
    int other_unit_changes = 0;           ///< line of the first cell with yet another such unit; 0 where there is none
};

/// All data rows of a file, column by column. Rows that repeat the headings or stand behind the data are not in it.
struct LogTable {
    std::vector<int> lines;
    std::vector<TimeText> times;  ///< text looks into the scanner's text
    std::vector<ColumnCells> columns;
    std::vector<LogFault> faults;
    std::vector<LogNote> notes;  ///< lines of words, at most kMostNotes
};

/// Reads data rows, of a whole file or of one part after the other.
class TableReader {
public:
    /// What is given must outlive it.
    TableReader(const Layout& layout, const std::vector<Column>& columns, const TimeColumns& time, const ReadOptions& options,
                ProblemList& problems);

    /// Puts all rows that the scanner still has behind those read before; their texts look into the scanner's text.
    void read(RowScanner& rows);
    /// The file ends here: a last row that was cut off is taken back, and what was passed over becomes faults.
    void finish();
    /// Rows and cells since the last clear_rows(); counts since the beginning.
    [[nodiscard]] LogTable& table() noexcept { return out_; }
    /// Forgets the rows and their cells, not what was counted.
    void clear_rows();

private:
    bool take_plain_row(RowScanner& rows);
    bool take_time_of_plain_row(int line);
    void settle_plain_rows();
    void take_row(const RowScanner& rows);
    bool is_words(std::span<const std::string_view> fields) const;
    bool is_event(std::span<const std::string_view> fields, const TimeText& time) const;
    void note(std::span<const std::string_view> fields, std::string_view time, int line);
    void check_units_beside(std::span<const std::string_view> fields, int line);
    TimeText dated(TimeText time, int line);
    void scale_rows();
    void pass_over_words(std::span<const std::string_view> fields, int line);
    void refuse_new_headings();
    void check_width(std::span<const std::string_view> fields, int line);
    void drop_cut_row();

    const Layout& layout_;
    const std::vector<Column>& columns_;
    const TimeColumns& time_;
    const ReadOptions& options_;
    ProblemList& problems_;
    LogTable out_;
    LogFault short_, again_, words_, events_, undated_;
    TimeText last_date_;               ///< of the last row that tells one
    double last_clock_s_ = 0.0;        ///< time of day of the row before
    int days_later_ = 0;               ///< midnights passed since that date
    std::vector<std::size_t> scaled_;  ///< columns whose numbers are multiplied
    int new_headings_line_ = 0;
    bool cut_ = false;
    std::vector<FieldUse> uses_;  ///< of a plain row; empty where none is looked for
    std::vector<std::size_t> number_columns_;
    std::optional<std::size_t> time_number_;  ///< which of a plain row's numbers is its time, where that is one
    std::size_t plain_rows_ = 0;              ///< whose cells' quality is not there yet
    std::vector<double> numbers_;
    std::vector<std::string_view> time_texts_;
};

/// Reads every data row. The scanner stands before the first data row and must outlive the table.
[[nodiscard]] LogTable read_table(RowScanner& rows, const Layout& layout, const std::vector<Column>& columns,
                                  const TimeColumns& time, const ReadOptions& options, ProblemList& problems);

/// The part of a file that the user takes.
[[nodiscard]] bool is_in_part(int line, const ReadOptions& options) noexcept;

/// Where a cell stands, and what says "no reading" in its file.
struct CellPlace {
    int line;
    std::string_view time;  ///< of its row, as written
    const std::vector<std::string>& missing_words;
};
/// Puts a field at the end of a column.
void append_cell(ColumnCells& cells, std::string_view field, char decimal_mark, const CellPlace& place);
/// The unit of the cell put last, where it stands in the cell or in a column of its own. A unit of something else makes it a
/// word.
void append_unit(ColumnCells& cells, std::string_view unit, std::string_view field, int line);

/// The time of a row, from one column or two.
[[nodiscard]] TimeText time_of(std::span<const std::string_view> fields, const TimeColumns& time, char decimal_mark);
/// "Max,62.5,63.1" behind the data has no time; a row of data with a broken time is another matter.
[[nodiscard]] bool is_summary_row(std::span<const std::string_view> fields, const TimeColumns& time);

/// Adds an occurrence to a fault.
void count_fault(LogFault& fault, int line);

}  // namespace bakewright::probe
