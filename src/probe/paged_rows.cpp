// SPDX-License-Identifier: Apache-2.0
#include "paged_rows.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <thread>

#include "bakewright/base/error.hpp"
#include "encoding.hpp"
#include "quality_rules.hpp"

namespace bakewright::probe {
namespace {

[[noreturn]] void need_whole(int line, std::string_view why) { throw NeedsWholeLog{fmt::format("line {}: {}", line, why)}; }

/// Times of day of which only the whole file tells that they are none: minutes and seconds with a fraction, or three numbers
/// where the first rows have two.
bool may_be_elapsed(std::span<const TimeText> texts, bool has_three_parts) {
    return std::any_of(texts.begin(), texts.end(), [has_three_parts](const TimeText& text) {
        return text.clock_parts == 2 ? text.has_fraction : text.clock_parts == 3 && !has_three_parts;
    });
}

bool proves_order(const TimeText& text) { return text.date == DateShape::two_numbers && (text.first > 12 || text.second > 12); }

bool is_local_clock(TimeForm form, const TimeText& text) {
    const bool is_local = form < TimeForm::unix_seconds || form == TimeForm::spreadsheet_days;
    return is_clock_form(form) && is_local && !text.zone_minutes;
}

}  // namespace

unsigned threads_of(const PagedSizes& sizes) {
    return sizes.threads > 0 ? sizes.threads : std::clamp(std::thread::hardware_concurrency(), 1U, 8U);
}

PagedRows::PagedRows(const Where& where, const std::vector<Column>& columns, const Reading& the, const PagedSizes& sizes)
    : where_(where),
      columns_(columns),
      the_(the),
      sizes_(sizes),
      reader_(the.layout, columns, where.time, the.options, the.problems),
      hints_(where.hints) {
    for (std::size_t c = 0; c < columns.size(); ++c) {
        if (columns[c].channel.quantity == Quantity::temperature) stored_.push_back(c);
        if (second_clock_scale(columns[c]) > 0.0) clocks_[c] = {};
    }
    std::vector<TemperatureUnit> units;
    for (const std::size_t c : stored_) units.push_back(columns[c].unit.value_or(TemperatureUnit::celsius));
    intake_ = std::make_unique<PageIntake>(units, look_out(the.options.quality), sizes.page_rows, threads_of(sizes));
}

std::optional<std::size_t> PagedRows::stored_column(std::size_t column) const {
    const auto at = std::lower_bound(stored_.begin(), stored_.end(), column);
    if (at == stored_.end() || *at != column) return {};
    return static_cast<std::size_t>(at - stored_.begin());
}

void PagedRows::read(const Progress& progress) {
    std::string piece;
    std::uint64_t offset = where_.first_offset;
    for (int line = the_.layout.first_data_line; offset < where_.file.size();) {
        const std::size_t size = next_piece(offset, piece);
        if (!is_plain_utf8(piece)) need_whole(line, "bytes that are no UTF-8 text");
        RowScanner rows(piece, the_.layout.delimiter, line);
        reader_.read(rows);
        line = rows.next_line();
        offset += size;
        const bool last = offset >= where_.file.size();
        if (last && piece.back() != '\n' && reader_.table().lines.size() < 2) need_whole(line, "the last row may be cut off");
        if (last) reader_.finish();
        take_rows(reader_.table());
        reader_.clear_rows();
        if (progress && !progress(static_cast<double>(offset) / static_cast<double>(where_.file.size())))
            throw FileError(where_.file.path() + ": reading was interrupted; nothing was kept");
    }
    if (intake_->rows() == 0) throw NeedsWholeLog{"no row of data"};
    intake_->finish();
}

/// Whole lines from a place on; returns their bytes.
std::size_t PagedRows::next_piece(std::uint64_t offset, std::string& piece) const {
    for (std::size_t size = sizes_.piece_bytes;; size *= 2) {
        piece.resize(std::min<std::uint64_t>(size, where_.file.size() - offset));
        piece.resize(where_.file.read_at(offset, piece));
        if (offset + piece.size() >= where_.file.size()) return piece.size();
        const std::size_t end = piece.rfind('\n');
        if (end != std::string::npos) {
            piece.resize(end + 1);
            return piece.size();
        }
        if (size > kLongestLineBytes) throw NeedsWholeLog{"a very long line, or line ends that are no newlines"};
    }
}

void PagedRows::take_rows(LogTable& table) {
    for (const ColumnCells& cells : table.columns)
        if (!cells.own_unit.empty()) need_whole(table.lines.front(), "units behind the numbers");
    if (table.lines.empty()) return;
    const std::vector<double> time_s = resolve(table);
    the_.problems.throw_if_any();
    check_steps(time_s, table.lines);
    keep(time_s, table);
}

/// Times since the file's first row, which each part is resolved together with.
std::vector<double> PagedRows::resolve(LogTable& table) {
    if (intake_->rows() == 0) {
        ResolvedTimes first = resolve_times(table.times, table.lines, hints_, the_.problems);
        check_form(first, table.times);
        first_ = table.times.front();
        first_text_ = first_.text;
        first_.text = first_text_;
        hints_.option = first.form;
        std::vector<double> time_s = std::move(first.time_s);
        times_ = std::move(first);
        return time_s;
    }
    if (order_by_points_ && std::any_of(table.times.begin(), table.times.end(), proves_order)) {
        times_.remarks.clear();  // that it is read so because of its points
        order_by_points_ = false;
    }
    if (times_.form == TimeForm::clock_of_day && may_be_elapsed(table.times, clock_has_three_parts_))
        need_whole(table.lines.front(), "times of day of two kinds");
    table.times.insert(table.times.begin(), first_);
    table.lines.insert(table.lines.begin(), the_.layout.first_data_line);
    ResolvedTimes times = resolve_times(table.times, table.lines, hints_, the_.problems);
    table.lines.erase(table.lines.begin());
    if (times.form != times_.form) need_whole(table.lines.front(), "the time is written otherwise from here on");
    times.time_s.erase(times.time_s.begin());
    return std::move(times.time_s);
}

/// A form that only the whole file can tell is not taken from its beginning.
void PagedRows::check_form(const ResolvedTimes& first, std::span<const TimeText> texts) {
    clock_has_three_parts_ = std::any_of(texts.begin(), texts.end(), [](const TimeText& text) { return text.clock_parts == 3; });
    if (first.form == TimeForm::clock_of_day && may_be_elapsed(texts, clock_has_three_parts_))
        throw NeedsWholeLog{"times of day of two kinds"};
    const auto is_open = [](const TimeText& text) { return text.date == DateShape::two_numbers; };
    if (!where_.hints.option && std::any_of(texts.begin(), texts.end(), [](const TimeText& text) { return text.short_year; }))
        throw NeedsWholeLog{"years of two digits, of which only all rows tell where they stand"};
    if (where_.hints.option || std::none_of(texts.begin(), texts.end(), is_open) ||
        std::any_of(texts.begin(), texts.end(), proves_order))
        return;
    order_by_points_ = std::any_of(texts.begin(), texts.end(), [](const TimeText& text) { return text.dotted; });
    if (!order_by_points_) throw NeedsWholeLog{"the first rows do not tell the order of day and month"};
}

void PagedRows::check_steps(const std::vector<double>& time_s, const std::vector<int>& lines) {
    constexpr double kHour = 3600.0, kLongestUsualStep = kHour / 4.0;
    const bool may_change = the_.options.correct_daylight_saving && is_local_clock(times_.form, first_);
    for (std::size_t i = 0; i < time_s.size(); ++i) {
        if (!std::isfinite(time_s[i])) need_whole(lines[i], "the row has no time");
        const bool is_first = intake_->rows() == 0 && i == 0;
        if (is_first) {
            first_time_s_ = time_s[i];
        } else {
            const double step_s = time_s[i] - last_time_s_;
            if (!(step_s > 0.0)) need_whole(lines[i], "the time does not go on");
            if (may_change && step_s >= kHour && step_s <= kHour + 1.5 * kLongestUsualStep)
                need_whole(lines[i], "an hour is missing, as at the beginning of daylight saving time");
            steps_.add(step_s);
        }
        last_time_s_ = time_s[i];
    }
}

void PagedRows::keep(const std::vector<double>& time_s, const LogTable& table) {
    for (auto& [column, clocks] : clocks_) {
        const double scale = second_clock_scale(columns_[column]);
        for (std::size_t i = 0; i < time_s.size(); ++i) clocks.add(time_s[i], table.columns[column].value[i] * scale);
    }
    std::vector<ReadCells> cells;
    cells.reserve(stored_.size());
    for (const std::size_t c : stored_) cells.push_back({table.columns[c].value, table.columns[c].quality});
    intake_->add(time_s, table.lines, cells);
}

}  // namespace bakewright::probe
