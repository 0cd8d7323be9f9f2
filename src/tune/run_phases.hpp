// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "bakewright/bake/cycle.hpp"
#include "bakewright/tune/empty_run.hpp"

/// What a log of an empty booth is without a model: its phases, and the air at its heights.
namespace bakewright::tune {

/// Means of a trace's readings over equal times, one after the other; stretches without a reading have none.
struct Course {
    std::vector<double> time_s, kelvin;
    [[nodiscard]] std::size_t size() const noexcept { return time_s.size(); }
    [[nodiscard]] double at_k(double at_s) const;  ///< in straight lines, ends held
    [[nodiscard]] double mean_k(double from_s, double to_s) const;
};
[[nodiscard]] Course course_of(const Trace& trace, double every_s);
/// Fine enough for a booth's air, and coarse enough to take the noise off [s].
inline constexpr double kCourseEveryS = 20.0;

/// The air nearest half the height. Promise: there is one.
[[nodiscard]] const AirAtHeight& reference_air(const EmptyRun& run, const bake::Booth& booth);

/// @throws InputError where it is no such run
[[nodiscard]] RunPhases phases_of(const EmptyRun& run, const bake::Booth& booth);
/// Outside the booth [K]: as logged, else the air before the heat came on.
[[nodiscard]] double outside_k(const EmptyRun& run, const RunPhases& phases);

/// The run as a cycle for a booth that is limited by its burner, from the moment the heat comes on: far above what it reaches
/// while the heater gives all it has, where the air was while it was held, then nothing.
[[nodiscard]] bake::Cycle driving_cycle(const EmptyRun& run, const RunPhases& phases, const bake::Booth& booth);

/// Rows of the vertical profile that the log tells, the reference among them, and how far each may be off.
struct LoggedProfile {
    std::vector<bake::VerticalOffset> rows;  ///< rising heights, in full as the booth states them
    double standard_k = 0.0;                 ///< of an offset
};
[[nodiscard]] LoggedProfile logged_profile(const EmptyRun& run, const RunPhases& phases, const bake::Booth& booth);

}  // namespace bakewright::tune
