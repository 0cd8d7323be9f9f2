// SPDX-License-Identifier: Apache-2.0
#include "ensemble_task.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "bakewright/base/error.hpp"
#include "rate_system.hpp"
#include "solve_segments.hpp"
#include "steppers/dense_output_stepper.hpp"

namespace bakewright::thermal {
namespace {

/// Lays the grid out: multiples of the interval from the start, and every segment's end.
class Grid {
public:
    Grid(EnsembleTask& task, double quantile_interval_s, bool has_quantiles)
        : task_(task),
          every_(has_quantiles ? std::lround(quantile_interval_s / task.output_interval_s) : 0),
          start_s_(task.segments.front().begin_s),
          last_s_(start_s_) {
        task_.starts_with_quantile = has_quantiles;
        if (has_quantiles) task_.quantile_time_s.push_back(start_s_);
    }

    void add(const Segment& segment) {
        std::vector<Moment>& moments = task_.moments.emplace_back();
        for (; time_s() < segment.end_s - kSameMomentS; ++index_) moments.push_back(moment(time_s(), is_quantile()));
        const bool is_multiple = time_s() <= segment.end_s + kSameMomentS;
        moments.push_back(moment(segment.end_s, is_multiple && is_quantile()));
        if (is_multiple) ++index_;
    }

private:
    [[nodiscard]] double time_s() const { return start_s_ + static_cast<double>(index_) * task_.output_interval_s; }
    [[nodiscard]] bool is_quantile() const { return every_ > 0 && index_ % every_ == 0; }
    Moment moment(double time_s, bool has_quantile) {
        Moment made{time_s, time_s - last_s_, 1.0 / (time_s - last_s_), kNoQuantile};
        last_s_ = time_s;
        if (has_quantile) {
            made.quantile = task_.quantile_time_s.size();
            task_.quantile_time_s.push_back(time_s);
        }
        return made;
    }

