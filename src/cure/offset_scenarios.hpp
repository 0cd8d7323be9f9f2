#pragma once

#include <algorithm>
#include <cmath>
#include <deque>
#include <limits>
#include <optional>
#include <vector>

#include "bakewright/cure/coating_curves.hpp"
#include "bakewright/cure/confidence.hpp"
#include "bakewright/cure/rule.hpp"
#include "occupancy.hpp"

namespace bakewright::cure {

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

}  // namespace bakewright::cure
