#pragma once

#include <cstddef>
#include <optional>

#include "bakewright/cure/joined_trace.hpp"
#include "bakewright/cure/kinetics.hpp"

namespace bakewright::cure {

/// Largest error a step of the integration may make, beside as much again relative to the conversion.
inline constexpr double kConversionStepTolerance = 1e-9;

/// The degree of cure at the end of a trace.
struct ConversionReading {
    double conversion = 0.0;               ///< 0 to 1
    std::optional<double> glass_k;         ///< glass transition at that conversion, where the set has one
    std::optional<double> vitrified_at_s;  ///< when the glass transition first passed the temperature while warmer than the floor
    std::optional<double> reached_s;       ///< when the conversion first reached the set's required_conversion
    std::size_t steps = 0;                 ///< steps that were accepted
};

/// Integrates the rate law along the straight lines of a trace. Every corner of the trace, and every crossing of the floor, ends
/// a step, since the rate bends there: within a step it is smooth. In an open gap nothing happens. Method: Dormand and Prince's
/// fifth-order pair with step control (Boost.Odeint), the last rate of a step being the first of the next; a moment within a step
/// is read off the cubic through both ends and their rates.
/// @param kinetics  checked: problems_in(kinetics) is empty
/// @param floor_k   below it nothing counts; 0: everything counts
/// @param start     conversion to start from; default the set's own. A history hands on what the bake before left
/// @throws SolveError where no step is accepted
[[nodiscard]] ConversionReading degree_of_cure(const JoinedTrace& trace, const Kinetics& kinetics, double floor_k = 0.0,
                                               std::optional<double> start = std::nullopt);

}  // namespace bakewright::cure
