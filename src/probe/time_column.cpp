// SPDX-License-Identifier: Apache-2.0
#include "time_column.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>

namespace bakewright::probe {
namespace {

enum class Family { unreadable, number, clock, date };

Family family_of(const TimeText& cell) noexcept {
    if (!cell.readable) return Family::unreadable;
    if (cell.is_number) return Family::number;
    return cell.has_date() ? Family::date : Family::clock;
}

std::string_view family_name(Family family) {
    switch (family) {
        case Family::number:
            return "numbers";
        case Family::clock:
            return "times of day or h:mm:ss";
        case Family::date:
            return "dates";
        case Family::unreadable:
            break;
    }
    return "text";
}

Family commonest(std::span<const TimeText> cells) {
    std::size_t counts[4] = {0, 0, 0, 0};
    for (const TimeText& cell : cells) ++counts[static_cast<std::size_t>(family_of(cell))];
    const auto* best = std::max_element(counts + 1, counts + 4);
    return *best == 0 ? Family::unreadable : static_cast<Family>(best - counts);
}

/// Cells of another kind than the rest are problems and are taken out, so that the rest can be resolved.
std::vector<TimeText> only_family(std::span<const TimeText> cells, std::span<const int> lines, Family family,
                                  const TimeHints& hints, ProblemList& problems) {
    std::vector<TimeText> out(cells.begin(), cells.end());
    for (std::size_t i = 0; i < out.size(); ++i) {
        if (family_of(out[i]) == family) continue;
        if (out[i].text.empty()) {
            problems.add(lines[i], hints.heading, "the row has no time");
        } else {
            problems.add(lines[i], hints.heading,
                         fmt::format("'{}' is not a time; the column holds {}", out[i].text, family_name(family)));
        }
        out[i] = TimeText{};
    }
    return out;
}

}  // namespace

ResolvedTimes resolve_times(std::span<const TimeText> cells, std::span<const int> lines, const TimeHints& hints,
                            ProblemList& problems) {
    const Family family = commonest(cells);
    if (family == Family::unreadable)
        problems.fail(lines.empty() ? 0 : lines.front(), hints.heading,
                      fmt::format("the time column holds no time that can be read (first cell: '{}'); accepted are numbers, "
                                  "h:mm:ss, and dates such as 2026-12-24 14:05:10",
                                  cells.empty() ? std::string_view{} : cells.front().text));
    const std::vector<TimeText> same = only_family(cells, lines, family, hints, problems);
    switch (family) {
        case Family::number:
            return resolve_numbers(same, hints, problems);
        case Family::clock:
            return resolve_clock(same, lines, hints, problems);
        default:
            return resolve_dates(same, lines, hints, problems);
    }
}

}  // namespace bakewright::probe
