// SPDX-License-Identifier: Apache-2.0
#include "table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <limits>

#include "cell.hpp"
#include "unit_text.hpp"

namespace bakewright::probe {
namespace {

constexpr double kNoValue = std::numeric_limits<double>::quiet_NaN();
constexpr std::size_t kMostWords = 20;

// First cells of lines that loggers write behind the data. Common practice, no source.
constexpr std::array<std::string_view, 14> kSummaryWords = {"max", "maximum", "min",   "minimum", "avg",    "average", "mean",
                                                            "std", "end",     "total", "sum",     "median", "count",   "stop"};

bool repeats(std::span<const std::string_view> fields, const std::vector<std::string>& row) {
    return !row.empty() && fields.size() == row.size() && std::equal(fields.begin(), fields.end(), row.begin());
}

}  // namespace

TableReader::TableReader(const Layout& layout, const std::vector<Column>& columns, const TimeColumns& time,
                         const ReadOptions& options, ProblemList& problems)
    : layout_(layout), columns_(columns), time_(time), options_(options), problems_(problems) {
    out_.columns.resize(columns.size());
    short_.message = fmt::format(
        "rows have fewer fields than the usual {}: which value is left out cannot be known, so all of the "
        "row's values count as missing",
        layout.usual_fields);
    again_.message = "rows repeat the headings or units and were passed over";
    words_.message = "lines without a time were not read: words, or a summary behind the data";
    events_.message = "lines hold words and no reading: they are kept as notes";
    undated_.message = "rows have no date of their own and take that of a row before, past midnight the day after";
    for (std::size_t c = 0; c < columns.size(); ++c)
        if (columns[c].scale != 1.0) scaled_.push_back(c);
    const auto is_numeric = [](const std::string& word) { return begins_like_number(word); };
    if (std::any_of(options.missing_words.begin(), options.missing_words.end(), is_numeric)) return;
    if (layout.usual_fields != columns.size() || (time.date && *time.date > time.time)) return;
    for (std::size_t c = 0; c < columns.size(); ++c) {
        // Only those that tell the time are not read.
        uses_.push_back(columns[c].is_read ? FieldUse::number : FieldUse::text);
        if (columns[c].is_read) number_columns_.push_back(c);
    }
    if (number_columns_.empty()) uses_.clear();
}

void TableReader::read(RowScanner& rows) {
    for (;;) {
        if (take_plain_row(rows)) continue;
        settle_plain_rows();
        if (!rows.next()) break;
        if (is_in_part(rows.line(), options_)) take_row(rows);
    }
    if (rows.open_quote_line() > 0) problems_.fail(rows.open_quote_line(), "", "a quotation mark opens here and is never closed");
    scale_rows();
}

/// The numbers since the last clear_rows(), to be called once for them.
void TableReader::scale_rows() {
    for (const std::size_t c : scaled_)
        for (double& value : out_.columns[c].value) value *= columns_[c].scale;
}

/// Most rows by far: read without looking at each field for all that it could be. Any other is left to take_row().
bool TableReader::take_plain_row(RowScanner& rows) {
    if (uses_.empty() || !rows.next_plain(uses_, layout_.decimal_mark, numbers_, time_texts_)) return false;
    if (!take_time_of_plain_row(rows.line())) {
        rows.back_to_row();
        return false;
    }
    if (!is_in_part(rows.line(), options_)) {
        out_.times.pop_back();
        return true;
    }
    refuse_new_headings();
    out_.lines.push_back(rows.line());
    cut_ = false;
    const double* number = numbers_.data();
    for (const std::size_t column : number_columns_) {
        if (time_number_ && number == numbers_.data() + *time_number_) ++number;
        out_.columns[column].value.push_back(*number++);
    }
    ++plain_rows_;
    return true;
}

/// A time that is written as a number is read as one, once a first row has shown it.
bool TableReader::take_time_of_plain_row(int line) {
    constexpr std::size_t kDateDigits = 14;  // 20261224153000 may be a date
    if (time_number_ && time_texts_.front().size() < kDateDigits) {
        TimeText& time = out_.times.emplace_back();
        time.text = time_texts_.front();
        time.readable = time.is_number = true;
        time.number = numbers_[*time_number_];
        return true;
    }
    TimeText time = read_time(time_texts_.front(), layout_.decimal_mark);
    if (time_.date) time = joined(time, read_time(time_texts_.back(), layout_.decimal_mark));
    if (!time.readable) return false;
    if (!time.is_number) time = dated(time, line);
    out_.times.push_back(time);
    if (time.is_number && !time_.date && time_texts_.size() == 1 && !time_number_) {
        const auto at = std::find(uses_.begin(), uses_.end(), FieldUse::text);
        time_number_ = static_cast<std::size_t>(at - uses_.begin());
        *at = FieldUse::both;
        numbers_.insert(numbers_.begin() + static_cast<std::ptrdiff_t>(*time_number_), time.number);
    }
    return true;
}

/// Cells of plain rows are all good.
void TableReader::settle_plain_rows() {
    if (plain_rows_ == 0) return;
    for (const std::size_t column : number_columns_) {
        ColumnCells& cells = out_.columns[column];
        cells.quality.resize(cells.value.size(), SampleQuality::good);
        cells.numbers += plain_rows_;
    }
    plain_rows_ = 0;
}

void TableReader::finish() {
    drop_cut_row();
    for (LogFault* fault : {&short_, &again_, &words_, &events_, &undated_})
        if (fault->count > 0) out_.faults.push_back(std::move(*fault));
}

void TableReader::clear_rows() {
    out_.lines.clear();
    out_.times.clear();
    for (ColumnCells& cells : out_.columns) {
        cells.value.clear();
        cells.quality.clear();
        cells.own_unit.clear();
    }
}

void TableReader::take_row(const RowScanner& rows) {
    const auto fields = rows.fields();
    if (repeats(fields, layout_.heading_row) || repeats(fields, layout_.units)) return count_fault(again_, rows.line());
    TimeText time = time_of(fields, time_, layout_.decimal_mark);
    const bool has_no_date = !time_.date || *time_.date >= fields.size() || fields[*time_.date].empty();
    if (time.has_date() || has_no_date) time = dated(time, rows.line());
    if (!time.readable && is_summary_row(fields, time_)) return count_fault(words_, rows.line());
    if (is_event(fields, time)) return note(fields, time.text, rows.line());
    if (!time.readable && is_words(fields)) return pass_over_words(fields, rows.line());
    refuse_new_headings();
    check_width(fields, rows.line());
    out_.lines.push_back(rows.line());
    out_.times.push_back(time);
    check_units_beside(fields, rows.line());
    cut_ = rows.ends_without_newline() && fields.size() < layout_.usual_fields;
    const bool is_short = fields.size() < layout_.usual_fields;
    if (is_short && !cut_) count_fault(short_, rows.line());
    for (std::size_t c = 0; c < columns_.size(); ++c)
        if (columns_[c].is_read)
            append_cell(out_.columns[c], is_short || c >= fields.size() ? "" : fields[c], layout_.decimal_mark,
                        {rows.line(), time.text, options_.missing_words});
}

/// "14:05:10,door opened": a time, words and nothing else, in fewer fields than a row of data has.
bool TableReader::is_event(std::span<const std::string_view> fields, const TimeText& time) const {
    if (!time.readable || fields.size() >= layout_.usual_fields) return false;
    bool any_words = false;
    for (std::size_t c = 0; c < fields.size(); ++c) {
        if (fields[c].empty() || c == time_.time || c == time_.date) continue;
        if (is_data_cell(fields[c], layout_.decimal_mark)) return false;
        any_words = true;
    }
    return any_words;
}

void TableReader::note(std::span<const std::string_view> fields, std::string_view time, int line) {
    count_fault(events_, line);
    if (out_.notes.size() >= kMostNotes) return;
    std::string text;
    for (std::size_t c = 0; c < fields.size(); ++c)
        if (!fields[c].empty() && c != time_.time && c != time_.date)
            text += fmt::format("{}{}", text.empty() ? "" : " ", fields[c].substr(0, 200));
    out_.notes.push_back({line, std::string(time), {}, std::move(text)});
}

/// A column of units or names beside the numbers has to go on as it began.
void TableReader::check_units_beside(std::span<const std::string_view> fields, int line) {
    for (const Column& column : columns_) {
        if (column.name_beside && *column.name_beside < fields.size() && !fields[*column.name_beside].empty() &&
            fields[*column.name_beside] != column.channel.name)
            problems_.add(
                line, column.channel.heading,
                fmt::format("the name beside the number is '{}', in the first rows it is '{}'; one channel a column is read",
                            fields[*column.name_beside], column.channel.name));
        if (!column.unit_beside || *column.unit_beside >= fields.size() || fields[*column.unit_beside].empty()) continue;
        if (unit_kind(fields[*column.unit_beside]) == column.unit_kind) continue;
        problems_.add(line, column.channel.heading.empty() ? column.channel.name : column.channel.heading,
                      fmt::format("the unit beside the number is '{}', in the first rows it is {}; one unit a column is read",
                                  fields[*column.unit_beside], column.channel.unit));
    }
}

/// A date may stand in the first row only, or where it changes: it holds until the next one, past midnight for the day after. A
/// time of day without any date counts the midnights too: a step back of more than half a day is the next day.
TimeText TableReader::dated(TimeText time, int line) {
    constexpr double kHalfDay = 43200.0;
    if (!time.has_clock() || time.negative || time.has_days || (time.has_date() && !time.readable)) return time;
    const double clock_s = 3600.0 * time.part[0] + 60.0 * time.part[1] + time.part[2];
    if (time.has_date()) {
        last_date_ = time;
        last_date_.text = {};
        days_later_ = 0;
    } else {
        if (clock_s < last_clock_s_ - kHalfDay) ++days_later_;
        if (last_date_.has_date()) {
            TimeText with_date = joined(last_date_, time);
            with_date.readable = true;
            if (!with_date.zone_minutes) with_date.zone_minutes = last_date_.zone_minutes;
            time = with_date;
            count_fault(undated_, line);
        }
        time.days_later = days_later_;
    }
    last_clock_s_ = clock_s;
    return time;
}

bool TableReader::is_words(std::span<const std::string_view> fields) const {
    const auto is_data = [this](std::string_view field) { return is_data_cell(field, layout_.decimal_mark); };
    return std::none_of(fields.begin(), fields.end(), is_data);
}

/// Several words in a row with data behind them are headings of other columns: what follows would be read wrongly.
void TableReader::pass_over_words(std::span<const std::string_view> fields, int line) {
    if (out_.notes.size() < kMostNotes)
        out_.notes.push_back({line, {}, {}, fmt::format("{}", fmt::join(fields, " ")).substr(0, 200)});
    const auto filled = std::count_if(fields.begin(), fields.end(), [](std::string_view field) { return !field.empty(); });
    if (filled >= 2 && new_headings_line_ == 0) new_headings_line_ = line;
    count_fault(words_, line);
}

void TableReader::refuse_new_headings() {
    if (new_headings_line_ == 0) return;
    problems_.add(new_headings_line_, "",
                  "a row of words that differs from the heading row stands here, with data behind it; where the columns "
                  "change, split the file in two");
    new_headings_line_ = 0;
}

void TableReader::check_width(std::span<const std::string_view> fields, int line) {
    for (std::size_t c = columns_.size(); c < fields.size(); ++c) {
        if (fields[c].empty()) continue;
        problems_.add(line, "",
                      fmt::format("the row has {} fields, the heading row has {}; every value needs a column", fields.size(),
                                  columns_.size()));
        return;
    }
}

/// The last row of a file that stops in the middle of it (power lost while writing) is no row.
void TableReader::drop_cut_row() {
    if (!cut_ || out_.lines.size() < 2) return;
    LogFault fault{{out_.lines.back()}, 1, "the file stops in the middle of its last row, which was left out"};
    out_.lines.pop_back();
    out_.times.pop_back();
    for (ColumnCells& cells : out_.columns) {
        if (cells.value.empty()) continue;
        cells.value.pop_back();
        cells.quality.pop_back();
        if (cells.own_unit.size() > cells.value.size()) cells.own_unit.pop_back();
        cells.blanks -= 1;
    }
    out_.faults.push_back(std::move(fault));
}

namespace {

/// Counts a word that stands in place of a number.
void add_word(ColumnCells& cells, std::string_view field, const CellPlace& place) {
    ++cells.words;
    const std::string_view text = field.substr(0, 60);
    if (cells.first_words.size() < kMostWords) cells.first_words.push_back({place.line, std::string(text)});
    if (begins_like_number(field)) {
        ++cells.spoilt;
        return;
    }
    const auto known =
        std::find_if(cells.word_uses.begin(), cells.word_uses.end(), [&](const auto& use) { return use.text == text; });
    if (known != cells.word_uses.end())
        ++known->count;
    else if (cells.word_uses.size() < kMostWords)
        cells.word_uses.push_back({std::string(text), std::string(place.time), place.line, 1});
}

}  // namespace

void append_cell(ColumnCells& cells, std::string_view field, char decimal_mark, const CellPlace& place) {
    const bool said = std::any_of(place.missing_words.begin(), place.missing_words.end(),
                                  [field](const std::string& word) { return equals_ignoring_case(field, word); });
    const Cell cell = said ? Cell{CellKind::missing, 0.0, {}} : read_cell(field, decimal_mark);
    cells.value.push_back(cell.kind == CellKind::number ? cell.value : kNoValue);
    cells.quality.push_back(cell.kind == CellKind::number         ? SampleQuality::good
                            : cell.kind == CellKind::open_circuit ? SampleQuality::open_circuit
                                                                  : SampleQuality::missing);
    cells.numbers += cell.kind == CellKind::number;
    cells.blanks += cell.kind == CellKind::blank;
    if (!cell.suffix.empty()) append_unit(cells, cell.suffix, field, place.line);
    if (cell.kind == CellKind::text) add_word(cells, field, place);
}

void append_unit(ColumnCells& cells, std::string_view unit, std::string_view field, int line) {
    if (const auto temperature = temperature_unit(unit_kind(unit))) {
        cells.own_unit.resize(cells.value.size(), *temperature);
        cells.own_unit.back() = *temperature;
        return;
    }
    if (cells.other_unit.empty()) cells.other_unit = unit;
    if (cells.other_unit_changes == 0 && cells.other_unit != unit) cells.other_unit_changes = line;
    if (cells.first_other_units.size() < kMostWords) cells.first_other_units.push_back({line, std::string(field.substr(0, 60))});
}

TimeText time_of(std::span<const std::string_view> fields, const TimeColumns& time, char decimal_mark) {
    const auto at = [&](std::size_t column) {
        return read_time(column < fields.size() ? fields[column] : std::string_view{}, decimal_mark);
    };
    return time.date ? joined(at(*time.date), at(time.time)) : at(time.time);
}

bool is_summary_row(std::span<const std::string_view> fields, const TimeColumns& time) {
    if (time.time >= fields.size()) return false;
    const std::vector<std::string> words = words_of(fields[time.time]);
    return !words.empty() && std::find(kSummaryWords.begin(), kSummaryWords.end(), words[0]) != kSummaryWords.end();
}

void count_fault(LogFault& fault, int line) {
    ++fault.count;
    if (fault.lines.size() < 20) fault.lines.push_back(line);
}

bool is_in_part(int line, const ReadOptions& options) noexcept {
    return (!options.from_line || line >= *options.from_line) && (!options.to_line || line <= *options.to_line);
}

LogTable read_table(RowScanner& rows, const Layout& layout, const std::vector<Column>& columns, const TimeColumns& time,
                    const ReadOptions& options, ProblemList& problems) {
    TableReader reader(layout, columns, time, options, problems);
    reader.read(rows);
    reader.finish();
    return std::move(reader.table());
}

}  // namespace bakewright::probe
