// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "bakewright/bake/cycle.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/tune/compare.hpp"

/// What many bakes of one booth say together: does it drift over the months?
namespace bakewright::tune {

/// A line through points that outliers do not bend.
struct RobustSlope {
    double slope = 0.0;               ///< median of the slopes of all pairs, per unit of time
    std::optional<double> low, high;  ///< of the 95 % interval; absent where so few points cannot give one
    double probability = 1.0;         ///< that points without a trend would rise or fall as consistently, two-sided
};

/// Theil's slope with Sen's interval, and Kendall's test against no trend, exact up to 100 points without ties, else by its
/// normal approximation. Nothing for fewer than three points at different times. Source: Sen, J. Am. Stat. Assoc. 63 (1968) 1379;
/// Kendall, Biometrika 30 (1938) 81; ranks of the interval as in Hollander & Wolfe, Nonparametric Statistical Methods, 2nd ed.
/// (1999), section 9.3 (from memory).
/// @param time, value  of one length, finite
[[nodiscard]] std::optional<RobustSlope> robust_slope(std::span<const double> time, std::span<const double> value);

/// Chance that |S| of Kendall's test is so large or larger for so many points in an order of chance.
[[nodiscard]] double kendall_probability(std::size_t points, std::size_t s);

/// What the logged booth air is against what was set, on the plateau [K]: the median of its readings there less the set point of
/// the hottest hold. The plateau is told by the log alone, whose clock need not be the cycle's: the readings within 5 K of the 3
/// K wide band that holds most of the hotter half, if that holds 15 % of all (common practice). So neither an overshoot nor an
/// open door counts. Readings are taken to come at even intervals. Nothing without a hold or a plateau.
[[nodiscard]] std::optional<double> plateau_offset_k(const Trace& air, const std::vector<bake::ResolvedStage>& stages);

/// One logged bake among many of a booth.
struct BakeOfTrend {
    std::string label;                   ///< "bake 3"
    std::string date;                    ///< of its start, for people
    double at_s = 0.0;                   ///< its start, on one clock for all
    std::optional<double> air_offset_k;  ///< logged air on the plateau minus what was set
    struct Group {
        std::string name;             ///< film group of the zones
        std::size_t zones = 0;        ///< compared
        double bias_k = 0.0;          ///< predicted minus logged, mean of the zones
        std::optional<double> lag_s;  ///< > 0 where the log runs behind; mean of the zones that tell one
    };
    std::vector<Group> groups;
};

/// Puts the channels of a comparison together by zone group. @param group_of  of a channel; empty: in none
[[nodiscard]] std::vector<BakeOfTrend::Group> by_group(const Comparison& comparison,
                                                       const std::function<std::string(const std::string& channel)>& group_of);

/// How one quantity goes from bake to bake.
struct Trend {
    enum class Of { air, bias, lag } of = Of::air;
    std::string group;  ///< of zones, for bias and lag
    std::size_t bakes = 0;
    double median = 0.0;      ///< level [K], of a lag [s]
    RobustSlope slope_per_s;  ///< [K/s], [s/s]
    double change = 0.0;      ///< slope times the time from first to last bake
    bool is_told = false;     ///< significant, and large enough to matter
};

/// The bakes by date, what of them goes which way.
struct BoothTrend {
    std::vector<BakeOfTrend> bakes;    ///< oldest first
    std::vector<Trend> trends;         ///< air, then bias and lag by group
    std::vector<std::string> remarks;  ///< what was left out or stands in the way
};

/// A trend is told where chance alone would show one this consistent, anywhere in the table, in less than one booth of twenty: 5
/// % shared evenly between air, bias and lag, and then between the groups (Bonferroni); and where it makes 0.5 K, or half a
/// minute, from first to last bake (common practice: about what one good probe differs from another).
[[nodiscard]] BoothTrend booth_trend(std::vector<BakeOfTrend> bakes);

}  // namespace bakewright::tune
