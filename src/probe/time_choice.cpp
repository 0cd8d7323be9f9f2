// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "columns.hpp"
#include "row_scanner.hpp"

namespace bakewright::probe {
namespace {

// Words for time and date in the languages loggers are sold in. Common practice, no source.
constexpr std::array<std::string_view, 24> kTimeWords = {"time",    "timestamp", "datetime", "elapsed", "clock",       "seconds",
                                                         "minutes", "hours",     "zeit",     "uhrzeit", "zeitstempel", "heure",
                                                         "temps",   "hora",      "tiempo",   "tempo",   "tid",         "tijd",
                                                         "date",    "datum",     "fecha",    "data",    "dato",        "stamp"};

/// What most of a column's sampled cells are.
struct TimeLook {
    std::size_t filled = 0, dates = 0, clocks = 0, date_times = 0, numbers = 0;

    [[nodiscard]] bool mostly(std::size_t count) const { return filled > 0 && 2 * count > filled; }
    [[nodiscard]] bool is_time() const { return mostly(dates + clocks + date_times + numbers); }
};

TimeLook look_at(const Layout& layout, std::size_t column) {
    TimeLook look;
    for (const SampleRow& row : layout.sample) {
        if (column >= row.fields.size() || row.fields[column].empty()) continue;
        const TimeText cell = read_time(row.fields[column], layout.decimal_mark);
        ++look.filled;
        if (!cell.readable) continue;
        look.numbers += cell.is_number;
        look.dates += cell.has_date() && !cell.has_clock();
        look.clocks += cell.has_clock() && !cell.has_date();
        look.date_times += cell.has_clock() && cell.has_date();
    }
    return look;
}

/// 2 where the heading begins with a word for time or is a unit of time, 1 where it holds one, else 0.
int heading_rank(const Column& column) {
    const std::vector<std::string> words = words_of(column.channel.name);
    if (is_time_unit(column.unit_kind)) return 2;
    if (words.size() == 1 && words[0] == "t" && column.unit_kind == UnitKind::none) return 1;
    for (std::size_t i = 0; i < words.size(); ++i)
        if (std::find(kTimeWords.begin(), kTimeWords.end(), words[i]) != kTimeWords.end()) return i == 0 ? 2 : 1;
    return 0;
}

std::optional<std::size_t> by_heading(const std::vector<Column>& columns, const std::vector<TimeLook>& looks) {
    for (int rank = 2; rank >= 1; --rank)
        for (std::size_t i = 0; i < columns.size(); ++i)
            if (!columns[i].unit && heading_rank(columns[i]) == rank && looks[i].is_time()) return i;
    return {};
}

std::optional<std::size_t> by_cells(const std::vector<TimeLook>& looks) {
    for (std::size_t i = 0; i < looks.size(); ++i)
        if (looks[i].mostly(looks[i].date_times + looks[i].dates + looks[i].clocks)) return i;
    return {};
}

/// A column of mere dates needs one of mere times of day beside it, and the other way about.
void pair_date_and_clock(TimeColumns& out, const std::vector<TimeLook>& looks) {
    const TimeLook& chosen = looks[out.time];
    const bool is_date = chosen.mostly(chosen.dates), is_clock = chosen.mostly(chosen.clocks);
    if (!is_date && !is_clock) return;
    for (std::size_t i = 0; i < looks.size(); ++i) {
        if (i == out.time || !looks[i].mostly(is_date ? looks[i].clocks : looks[i].dates)) continue;
        out.date = is_date ? out.time : i;
        out.time = is_date ? i : out.time;
        return;
    }
}

[[noreturn]] void fail_without_time(const Layout& layout, ProblemList& problems) {
    std::string headings;
    for (std::size_t i = 0; i < layout.headings.size() && i < 12; ++i)
        headings += fmt::format("{}'{}'", i == 0 ? "" : ", ", layout.headings[i]);
    problems.fail(
        layout.heading_line, "",
        fmt::format("no time column: no heading says time or date and no column holds dates or times of day; name the time "
                    "column by heading or position (columns: {}{})",
                    headings, layout.headings.size() > 12 ? ", ..." : ""));
}

TimeColumns chosen_by_user(const std::vector<Column>& columns, const ReadOptions& options, ProblemList& problems) {
    TimeColumns out;
    const auto time = column_of(columns, options.time_column, "time column", problems);
    if (!options.date_column.empty()) out.date = column_of(columns, options.date_column, "date column", problems);
    problems.throw_if_any();
    out.time = *time;
    return out;
}

void mark_times(std::vector<Column>& columns, const TimeColumns& out) {
    for (const std::size_t index : {out.time, out.date.value_or(out.time)}) {
        LogChannel& channel = columns[index].channel;
        channel.quantity = Quantity::time;
        if (!is_time_unit(columns[index].unit_kind)) channel.found = "it tells the time of the row";
        columns[index].unit.reset();
        columns[index].is_read = false;
    }
}

}  // namespace

bool names_time(std::string_view heading) {
    const std::vector<std::string> words = words_of(heading);
    return std::any_of(words.begin(), words.end(), [](const std::string& word) {
        return std::find(kTimeWords.begin(), kTimeWords.end(), word) != kTimeWords.end();
    });
}

TimeColumns choose_time(std::vector<Column>& columns, const Layout& layout, const ReadOptions& options, ProblemList& problems) {
    TimeColumns out;
    if (!options.time_column.empty()) {
        out = chosen_by_user(columns, options, problems);
    } else {
        std::vector<TimeLook> looks;
        for (std::size_t i = 0; i < columns.size(); ++i) looks.push_back(look_at(layout, i));
        auto found = by_heading(columns, looks);
        if (!found) {
            found = by_cells(looks);
            if (!found) fail_without_time(layout, problems);
            out.remarks.push_back(fmt::format("no heading says time: column {} is taken because it holds times", *found + 1));
        }
        out.time = *found;
        pair_date_and_clock(out, looks);
        if (!options.date_column.empty()) out.date = column_of(columns, options.date_column, "date column", problems);
        problems.throw_if_any();
    }
    mark_times(columns, out);
    return out;
}

TimeHints time_hints(const std::vector<Column>& columns, const TimeColumns& time, const ReadOptions& options) {
    const Column& column = columns[time.time];
    TimeHints hints;
    hints.heading = column.channel.heading.empty() ? column.channel.name : column.channel.heading;
    if (time.date) hints.heading = fmt::format("{} + {}", columns[*time.date].channel.heading, hints.heading);
    hints.unit = column.unit_kind;
    hints.unit_found = column.channel.found;
    hints.option = options.time_form;
    return hints;
}

}  // namespace bakewright::probe
