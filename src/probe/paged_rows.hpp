// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/base/files.hpp"
#include "bakewright/probe/paged_log.hpp"
#include "clock_drift.hpp"
#include "page_intake.hpp"
#include "reading.hpp"
#include "table.hpp"
#include "usual_step.hpp"

namespace bakewright::probe {

[[nodiscard]] unsigned threads_of(const PagedSizes& sizes);

/// First pass over a log that is read page by page: every row into the intake, and all that can only be known at the end.
class PagedRows {
public:
    /// Where the rows stand and what they mean; must outlive it.
    struct Where {
        const FileBytes& file;
        std::uint64_t first_offset;
        const TimeColumns& time;
        const TimeHints& hints;
    };

    PagedRows(const Where& where, const std::vector<Column>& columns, const Reading& the, const PagedSizes& sizes);
    /// @throws NeedsWholeLog
    void read(const Progress& progress);

    [[nodiscard]] PageIntake& intake() noexcept { return *intake_; }
    /// Which channel of the intake a column is; nothing for one that is no temperature.
    [[nodiscard]] std::optional<std::size_t> stored_column(std::size_t column) const;
    /// What was counted of a column; without its cells.
    [[nodiscard]] const ColumnCells& counts(std::size_t column) { return reader_.table().columns[column]; }
    /// Form and start; without the times themselves.
    [[nodiscard]] const ResolvedTimes& times() const noexcept { return times_; }
    [[nodiscard]] std::vector<LogFault>& faults() { return reader_.table().faults; }
    [[nodiscard]] std::vector<LogNote>& notes() { return reader_.table().notes; }
    [[nodiscard]] double first_time_s() const noexcept { return first_time_s_; }
    [[nodiscard]] double last_time_s() const noexcept { return last_time_s_; }
    [[nodiscard]] double usual_step_s() const { return steps_.median_s(); }
    [[nodiscard]] const std::map<std::size_t, ClockComparison>& clocks() const noexcept { return clocks_; }

private:
    std::size_t next_piece(std::uint64_t offset, std::string& piece) const;
    void take_rows(LogTable& table);
    std::vector<double> resolve(LogTable& table);
    void check_form(const ResolvedTimes& first, std::span<const TimeText> texts);
    void check_steps(const std::vector<double>& time_s, const std::vector<int>& lines);
    void keep(const std::vector<double>& time_s, const LogTable& table);

    const Where where_;
    const std::vector<Column>& columns_;
    const Reading& the_;
    PagedSizes sizes_;
    TableReader reader_;
    std::unique_ptr<PageIntake> intake_;
    std::vector<std::size_t> stored_;  ///< columns of the file, in the order of the intake
    TimeHints hints_;
    TimeText first_;
    std::string first_text_;
    bool clock_has_three_parts_ = false;
    bool order_by_points_ = false;  ///< day before month because of the points between them, and nothing else so far
    ResolvedTimes times_;
    double first_time_s_ = 0.0, last_time_s_ = 0.0;
    UsualStep steps_;
    std::map<std::size_t, ClockComparison> clocks_;
};

}  // namespace bakewright::probe
