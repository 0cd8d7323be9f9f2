// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "bakewright/base/work.hpp"
#include "bakewright/thermal/network.hpp"

/// What an ensemble is asked and what it tells.
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

/// One member of an ensemble: what sets it apart from the network, and how far each watched place's reading is off (a probe's
/// error). Shapes: offset_k one a watched place.
struct EnsembleMember {
    Member<double> numbers;
    std::vector<double> offset_k;
};

/// Fills in member number `index`, which comes as the unperturbed one. Called from several threads at once, in any order.
using MemberGenerator = std::function<void(std::size_t index, EnsembleMember& member)>;

/// Instruction sets an ensemble may be compiled for.
enum class InstructionSet {
    baseline,  ///< what every machine of the platform has
    avx2,      ///< AVX2 with FMA
    avx512     ///< AVX-512 F, DQ, VL
};

/// Those of this build that this machine has, narrowest first; baseline always.
[[nodiscard]] std::vector<InstructionSet> instruction_sets();

/// Up to so many members quantiles over time are exact.
inline constexpr std::size_t kExactQuantileMembers = 1024;

/// Numbers that members are solved in.
enum class Precision {
    by_error,    ///< single where it is enough: an error aimed at from kSinglePrecisionErrorK on
    in_doubles,  ///< 53 bits
    in_singles   ///< 24 bits: half the time, and up to 0.0005 K of rounding (docs/performance.md)
};
inline constexpr double kSinglePrecisionErrorK = 0.005;

/// How an ensemble is solved. check() refuses values out of range.
struct EnsembleOptions {
    std::size_t member_count = 1000;  ///< > 0
    double output_interval_s = 10.0;  ///< > 0: readings take every multiple of it from the start, and every segment's end
    /// Largest error of a member's temperature aimed at; 1e-6 to 1. Steps are planned for it.
    double largest_error_k = 0.01;
    std::vector<double> quantile_levels{0.05, 0.5, 0.95};  ///< 0 to 1, rising; empty: no quantiles over time
    double quantile_interval_s = 60.0;                     ///< a multiple of output_interval_s
    std::size_t quantile_stride = 1;  ///< quantiles are told of every so many of these moments alone; traces of each
    /// Told the temperatures of each member at these moments, by place, then moment; from several threads at once, each member
    /// once, in any order. Empty: nobody listens.
    std::function<void(std::size_t member, std::span<const float> trace_k)> observe{};
    bool keeps_traces = false;     ///< every member's temperatures at the quantiles' moments; up to kExactQuantileMembers members
    std::size_t thread_count = 0;  ///< 0: one a core
    InstructionSet widest = InstructionSet::avx512;  ///< the widest at hand up to this is taken
    Precision precision = Precision::by_error;       ///< of members that go side by side
    Progress progress{};                             ///< told from the calling thread; its no ends the work
    /// @throws PromiseError
    void check() const;
};

/// What solving an ensemble took.
struct EnsembleStatistics {
    InstructionSet instruction_set = InstructionSet::baseline;
    std::size_t pack_width = 0;  ///< members side by side; 1 where each went alone
    Precision precision = Precision::in_doubles;
    std::vector<std::size_t> planned_steps{};    ///< of each plan; none where each member went alone
    std::vector<std::size_t> members_by_plan{};  ///< how many went with each
    std::size_t members_alone = 0;               ///< how many chose their own steps
};

/// Quantiles of the watched places over time.
struct EnsembleQuantiles {
    std::vector<double> time_s;
    std::vector<double> trace_time_s{};  ///< of the members' traces: the same, or more of them where quantiles are told of some
    std::vector<double> levels;
    std::vector<double> temperature_k;  ///< by place, level, time
    /// No quantile is further than this from that of the sorted members, unless it is beyond the range of histograms, whose end
    /// it then has. 0 up to kExactQuantileMembers members, which are sorted.
    double resolution_k = 0.0;

    [[nodiscard]] std::span<const double> of(std::size_t place, std::size_t level) const noexcept {
        return std::span(temperature_k).subspan((place * levels.size() + level) * time_s.size(), time_s.size());
    }
};

/// The members' readings, a row each: the readings of the first watched place, then those of the next.
struct EnsembleResult {
    bool is_complete = false;  ///< false where progress said no: nothing else is then filled in
    std::size_t column_count = 0;
    std::vector<std::size_t> first_column;  ///< of each watched place
    std::vector<double> rows;
    EnsembleQuantiles quantiles;
    std::vector<float> trace_k{};  ///< where asked for: by place, then moment of the quantiles, then member
    EnsembleStatistics statistics;

    [[nodiscard]] std::size_t member_count() const noexcept { return column_count ? rows.size() / column_count : 0; }
    [[nodiscard]] std::span<const double> row(std::size_t member) const noexcept {
        return std::span(rows).subspan(member * column_count, column_count);
    }
    /// A reading of every member, in member order.
    [[nodiscard]] std::vector<double> column(std::size_t place, std::size_t reading) const;
};

/// A quantile of numbers: linear between the sorted ones (type 7 of Hyndman & Fan, Am. Stat. 50 (1996) 361).
/// @param level  0 to 1  Promise: at least one number, all finite
[[nodiscard]] double quantile(std::vector<double> values, double level);

}  // namespace bakewright::thermal
