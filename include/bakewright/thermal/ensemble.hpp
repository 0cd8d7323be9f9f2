#pragma once

#include <cstddef>
#include <functional>
#include <span>
#include <vector>

#include "bakewright/base/work.hpp"
#include "bakewright/thermal/ensemble_reading.hpp"
#include "bakewright/thermal/network.hpp"
#include "bakewright/thermal/rate_layout.hpp"

namespace bakewright::thermal {

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
    /// Largest error of a member's temperature aimed at; 1e-6 to 1. Steps are planned by tolerance_for_error().
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

/// Solves members of a network side by side, and keeps readings and quantiles in place of traces.
///
/// Every member is stepped as the unperturbed one was (a plan). One whose own error estimate passes twice what is allowed goes
/// again with shorter steps (those of a member that does not start at rest), then with those halved, then by itself with steps of
/// its own. So a member's numbers depend on that member alone: rows and quantiles are the same to the bit for any thread count,
/// company, pack width and instruction set. In networks with heaters every member reaches limits and
/// switches at moments of its own: they are solved member by member, as by solve().
/// @throws SolveError "member 17: ...", of the failing member with the lowest index; what the generator throws, as it is
/// Promise: options and readings in range; segments follow each other without a gap; at least one watched place.
[[nodiscard]] EnsembleResult solve_ensemble(const Network& network, std::span<const Segment> segments,
                                            std::span<const WatchedPlace> watched, const MemberGenerator& generator,
                                            const EnsembleOptions& options);

/// A quantile of numbers: linear between the sorted ones (type 7 of Hyndman & Fan, Am. Stat. 50 (1996) 361).
/// @param level  0 to 1  Promise: at least one number, all finite
[[nodiscard]] double quantile(std::vector<double> values, double level);

/// How probable an event is, from the share of members it happened to, with its 95 % confidence interval.
/// Source of the interval: Wilson, J. Am. Stat. Assoc. 22 (1927) 209.
struct EventProbability {
    double share = 0.0;
    double low = 0.0;
    double high = 1.0;
};
/// @param has_happened  asked of every row of a complete result
[[nodiscard]] EventProbability probability(const EnsembleResult& result,
                                           const std::function<bool(std::span<const double> row)>& has_happened);

}  // namespace bakewright::thermal
