// SPDX-License-Identifier: Apache-2.0
#include "layout.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "cell.hpp"
#include "columns.hpp"
#include "heading_rows.hpp"
#include "row_scanner.hpp"
#include "time_text.hpp"
#include "unit_text.hpp"

namespace bakewright::probe {
namespace {

constexpr std::size_t kSampleBytes = 256 * 1024;
constexpr std::size_t kLeastRows = 60, kMostRows = 1000;
constexpr std::size_t kPreambleLines = 40, kPreambleWidth = 200;

using Rows = std::vector<SampleRow>;

Rows sample_rows(std::string_view text, char delimiter, int first_line) {
    Rows out;
    RowScanner rows(text, delimiter, first_line);
    while (out.size() < kMostRows && rows.next()) {
        out.push_back({rows.line(), rows.offset(), {rows.fields().begin(), rows.fields().end()}});
        if (out.size() >= kLeastRows && rows.offset() > kSampleBytes) break;
    }
    return out;
}

bool is_data_row(const SampleRow& row, char decimal_mark) {
    std::size_t data = 0, words = 0;
    for (const std::string& field : row.fields)
        if (!field.empty()) ++(is_data_cell(field, decimal_mark) ? data : words);
    return row.fields.size() >= 2 && data > 0 && (words == 0 || data >= 2);
}

std::size_t commonest_width(const Rows& rows, const std::vector<bool>& is_data, std::size_t from) {
    std::map<std::size_t, std::size_t> counts;
    for (std::size_t i = from; i < rows.size(); ++i)
        if (is_data[i]) ++counts[rows[i].fields.size()];
    const auto less = [](const auto& a, const auto& b) { return a.second < b.second; };
    return counts.empty() ? 0 : std::max_element(counts.begin(), counts.end(), less)->first;
}

/// First row of the first three data rows in a row that are wide enough (or of as many as there are).
std::size_t first_data_row(const Rows& rows, const std::vector<bool>& is_data, std::size_t width) {
    constexpr std::size_t kRun = 3;
    std::size_t best = rows.size(), best_run = 0;
    for (std::size_t i = 0; i < rows.size();) {
        std::size_t run = 0;
        while (i + run < rows.size() && run < kRun && is_data[i + run] && rows[i + run].fields.size() + 1 >= width) ++run;
        if (run > best_run && rows[i].fields.size() >= width) {
            best = i;
            best_run = run;
        }
        if (run >= kRun && best_run >= kRun) break;
        ++i;
    }
    return best;
}

bool is_words_of_width(const SampleRow& row, std::size_t width, char decimal_mark) {
    const auto is_data = [decimal_mark](const std::string& field) { return is_data_cell(field, decimal_mark); };
    return row.fields.size() == width && std::none_of(row.fields.begin(), row.fields.end(), is_data);
}

/// A row of data with a spoilt cell may not look like data; it does so all the same between headings and data.
std::size_t with_spoilt_row(const Rows& rows, std::size_t first, char decimal_mark) {
    if (first < 2 || first >= rows.size()) return first;
    const SampleRow& above = rows[first - 1];
    const bool all_words = is_words_of_width(above, above.fields.size(), decimal_mark);
    return !all_words && is_words_of_width(rows[first - 2], above.fields.size(), decimal_mark) ? first - 1 : first;
}

/// A heading row may be made of numbers but for its first cell ("Time,1,2,3"): a word where the rows below have data, and no
/// better heading row above.
bool is_heading_of_numbers(const Rows& rows, std::size_t row, char decimal_mark) {
    if (row + 1 >= rows.size() || (row > 0 && is_words_of_width(rows[row - 1], rows[row].fields.size(), decimal_mark)))
        return false;
    const std::vector<std::string>&here = rows[row].fields, &below = rows[row + 1].fields;
    return !here.empty() && !below.empty() && !here.front().empty() && !is_data_cell(here.front(), decimal_mark) &&
           is_data_cell(below.front(), decimal_mark);
}

/// A cell that is nothing but a unit of temperature, in a way of writing that unit_kind() does not know alone.
bool is_all_unit(const std::string& field) {
    const std::vector<UnitMention> mentions = temperature_mentions(field);
    return mentions.size() == 1 && mentions[0].certain && mentions[0].kind != UnitKind::none && mentions[0].begin <= 1 &&
           mentions[0].end + 1 >= field.size();
}

bool is_units_row(const SampleRow& row) {
    std::size_t units = 0;
    for (const std::string& field : row.fields) {
        if (field.empty() || field == "-") continue;
        const bool bracketed = field.size() > 2 && field.front() == '[' && field.back() == ']';
        if (unit_kind(field) == UnitKind::none && !bracketed && !is_all_unit(field)) return false;
        ++units;
    }
    return row.fields.size() >= 2 && units > 0;
}

/// A row of headings: words in each column that has data, or as good as.
bool looks_like_headings(const SampleRow& row, std::size_t width, char decimal_mark) {
    const auto filled =
        std::count_if(row.fields.begin(), row.fields.end(), [](const std::string& field) { return !field.empty(); });
    return width >= 2 && filled >= 2 && 2 * static_cast<std::size_t>(filled) >= width &&
           is_words_of_width(row, width, decimal_mark);
}

bool says_time_or_unit(const SampleRow& row) {
    return std::any_of(row.fields.begin(), row.fields.end(), [](const std::string& field) {
        const Heading heading = split_heading(field);
        return names_time(field) || temperature_unit(heading.kind) || is_time_unit(heading.kind);
    });
}

/// Where headings stand above lines about events ("burner on") and perhaps above a few rows of data between those: the row of the
/// headings. Nothing where the row just above the data is the heading row anyway, or none is found.
std::optional<std::size_t> headings_above_events(const Rows& rows, std::size_t first, std::size_t width, char decimal_mark) {
    constexpr std::size_t kMostBetween = 40;
    if (first == 0 || first >= rows.size()) return {};
    const SampleRow& above = rows[first - 1];
    const bool above_is_good = looks_like_headings(above, width, decimal_mark) || is_units_row(above);
    if (above_is_good && (says_time_or_unit(above) || first == 1 || above.fields.front().empty() || is_label_row(above)))
        return {};
    for (std::size_t i = first; i-- > 0 && first - i <= kMostBetween;) {
        if (!looks_like_headings(rows[i], width, decimal_mark)) {
            if (above_is_good) return {};
            continue;
        }
        if (says_time_or_unit(rows[i])) return i + 1 == first ? std::nullopt : std::optional<std::size_t>(i);
        if (!above_is_good) return i;
    }
    return {};
}

/// Units of channels beside words for the kind of the other columns; enough where a row of methods follows.
bool names_unit(const SampleRow& row) {
    return std::any_of(row.fields.begin(), row.fields.end(), [](const std::string& field) {
        const UnitKind kind = unit_kind(field);
        return temperature_unit(kind) || volts_of_one(kind);
    });
}

/// Headings aligned by blanks may have single blanks inside.
std::vector<std::string> split_at_wide_gaps(std::string_view line) {
    std::vector<std::string> out;
    line = trimmed(line.substr(0, line.find_first_of("\r\n")));
    while (!line.empty()) {
        const std::size_t gap = std::min(line.find("  "), line.find('\t'));
        out.emplace_back(trimmed(line.substr(0, gap)));
        line = gap == std::string_view::npos ? std::string_view{} : trimmed(line.substr(gap));
    }
    return out;
}

bool starts_with_date_and_clock(const SampleRow& row, char decimal_mark) {
    if (row.fields.size() < 2) return false;
    const TimeText date = read_time(row.fields[0], decimal_mark), clock = read_time(row.fields[1], decimal_mark);
    return date.has_date() && !date.has_clock() && clock.has_clock() && !clock.has_date();
}

/// Between blanks a time stamp falls into two fields; its heading belongs to the second, and the first gets the word "Date".
void fit_blank_aligned(Layout& layout, std::string_view text, const SampleRow& heading, const SampleRow& first_data) {
    if (layout.delimiter != ' ') return;
    if (layout.headings.size() != layout.usual_fields) {
        std::vector<std::string> wide = split_at_wide_gaps(text.substr(heading.offset));
        if (wide.size() == layout.usual_fields || wide.size() + 1 == layout.usual_fields) layout.headings = std::move(wide);
    }
    if (layout.headings.size() + 1 == layout.usual_fields && starts_with_date_and_clock(first_data, layout.decimal_mark)) {
        layout.headings.insert(layout.headings.begin(), "Date");
        if (!layout.units.empty()) layout.units.insert(layout.units.begin(), "");
    }
}

void keep_preamble(Layout& layout, std::string_view before) {
    while (!before.empty() && layout.preamble.size() < kPreambleLines) {
        const std::size_t end = before.find('\n');
        std::string_view line = before.substr(0, end);
        if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
        if (!trimmed(line).empty()) layout.preamble.emplace_back(trimmed(line).substr(0, kPreambleWidth));
        before = end == std::string_view::npos ? std::string_view{} : before.substr(end + 1);
    }
}

/// Where the heading row has fewer columns than the data, the further ones may only be blank (a delimiter at the end of each
/// row).
void check_widths(Layout& layout, ProblemList& problems) {
    const std::size_t named = layout.headings.size();
    for (const SampleRow& row : layout.sample)
        for (std::size_t c = named; c < row.fields.size() && row.fields.size() == layout.usual_fields; ++c) {
            if (row.fields[c].empty()) continue;
            problems.fail(
                row.line, "",
                fmt::format("the heading row (line {}) has {} columns, this row has {}; {}", layout.heading_line, named,
                            row.fields.size(),
                            layout.delimiter == ','
                                ? "was the log written with decimal commas and commas between the columns? Export it with "
                                  "semicolons or with decimal points"
                                : "every column needs a heading"));
        }
    if (named < layout.usual_fields) layout.headings.resize(layout.usual_fields);
}

void find_headings(Layout& layout, std::string_view text, const Rows& rows, std::size_t first_data) {
    std::size_t row = first_data;
    const SampleRow& data = rows[first_data];
    const bool method = row > 2 && is_method_row(rows[row - 1], layout.usual_fields) && names_unit(rows[row - 2]);
    if (method) --row;
    if (row > 1 && (method || is_units_row(rows[row - 1])) && rows[row - 2].fields.size() >= 2) {
        layout.units = rows[--row].fields;
        layout.units_line = rows[row].line;
    }
    std::size_t preamble_end = data.offset;
    if (row > 0 && rows[row - 1].fields.size() >= 2) {
        const SampleRow& heading = rows[--row];
        layout.headings = layout.heading_row = heading.fields;
        layout.heading_line = heading.line;
        fit_blank_aligned(layout, text, heading, data);
        preamble_end = heading.offset;
        const bool units_above = row > 0 && layout.units.empty() && rows[row - 1].fields.size() == layout.headings.size() &&
                                 is_units_row(rows[row - 1]) && names_unit(rows[row - 1]);
        if (units_above) {
            layout.units = rows[row - 1].fields;
            layout.units_line = rows[row - 1].line;
            preamble_end = rows[row - 1].offset;
        } else if (row > 0 && take_second_heading_row(layout, rows, row - 1))
            preamble_end = rows[row - 1].offset;
    } else {
        layout.headings.assign(layout.usual_fields, "");
        layout.remarks.emplace_back("the file has no heading row: columns are named by their position");
    }
    keep_preamble(layout, text.substr(0, preamble_end));
}

/// Text from a line on, for skip_lines and for the "sep=;" line that spreadsheets write.
std::string_view after_lines(std::string_view text, int lines) {
    for (; lines > 0 && !text.empty(); --lines) {
        const std::size_t end = text.find_first_of("\r\n");
        if (end == std::string_view::npos) return {};
        text.remove_prefix(text.substr(end, 2) == "\r\n" ? end + 2 : end + 1);
    }
    return text;
}

std::optional<char> separator_line(std::string_view text) {
    if (text.size() < 6 || !equals_ignoring_case(text.substr(0, 4), "sep=")) return {};
    return text[5] == '\r' || text[5] == '\n' ? std::optional<char>(text[4]) : std::nullopt;
}

/// The first row of data below headings; lines about events before it are taken out and told.
std::size_t first_row_below(Layout& layout, Rows& rows, std::size_t headings, std::size_t first, std::vector<bool>& is_data) {
    std::size_t top = headings + 1;
    while (top < first && (is_units_row(rows[top]) || is_method_row(rows[top], rows[headings].fields.size()))) ++top;
    // A row with a time and a word in place of a reading is one of data all the same.
    const auto has_data = [&](const SampleRow& row) {
        return row.fields.size() == rows[headings].fields.size() &&
               !is_words_of_width(row, row.fields.size(), layout.decimal_mark);
    };
    while (top < first && !is_data[top] && !has_data(rows[top])) {
        layout.remarks.push_back(fmt::format("line {} between headings and data holds words and was not read: '{}'",
                                             rows[top].line, fmt::format("{}", fmt::join(rows[top].fields, " ")).substr(0, 60)));
        rows.erase(rows.begin() + static_cast<std::ptrdiff_t>(top));
        is_data.erase(is_data.begin() + static_cast<std::ptrdiff_t>(top));
        --first;
    }
    return top;
}

}  // namespace

Layout find_layout(std::string_view whole, const ReadOptions& options, ProblemList& problems) {
    ReadOptions used = options;
    int skipped = options.skip_lines.value_or(0);
    if (const auto mark = separator_line(whole); mark && skipped == 0) {
        skipped = 1;
        if (!used.delimiter) used.delimiter = mark;
    }
    const std::string_view text = after_lines(whole, skipped);
    const Dialect dialect = sniff_dialect(text, used, problems);
    Layout layout;
    layout.delimiter = dialect.delimiter;
    layout.decimal_mark = dialect.decimal_mark;
    Rows rows = sample_rows(text, dialect.delimiter, skipped + 1);
    std::vector<bool> is_data;
    for (const SampleRow& row : rows) is_data.push_back(is_data_row(row, dialect.decimal_mark));
    std::size_t first = first_data_row(rows, is_data, commonest_width(rows, is_data, 0));
    first = with_spoilt_row(rows, first, dialect.decimal_mark);
    const std::size_t width = commonest_width(rows, is_data, 0);
    if (const auto headings = headings_above_events(rows, first, width, dialect.decimal_mark))
        first = first_row_below(layout, rows, *headings, first, is_data);
    if (first < rows.size() && is_heading_of_numbers(rows, first, dialect.decimal_mark)) ++first;
    if (first >= rows.size()) problems.fail(0, "", "the file has no row of data: no row holds a time and numbers");
    layout.usual_fields = commonest_width(rows, is_data, first);
    layout.sample.assign(rows.begin() + static_cast<std::ptrdiff_t>(first), rows.end());
    layout.first_data_line = rows[first].line;
    layout.first_data_offset = rows[first].offset + static_cast<std::size_t>(text.data() - whole.data());
    find_headings(layout, text, rows, first);
    check_widths(layout, problems);
    layout.units.resize(layout.units.empty() ? 0 : layout.headings.size());
    return layout;
}

}  // namespace bakewright::probe
