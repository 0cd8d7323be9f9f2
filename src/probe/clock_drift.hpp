// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>

#include "columns.hpp"

namespace bakewright::probe {

/// Two clocks that told the time of the same rows: a least-squares line through all of them, in one pass.
class ClockComparison {
public:
    void add(double time_s, double clock_s);
    /// By how much the second clock runs ahead of the first, per second; nothing where too few rows tell.
    [[nodiscard]] std::optional<double> share() const;

private:
    double count_ = 0.0, mean_time_s_ = 0.0, mean_clock_s_ = 0.0, time_time_ = 0.0, time_clock_ = 0.0;
};

/// Seconds in one of a column of elapsed time that is not the clock of the rows; 0 for any other column.
[[nodiscard]] double second_clock_scale(const Column& column);

/// Adds a remark where the clocks part by 2 s and more over the log, which has to last half an hour.
void remark_clock_drift(const Column& column, const ClockComparison& clocks, double span_s, LogReading& reading);

}  // namespace bakewright::probe
