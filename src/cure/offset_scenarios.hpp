// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <cmath>
#include <deque>
#include <limits>
#include <optional>
#include <vector>

#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/required_time.hpp"
#include "bakewright/cure/rule.hpp"
#include "bakewright/cure/verdict.hpp"

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

    void add(const TraceLine& segment);
    void add_at(double temperature_k, double time_s);

    double coldest_k_;
    std::vector<double> time_s_;    ///< in each step
    std::vector<double> time_k_s_;  ///< time times temperature above coldest_k_
};

/// Offsets of temperatures are counted in standard deviations; this many and more do not happen.
inline constexpr double kFarthestDeviations = 5.0;

/// The least number of standard deviations at which something is so, where warmer makes it more so; plus or minus infinity where
/// it never or always is. Twelve halvings leave 5e-4 of probability at most.
template <typename Holds>
[[nodiscard]] double critical_deviations(const Holds& holds) {
    double low = -kFarthestDeviations, high = kFarthestDeviations;
    if (holds(low)) return -std::numeric_limits<double>::infinity();
    if (!holds(high)) return std::numeric_limits<double>::infinity();
    for (int i = 0; i < 11; ++i) {
        const double middle = 0.5 * (low + high);
        (holds(middle) ? high : low) = middle;
    }
    return 0.5 * (low + high);
}

/// One way the coating may be, with its weight: from how many standard deviations on it is cured, from how many it has had too
/// much.
struct Scenario {
    double weight = 0.0;
    double cured_from = std::numeric_limits<double>::infinity();
    double too_much_from = std::numeric_limits<double>::infinity();

    [[nodiscard]] Word word_at(double deviations) const {
        if (deviations >= too_much_from) return Word::over;
        return deviations >= cured_from ? Word::good : Word::under;
    }
    /// Distance from the readings as they are to where the word changes.
    [[nodiscard]] double margin() const { return std::min(std::abs(cured_from), std::abs(too_much_from)); }
};

[[nodiscard]] WordProbabilities probabilities_of(const std::vector<Scenario>& scenarios);

/// By what factor, under 1, the uncertainties would have to shrink to make the best guess sure; nothing where the ways the
/// coating may be disagree by themselves.
[[nodiscard]] std::optional<double> sharper_factor(const std::vector<Scenario>& scenarios, Word best);

/// A coat's traces, of one bake or several, as their words hang on how far they are off.
class CoatOffsets {
public:
    /// @param curves  outlive this
    explicit CoatOffsets(const CoatingCurves& curves) : curves_(curves) {}

    /// @param schedule  the trace that the schedule means  @param peak_k  of the coated face
    void add(const Trace& schedule, double peak_k, double standard_k);
    [[nodiscard]] bool empty() const noexcept { return parts_.empty(); }
    [[nodiscard]] double largest_standard_k() const;

    [[nodiscard]] std::vector<Scenario> scenarios() const;
    /// How much longer the stay would have had to last at an offset, at the temperature it had; infinite where it never began.
    /// A stay is told of one bake; after several a new one is needed whole.
    [[nodiscard]] double missing_s(double deviations) const;
    /// The word, how sure it is, and what would settle it.
    [[nodiscard]] Certainty certainty() const;

private:
    struct Part {
        Part(const Trace& trace, double coldest_k, double hottest_k, double uncertainty_k)
            : schedule(trace), stays(schedule), occupancy(schedule, coldest_k), peak_k(hottest_k), standard_k(uncertainty_k) {}
        JoinedTrace schedule;
        StayTrace stays;
        Occupancy occupancy;
        double peak_k, standard_k;
    };
    [[nodiscard]] double over_bake_dose(const RequiredTime& curve, double deviations) const;
    [[nodiscard]] double cured_from() const;
    [[nodiscard]] double over_baked_from(const RequiredTime& curve) const;
    [[nodiscard]] double too_hot_from() const;

    const CoatingCurves& curves_;
    std::deque<Part> parts_;  // a joined trace does not move
};

/// An item's traces, of one bake or several, as the keeping of its limits hangs on how far they are off.
class ItemOffsets {
public:
    explicit ItemOffsets(std::vector<ExposureLimit> limits) : limits_(std::move(limits)) {}

    void add(const Trace& trace, double standard_k);
    [[nodiscard]] bool empty() const noexcept { return parts_.empty(); }
    [[nodiscard]] Certainty certainty() const;

private:
    struct Part {
        Part(const Trace& from, double uncertainty_k) : trace(from), standard_k(uncertainty_k) {}
        JoinedTrace trace;
        double standard_k;
    };
    [[nodiscard]] bool passed(const ExposureLimit& limit, double deviations) const;

    std::vector<ExposureLimit> limits_;
    std::deque<Part> parts_;  // a joined trace does not move
};

}  // namespace bakewright::cure
