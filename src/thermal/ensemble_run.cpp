#include "ensemble_run.hpp"

#include <algorithm>
#include <limits>
#include <numeric>

#include "bakewright/base/error.hpp"
#include "bakewright/base/work.hpp"

namespace bakewright::thermal {
namespace {

/// Error estimate up to which a member may follow the plan, in units of the tolerance. The estimate is that of the embedded
/// method of order 3; what is kept is the solution of order 4. See docs/performance.md for the errors it comes to.
constexpr double kLargestNorm = 2.0;
/// Members from which the ranges of the histograms are taken.
constexpr std::size_t kPilotMembers = 256;

}  // namespace

EnsembleRun::EnsembleRun(const EnsembleTask& task, const MemberGenerator& generator, const EnsembleOptions& options)
    : task_(task),
      generator_(generator),
      options_(options),
      plain_{Member<double>(task.network), std::vector<double>(task.watched.size(), 0.0)},
      set_(widest_up_to(options.widest)),
      workers_(threads_for(options.thread_count)),
      is_rejected_(options.member_count, 0),
      lowest_failed_(std::numeric_limits<std::size_t>::max()) {
    const bool all_are_kept = options.member_count <= kExactQuantileMembers || task.trace_size() == 0;
    pilot_count_ = all_are_kept ? options.member_count : kPilotMembers;
    pilot_k_.resize(task.trace_size() * pilot_count_);
    result_.column_count = task.column_count;
    result_.first_column = task.first_column;
    result_.rows.resize(task.column_count * options.member_count);
}

EnsembleRun::~EnsembleRun() = default;

EnsembleResult EnsembleRun::run() {
    EnsembleStatistics& statistics = result_.statistics;
    statistics.instruction_set = task_.plans.empty() ? InstructionSet::baseline : set_;
    statistics.precision = task_.plans.empty() || !task_.is_single ? Precision::in_doubles : Precision::in_singles;
    statistics.pack_width = 1;
    for (const StepPlan& plan : task_.plans) statistics.planned_steps.push_back(step_count(plan));
    statistics.members_by_plan.assign(task_.plans.size(), 0);
    solve_range(0, pilot_count_);
    if (pilot_count_ < options_.member_count) {
        set_ranges();
        solve_range(pilot_count_, options_.member_count);
    }
    if (is_cancelled_) return {};
    add_quantiles(result_.quantiles);
    if (options_.keeps_traces) result_.trace_k = std::move(pilot_k_);
    result_.is_complete = true;
    return std::move(result_);
}

/// Plan after plan, then each member alone. Where a member ends depends on its own error estimates.
void EnsembleRun::solve_range(std::size_t begin, std::size_t end) {
    Members members(end - begin);
    std::iota(members.begin(), members.end(), begin);
    for (std::size_t p = 0; p < task_.plans.size() && !members.empty() && !failure_; ++p) {
        solve_packs(members, task_.plans[p]);
        Members rejected = take_rejected(members);
        result_.statistics.members_by_plan[p] += members.size() - rejected.size();
        members = std::move(rejected);
    }
    result_.statistics.members_alone += members.size();
    solve_alone(members);
    if (failure_) std::rethrow_exception(failure_);
}

void EnsembleRun::solve_packs(const Members& members, const StepPlan& plan) {
    for (Worker& worker : workers_)
        if (!worker.kernel) worker.kernel = make_kernel(set_, task_);
    const std::size_t width = workers_.front().kernel->width();
    result_.statistics.pack_width = width;
    const std::size_t pack_count = (members.size() + width - 1) / width;
    for_each(pack_count, [&](Worker& worker, std::size_t pack) {
        const std::size_t first = pack * width;
        solve_pack(worker, std::span(members).subspan(first, std::min(width, members.size() - first)), plan);
    });
}

void EnsembleRun::solve_alone(const Members& members) {
    for_each(members.size(), [&](Worker& worker, std::size_t index) { solve_one(worker, members[index]); });
}

EnsembleRun::Members EnsembleRun::take_rejected(const Members& members) {
    Members rejected;
    for (const std::size_t member : members)
        if (is_rejected_[member]) rejected.push_back(member);
    return rejected;
}

/// Progress is told by the first worker, which is the calling thread.
void EnsembleRun::for_each(std::size_t count, const std::function<void(Worker&, std::size_t)>& work) {
    for_each_index(count, workers_.size(), [&](std::size_t index, std::size_t worker) {
        work(workers_[worker], index);
        if (worker == 0 && !goes_on()) is_cancelled_ = true;
        return !is_cancelled_;
    });
}

bool EnsembleRun::goes_on() {
    if (!options_.progress) return true;
    return options_.progress(static_cast<double>(done_count_) / static_cast<double>(options_.member_count));
}

void EnsembleRun::solve_pack(Worker& worker, std::span<const std::size_t> members, const StepPlan& plan) try {
    const std::size_t width = worker.kernel->width();
    worker.members.resize(width, plain_);
    worker.readings.resize(width * task_.column_count);
    worker.error_norm.resize(width);
    worker.trace_k.resize(width * task_.trace_size());
    // Lanes left over repeat the last member.
    for (std::size_t l = 0; l < width; ++l) generate(members[std::min(l, members.size() - 1)], worker.members[l]);
    worker.kernel->solve(worker.members, plan, {worker.readings.data(), worker.trace_k.data(), worker.error_norm.data()});
    for (std::size_t l = 0; l < members.size(); ++l) {
        const bool is_good = worker.error_norm[l] <= kLargestNorm;  // no for what is not a number
        is_rejected_[members[l]] = is_good ? 0 : 1;
        if (is_good) keep(worker, members[l], l, width);
    }
} catch (...) {
    note_failure(members.front(), std::current_exception());
}

void EnsembleRun::solve_one(Worker& worker, std::size_t member) try {
    if (member > lowest_failed_) return;
    if (!worker.alone) worker.alone.emplace(task_);
    worker.members.resize(std::max<std::size_t>(1, worker.members.size()), plain_);
    worker.readings.resize(std::max(worker.readings.size(), task_.column_count));
    worker.trace_k.resize(std::max(worker.trace_k.size(), task_.trace_size()));
    generate(member, worker.members.front());
    worker.alone->solve(worker.members.front(), {worker.readings.data(), worker.trace_k.data(), nullptr});
    keep(worker, member, 0, 1);
} catch (const SolveError& error) {
    note_failure(member, std::make_exception_ptr(SolveError("member " + std::to_string(member) + ": " + error.what())));
} catch (...) {
    note_failure(member, std::current_exception());
}

/// The failure of the lowest member is the one that is told, whichever thread came to it first.
void EnsembleRun::note_failure(std::size_t member, std::exception_ptr failure) {
    const std::lock_guard lock(failure_mutex_);
    if (failure_ && member >= lowest_failed_) return;
    lowest_failed_ = member;
    failure_ = std::move(failure);
}

void EnsembleRun::generate(std::size_t index, EnsembleMember& member) const {
    member = plain_;
    generator_(index, member);
}

/// Takes a member's row and trace out of a worker's pack.
void EnsembleRun::keep(Worker& worker, std::size_t member, std::size_t lane, std::size_t width) {
    const auto row = worker.readings.begin() + static_cast<std::ptrdiff_t>(lane * task_.column_count);
    std::copy_n(row, task_.column_count, result_.rows.begin() + static_cast<std::ptrdiff_t>(member * task_.column_count));
    ++done_count_;
    const std::size_t series_count = task_.trace_size();
    if (options_.observe) {
        worker.observed_k.resize(series_count);
        for (std::size_t s = 0; s < series_count; ++s) worker.observed_k[s] = worker.trace_k[s * width + lane];
        options_.observe(member, worker.observed_k);
    }
    if (member < pilot_count_) {
        for (std::size_t s = 0; s < series_count; ++s) pilot_k_[s * pilot_count_ + member] = worker.trace_k[s * width + lane];
        return;
    }
    if (worker.counts.empty()) worker.counts.assign(series_count * HistogramRanges::kBins, 0);
    for (std::size_t s = 0; s < series_count; ++s)
        ++worker.counts[s * HistogramRanges::kBins + ranges_.bin(s, worker.trace_k[s * width + lane])];
}

/// The pilots are counted as everybody else from then on.
void EnsembleRun::set_ranges() {
    if (is_cancelled_ || pilot_k_.empty()) return;
    ranges_ = HistogramRanges(pilot_k_, pilot_count_);
    std::vector<std::uint32_t>& counts = workers_.front().counts;
    counts.assign(task_.trace_size() * HistogramRanges::kBins, 0);
    for (std::size_t i = 0; i < pilot_k_.size(); ++i) {
        const std::size_t series = i / pilot_count_;
        ++counts[series * HistogramRanges::kBins + ranges_.bin(series, pilot_k_[i])];
    }
}

void EnsembleRun::add_quantiles(EnsembleQuantiles& quantiles) const {
    const std::size_t moments = task_.quantile_time_s.size(), stride = options_.quantile_stride;
    quantiles.trace_time_s = task_.quantile_time_s;
    for (std::size_t moment = 0; moment < moments; moment += stride) quantiles.time_s.push_back(task_.quantile_time_s[moment]);
    quantiles.levels = options_.quantile_levels;
    if (quantiles.levels.empty()) return;  // only traces were asked for
    const std::size_t times = quantiles.time_s.size(), levels = quantiles.levels.size();
    quantiles.temperature_k.resize(task_.watched.size() * levels * times);
    quantiles.resolution_k = ranges_.series_count() == 0 ? 0.0 : ranges_.widest_bin();
    for (std::size_t place = 0; place < task_.watched.size(); ++place)
        for (std::size_t time = 0; time < times; ++time) {
            const std::vector<double> of_series = quantiles_of(place * moments + time * stride);
            for (std::size_t level = 0; level < levels; ++level)
                quantiles.temperature_k[(place * levels + level) * times + time] = of_series[level];
        }
}

/// At every level.
std::vector<double> EnsembleRun::quantiles_of(std::size_t series) const {
    std::vector<double> found;
    if (ranges_.series_count() > 0) {
        const std::vector<std::uint32_t> counts = counts_of(series);
        for (const double level : options_.quantile_levels)
            found.push_back(ranges_.quantile(series, counts, options_.member_count, level));
        return found;
    }
    const auto pilot = std::span(pilot_k_).subspan(series * pilot_count_, pilot_count_);
    const std::vector<double> values(pilot.begin(), pilot.end());
    for (const double level : options_.quantile_levels) found.push_back(quantile(values, level));
    return found;
}

std::vector<std::uint32_t> EnsembleRun::counts_of(std::size_t series) const {
    std::vector<std::uint32_t> sums(HistogramRanges::kBins, 0);
    for (const Worker& worker : workers_) {
        if (worker.counts.empty()) continue;
        for (std::size_t bin = 0; bin < sums.size(); ++bin) sums[bin] += worker.counts[series * HistogramRanges::kBins + bin];
    }
    return sums;
}

}  // namespace bakewright::thermal
