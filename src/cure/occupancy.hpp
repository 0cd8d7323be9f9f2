#pragma once

#include <vector>

#include "bakewright/cure/joined_trace.hpp"
#include "bakewright/cure/required_time.hpp"

namespace bakewright::cure {

/// The time a trace spent in each small step of temperature. A dose depends on nothing else of it, so that the dose of the same
/// trace a little warmer or colder costs a sum over steps and not over samples.
class Occupancy {
public:
    /// @param coldest_k  what lies below is left out
    Occupancy(const JoinedTrace& trace, double coldest_k);

    /// The dose if the whole trace were warmer by an offset. A step stands for the mean temperature of the time in it: for a rate
    /// exp(-b/T) that errs by at most (b h / T^2)^2 / 8, below 2e-6 of the dose; at the floor by up to a short line's time.
    [[nodiscard]] double dose(const RequiredTime& required, double offset_k) const;

private:
    static constexpr double kStepK = 0.05;
    /// A line no longer than this stands for its middle, which errs by (b h / T^2)^2 / 24: below 1e-5. Most of a dense log is
    /// such.
    static constexpr double kShortLineK = 0.2;

    void add(const Segment& segment);
    void add_at(double temperature_k, double time_s);

    double coldest_k_;
    std::vector<double> time_s_;    ///< in each step
    std::vector<double> time_k_s_;  ///< time times temperature above coldest_k_
};

}  // namespace bakewright::cure
