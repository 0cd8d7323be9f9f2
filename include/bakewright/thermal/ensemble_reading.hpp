#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/thermal/network.hpp"

namespace bakewright::thermal {

/// A function of temperature in straight lines between points that are equally far apart; outside them the nearest end holds.
struct TabulatedFunction {
    double lowest_k = 0.0;      ///< of the first point
    double step_k = 0.0;        ///< > 0, from point to point
    std::vector<double> value;  ///< finite, at least two

    [[nodiscard]] double at(double temperature_k) const noexcept;
    /// @throws PromiseError
    void check() const;
};

/// A number read from a member's temperature at a watched place. Between two moments of the output grid the temperature goes in a
/// straight line, as in every trace of the program.
struct Reading {
    enum class Kind {
        highest_temperature,       ///< [K], at the grid's moments
        total_time_at_or_above,    ///< [s], threshold_k
        longest_time_at_or_above,  ///< [s], the longest stay without a break
        integral,                  ///< of function(T) over time, by trapezoids from moment to moment; unit of function times s
        largest_heating_rate       ///< [K/s], between two moments; negative where it only cools
    };
    Kind kind = Kind::highest_temperature;
    double threshold_k = 0.0;
    std::shared_ptr<const TabulatedFunction> function{};
};

/// A temperature that an ensemble watches, and what is read from it.
struct WatchedPlace {
    std::string name;
    Following at;
    std::vector<Reading> readings;
    /// Where given, what is read is how much warmer `at` is than this place [K] (its quantiles over time are of the same).
    std::optional<Following> than{};
};

}  // namespace bakewright::thermal