    EnsembleTask& task_;
    long every_, index_ = 1;
    double start_s_, last_s_;
};

/// Lays out every function once, however many readings share it.
void add_tables(EnsembleTask& task) {
    std::map<const TabulatedFunction*, const FunctionTable*> table_of;
    for (const WatchedPlace& place : task.watched) {
        auto& tables = task.reading_tables.emplace_back();
        for (const Reading& reading : place.readings) {
            const TabulatedFunction* function = reading.kind == Reading::Kind::integral ? reading.function.get() : nullptr;
            const FunctionTable*& table = table_of[function];
            if (function && !table) table = &task.tables.emplace_back(*function);
            tables.push_back(table);
        }
    }
}

/// Tolerance of a step with which the largest error of a whole run came out below the one wanted, over that error: measured on
/// the networks of docs/solvers.md, not a bound.
constexpr double kToleranceOfError = 2.0;

/// A bake often starts with everything at one temperature, at rest, and the first steps are then as long as they like. Members
/// may start warmer or colder than their air: the second plan is also that of one which starts by so much warmer.
constexpr double kRestlessK = 3.0;

/// The steps that a member chooses by itself.
StepPlan recorded_plan(const EnsembleTask& task, const Member<double>& member) {
    StepOptions steps;
    steps.smallest_step_s = kShortestImplicitStepS;
    steps.absolute_tolerance = task.tolerance_k;
    steps.ceiling_spans_restarts = true;
    DenseOutputStepper<RosenbrockStepper<double>> stepper(steps);
    RateSystem<double> system(task.network, Accounts::leave_out);
    system.set_member(member);
    std::vector<double> y(system.size());
    system.start(y);
    StepPlan plan;
    for (std::size_t s = 0; s < task.segments.size(); ++s) {
        const Segment& segment = task.segments[s];
        SegmentOptions how;
        how.carries_step = s > 0 && goes_on(task.segments[s - 1], segment);
        how.record_s = &plan.emplace_back();
        system.set_segment(segment);
        integrate_segment(stepper, system, std::span<double>(y), segment.begin_s, segment.end_s, how);
    }
    return plan;
}

/// How far a step may go from a time so that it is no longer than those of a plan there.
double reach_s(double now_s, double begin_s, const std::vector<double>& ends_s) {
    const auto end = std::upper_bound(ends_s.begin(), ends_s.end(), now_s);
    const double length_s = *end - (end == ends_s.begin() ? begin_s : *(end - 1));
    const double next_s = end + 1 == ends_s.end() ? 0.0 : *(end + 1) - *end;
    return now_s + std::max(*end - now_s, std::min(length_s, next_s));
}

/// Steps that are nowhere longer than those of two plans of a segment.
std::vector<double> shorter_steps(double begin_s, const std::vector<double>& one, const std::vector<double>& other) {
    std::vector<double> ends_s;
    const double last_s = one.back();
    for (double now_s = begin_s; now_s < last_s;) {
        const double end_s = std::min(reach_s(now_s, begin_s, one), reach_s(now_s, begin_s, other));
        // No sliver at the end.
        now_s = end_s >= last_s - 1e-9 || last_s - end_s < 0.1 * (end_s - now_s) ? last_s : end_s;
        ends_s.push_back(now_s);
    }
    return ends_s;
}

std::vector<double> half_steps(double begin_s, const std::vector<double>& ends_s) {
    std::vector<double> halves_s;
    for (const double end_s : ends_s) {
        halves_s.insert(halves_s.end(), {0.5 * (begin_s + end_s), end_s});
        begin_s = end_s;
    }
    return halves_s;
}

}  // namespace

FunctionTable::FunctionTable(const TabulatedFunction& function)
    : lowest_k(function.lowest_k),
      per_k(1.0 / function.step_k),
      last(static_cast<double>(function.value.size() - 1)),
      single_values(function.value.size() + 2 * kMargin),
      single_rises(single_values.size()) {
    for (std::size_t i = 0; i < function.value.size(); ++i) {
        const double rise = i + 1 < function.value.size() ? function.value[i + 1] - function.value[i] : 0.0;
        rows.push_back({function.value[i], rise});
        single_rows.push_back({static_cast<float>(function.value[i]), static_cast<float>(rise)});
        single_values[kMargin + i] = single_rows[i][0];
        single_rises[kMargin + i] = single_rows[i][1];
    }
}

namespace {

/// A place in a longer table would not be told apart in single precision.
constexpr std::size_t kLongestSingleTable = std::size_t{1} << 20;

bool fits_single(const TabulatedFunction& function) {
    const double largest = std::abs(*std::max_element(function.value.begin(), function.value.end(),
                                                      [](double a, double b) { return std::abs(a) < std::abs(b); }));
    return function.value.size() <= kLongestSingleTable && largest <= 1e30;
}

bool is_single(const EnsembleOptions& options, std::span<const WatchedPlace> watched) {
    if (options.precision != Precision::by_error) return options.precision == Precision::in_singles;
    if (options.largest_error_k < kSinglePrecisionErrorK) return false;
    for (const WatchedPlace& place : watched)
        for (const Reading& reading : place.readings)
            if (reading.function && !fits_single(*reading.function)) return false;
    return true;
}

}  // namespace

std::size_t step_count(const StepPlan& plan) noexcept {
    std::size_t count = 0;
    for (const std::vector<double>& steps : plan) count += steps.size();
    return count;
}

EnsembleTask make_task(const Network& network, std::span<const Segment> segments, std::span<const WatchedPlace> watched,
                       const EnsembleOptions& options) {
    EnsembleTask task{network,
                      segments,
                      watched,
                      kToleranceOfError * options.largest_error_k,
                      options.output_interval_s,
                      is_single(options, watched)};
    Grid grid(task, options.quantile_interval_s, !options.quantile_levels.empty() || options.keeps_traces || options.observe);
    for (const Segment& segment : segments) grid.add(segment);
    for (const WatchedPlace& place : watched) {
        task.first_column.push_back(task.column_count);
        task.column_count += place.readings.size();
    }
    add_tables(task);
    return task;
}

void plan_steps(EnsembleTask& task) {
    Member<double> member(task.network);
    const StepPlan plain = recorded_plan(task, member);
    member.start_shift_k = kRestlessK;
    const StepPlan restless = recorded_plan(task, member);
    StepPlan shorter, halved;
    for (std::size_t s = 0; s < task.segments.size(); ++s) {
        shorter.push_back(shorter_steps(task.segments[s].begin_s, plain[s], restless[s]));
        halved.push_back(half_steps(task.segments[s].begin_s, shorter[s]));
    }
    task.plans = {plain, shorter, halved};
}

}  // namespace bakewright::thermal
