#pragma once

#include <cstddef>
#include <deque>
#include <span>
#include <vector>

#include "bakewright/thermal/ensemble.hpp"
#include "ensemble_table.hpp"

namespace bakewright::thermal {

inline constexpr std::size_t kNoQuantile = static_cast<std::size_t>(-1);
/// Two moments closer than this are one.
inline constexpr double kSameMomentS = 1e-9;

/// A moment of the output grid.
struct Moment {
    double time_s = 0.0;
    double since_last_s = 0.0;
    double per_s = 0.0;                  ///< one over since_last_s
    std::size_t quantile = kNoQuantile;  ///< its number among the moments with quantiles
};

/// Ends of planned steps, by segment.
using StepPlan = std::vector<std::vector<double>>;
[[nodiscard]] std::size_t step_count(const StepPlan& plan) noexcept;

/// What an ensemble is to do, the same for all members: grid and planned steps, laid out segment by segment.
struct EnsembleTask {
    const Network& network;
    std::span<const Segment> segments;
    std::span<const WatchedPlace> watched;
    double tolerance_k;  ///< of a step
    double output_interval_s;
    bool is_single;  ///< whether members that go side by side are solved in single precision

    bool starts_with_quantile = false;
    std::vector<double> quantile_time_s{};
    std::vector<std::vector<Moment>> moments{};  ///< of each segment, after its begin and up to its end
    std::vector<StepPlan> plans{};               ///< each more patient than the one before
    std::vector<std::size_t> first_column{};     ///< of each watched place
    std::size_t column_count = 0;
    std::deque<FunctionTable> tables{};                               ///< one a function
    std::vector<std::vector<const FunctionTable*>> reading_tables{};  ///< by watched place, reading

    /// Numbers of a trace's buffer: by place, then time.
    [[nodiscard]] std::size_t trace_size() const noexcept { return watched.size() * quantile_time_s.size(); }
};

/// Whether members share steps. Where heaters switch, or controllers reach their limits, each member has corners of its own,
/// which a step must not pass: such members go alone.
[[nodiscard]] inline bool is_side_by_side(const Network& network) noexcept { return network.heaters().empty(); }

/// The task without planned steps.
[[nodiscard]] EnsembleTask make_task(const Network& network, std::span<const Segment> segments,
                                     std::span<const WatchedPlace> watched, const EnsembleOptions& options);

/// Solves the unperturbed member for the first plan; the second is nowhere longer than that and the steps of a member that does
/// not start at rest; the third halves the second. @throws SolveError
void plan_steps(EnsembleTask& task);

}  // namespace bakewright::thermal
