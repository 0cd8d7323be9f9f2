// SPDX-License-Identifier: Apache-2.0
#include "row_order.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/format.hpp"
#include "table.hpp"

namespace bakewright::probe {
namespace {

constexpr std::size_t kMostLateTogether = 3;
constexpr double kGapSteps = 5.0;

/// Known steps back get a hint at their usual cause.
std::string backward_hint(double step_s, TimeForm form) {
    const double back_s = -step_s;
    constexpr std::string_view kPart = "take one part with the lines from and to (--from-line, --to-line)";
    if (!is_clock_form(form)) return fmt::format("; if the logger was started anew, {}", kPart);
    if (back_s > 3000.0 && back_s <= 3600.0) return "; the end of daylight saving time? Export with a time zone or in UTC";
    if (back_s > 41000.0 && back_s <= 43200.0) return "; a 12-hour clock without AM and PM? Export with a 24-hour clock";
    return fmt::format("; rows out of order, or a clock that was set back: {}", kPart);
}

std::vector<std::size_t> readable_rows(const TimedRows& rows) {
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < rows.lines.size(); ++i)
        if (std::isfinite(rows.time_s[i])) order.push_back(i);
    return order;
}

void turn_if_newest_first(const TimedRows& rows, std::vector<std::size_t>& order, LogReading& reading) {
    const auto rises = [&](std::size_t a, std::size_t b) { return rows.time_s[a] < rows.time_s[b]; };
    if (order.size() < 3 || std::adjacent_find(order.begin(), order.end(), rises) != order.end()) return;
    if (rows.time_s[order.front()] == rows.time_s[order.back()]) return;
    std::reverse(order.begin(), order.end());
    static constexpr std::string_view kRemark = "the rows stand from the newest to the oldest and were turned round";
    if (std::find(reading.remarks.begin(), reading.remarks.end(), kRemark) == reading.remarks.end())
        reading.remarks.emplace_back(kRemark);
}

/// Rows that lie before an earlier row: late ones that can be put in their place, or problems. True where any is late.
bool look_for_late_rows(const TimedRows& rows, const std::vector<std::size_t>& order, LogReading& reading,
                        ProblemList& problems) {
    LogFault late{{}, 0, "rows come later than their time and were put where they belong"};
    std::size_t latest = order.front();
    for (std::size_t i = 1; i < order.size(); ++i) {
        const std::size_t row = order[i];
        if (rows.time_s[row] >= rows.time_s[latest]) {
            latest = row;
            continue;
        }
        std::size_t end = i;
        while (end < order.size() && rows.time_s[order[end]] <= rows.time_s[latest]) ++end;
        const bool returns = end < order.size() && end - i <= kMostLateTogether;
        if (returns && rows.time_s[row] > rows.time_s[order.front()]) {
            for (std::size_t k = i; k < end; ++k) count_fault(late, rows.lines[order[k]]);
            i = end - 1;
            continue;
        }
        problems.add(
            rows.lines[row], rows.heading,
            fmt::format("time runs backwards: {} comes after {} of line {}{}", rows.texts[row].text, rows.texts[latest].text,
                        rows.lines[latest], backward_hint(rows.time_s[row] - rows.time_s[latest], rows.form)));
        latest = row;  // what follows is measured from here
    }
    const bool any = late.count > 0;
    if (any) add_fault(reading, std::move(late));
    return any;
}

/// Of rows with one time the first is kept.
std::vector<std::size_t> without_repeats(const TimedRows& rows, const std::vector<std::size_t>& order, LogReading& reading) {
    std::vector<std::size_t> kept;
    LogFault same{{}, 0, "rows repeat the time and the values of another row and were passed over"};
    LogFault other{{}, 0, "rows have the time of another row and other values; the first row of each time was kept"};
    for (const std::size_t row : order) {
        if (kept.empty() || rows.time_s[row] != rows.time_s[kept.back()]) {
            kept.push_back(row);
        } else {
            const bool is_same = rows.same_values && rows.same_values(kept.back(), row);
            count_fault(is_same ? same : other, rows.lines[row]);
        }
    }
    for (LogFault* fault : {&same, &other})
        if (fault->count > 0) add_fault(reading, std::move(*fault));
    return kept;
}

void measure_gaps(const TimedRows& rows, const std::vector<std::size_t>& kept, LogReading& reading) {
    const double usual_s = usual_step_s(rows, kept);
    LogFault gaps;
    for (std::size_t i = 1; i < kept.size(); ++i)
        count_gap(rows.time_s[kept[i]] - rows.time_s[kept[i - 1]], usual_s, rows.lines[kept[i]], gaps, reading);
    add_gaps(std::move(gaps), reading);
}

}  // namespace

bool is_gap(double step_s, double usual_s) noexcept { return step_s > kGapSteps * usual_s; }

void count_gap(double step_s, double usual_s, int line, LogFault& gaps, LogReading& reading) {
    if (!is_gap(step_s, usual_s)) return;
    count_fault(gaps, line);
    reading.longest_gap_s = std::max(reading.longest_gap_s, step_s);
}

void add_gaps(LogFault gaps, LogReading& reading) {
    if (gaps.count == 0) return;
    gaps.message = fmt::format("{} before a row longer than five usual intervals", gaps.count == 1 ? "gap" : "gaps");
    add_fault(reading, std::move(gaps));
}

void add_fault(LogReading& reading, LogFault fault) {
    const auto known = std::find_if(reading.faults.begin(), reading.faults.end(),
                                    [&](const LogFault& other) { return other.message == fault.message; });
    if (known == reading.faults.end()) {
        reading.faults.push_back(std::move(fault));
        return;
    }
    known->count += fault.count;
    known->lines.insert(known->lines.end(), fault.lines.begin(), fault.lines.end());
    std::sort(known->lines.begin(), known->lines.end());
    if (known->lines.size() > 20) known->lines.resize(20);
}

SampleTimes order_rows(TimedRows rows, LogReading& reading, ProblemList& problems) {
    std::vector<std::size_t> order = readable_rows(rows);
    if (order.empty()) return {std::move(rows.time_s), {}};
    turn_if_newest_first(rows, order, reading);
    correct_daylight_saving(rows, order, reading);
    if (look_for_late_rows(rows, order, reading, problems))
        std::stable_sort(order.begin(), order.end(),
                         [&](std::size_t a, std::size_t b) { return rows.time_s[a] < rows.time_s[b]; });
    std::vector<std::size_t> kept = without_repeats(rows, order, reading);
    measure_gaps(rows, kept, reading);
    return {std::move(rows.time_s), std::move(kept)};
}

}  // namespace bakewright::probe
