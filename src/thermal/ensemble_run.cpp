// SPDX-License-Identifier: Apache-2.0
#include "ensemble_run.hpp"

#include <algorithm>
#include <limits>
#include <numeric>

#include "bakewright/base/error.hpp"
#include "bakewright/base/work.hpp"
#include "bakewright/thermal/solve_options.hpp"
#include "solve_segments.hpp"

namespace bakewright::thermal {

LoneSolver::Watch::Watch(const WatchedPlace& watched, const RateLayout& layout, std::span<const FunctionTable* const> tables)
    : place(watched.at.place), following(watched.at, layout), tracker(watched.readings, tables) {
    if (!watched.than) return;
    than_place = watched.than->place;
    than.emplace(*watched.than, layout);
}

LoneSolver::LoneSolver(const EnsembleTask& task) : task_(task), system_(task.network, Accounts::leave_out) {
    const RateLayout layout(task.network, false);
    for (std::size_t w = 0; w < task.watched.size(); ++w) watches_.emplace_back(task.watched[w], layout, task.reading_tables[w]);
    moments_.push_back({task.segments.front().begin_s, 0.0, 0.0, task.starts_with_quantile ? 0 : kNoQuantile});
    for (const std::vector<Moment>& segment : task.moments) moments_.insert(moments_.end(), segment.begin(), segment.end());
}

void LoneSolver::solve(const EnsembleMember& member, const PackOutput& output) {
    load(member);
    SolveOptions options;
    // Half the error aimed at: steps across the stops of a controller add up to more than the rule for plain bakes allows for.
    options.absolute_tolerance_k = 0.25 * task_.tolerance_k;
    options.relative_tolerance = 1e-12;  // the absolute one alone counts
    options.output_interval_s = task_.output_interval_s;
    const StateObserver observer = [&](double time_s, std::span<const double> node_k, std::span<const double>) {
        watch(time_s, node_k, output);
    };
    SolveReporter reporter(system_, observer, task_.segments.front().begin_s, task_.output_interval_s);
    if (task_.network.heaters().empty())
        static_cast<void>(solve_rosenbrock(system_, task_.segments, options, reporter));
    else
        static_cast<void>(solve_switching(task_.network, system_, task_.segments, options, reporter));
    ensure(next_moment_ == moments_.size(), "a solve reports every moment of the output grid");
    double* row = output.readings;
    for (const Watch& watch : watches_)
        for (std::size_t r = 0; r < watch.tracker.reading_count(); ++r) *row++ = watch.tracker.result(r, 0);
}

void LoneSolver::load(const EnsembleMember& member) {
    system_.set_member(member.numbers);
    offset_k_.clear();
    for (std::size_t w = 0; w < watches_.size(); ++w) {
        watches_[w].following.set_member(member.numbers);
        if (watches_[w].than) watches_[w].than->set_member(member.numbers);
        offset_k_.push_back(member.offset_k[w]);
    }
    next_moment_ = 0;
}

double LoneSolver::seen_k(std::size_t w, double time_s, std::span<const double> node_k) const {
    const Watch& watch = watches_[w];
    const double at_k = watch.following.of(system_.place_k(watch.place, time_s, node_k)) + offset_k_[w];
    return watch.than ? at_k - watch.than->of(system_.place_k(*watch.than_place, time_s, node_k)) : at_k;
}

void LoneSolver::watch(double time_s, std::span<const double> node_k, const PackOutput& output) {
    ensure(next_moment_ < moments_.size(), "a solve reports no moment beyond the output grid");
    const Moment& moment = moments_[next_moment_++];
    ensure(std::abs(moment.time_s - time_s) <= kSameMomentS, "a solve reports the moments of the output grid");
    for (std::size_t w = 0; w < watches_.size(); ++w) {
        Watch& watch = watches_[w];
        const double seen_k = this->seen_k(w, time_s, node_k);
        if (next_moment_ == 1)
            watch.tracker.start(seen_k);
        else
            watch.tracker.add(std::span(&seen_k, 1), &moment);
        if (moment.quantile != kNoQuantile)
            output.trace_k[w * task_.quantile_time_s.size() + moment.quantile] = static_cast<float>(seen_k);
    }
}

HistogramRanges::HistogramRanges(std::span<const float> pilot, std::size_t pilot_count) {
    // The least range is a few times the distance of two neighbouring floats near 500 K.
    constexpr float least_range = 0.01F;
    for (std::size_t begin = 0; begin < pilot.size(); begin += pilot_count) {
        const auto series = pilot.subspan(begin, pilot_count);
        const auto [lowest, highest] = std::minmax_element(series.begin(), series.end());
        const float margin = std::max(0.5F * (*highest - *lowest), 0.5F * least_range);
        low_.push_back(*lowest - margin);
        bins_per_unit_.push_back(static_cast<float>(kBins) / (*highest - *lowest + 2.0F * margin));
    }
}

double HistogramRanges::widest_bin() const noexcept {
    double widest = 0.0;
    for (std::size_t series = 0; series < series_count(); ++series) widest = std::max(widest, bin_width(series));
    return widest;
}

// The sorted value of a rank is taken to lie inside its bin as if the bin's values were spread evenly.
double HistogramRanges::quantile(std::size_t series, std::span<const std::uint32_t> counts, std::uint64_t total,
                                 double level) const noexcept {
    const double rank = level * static_cast<double>(total - 1);
    double below = 0.0;
    std::size_t bin = 0;
    while (bin + 1 < counts.size() && below + static_cast<double>(counts[bin]) <= rank)
        below += static_cast<double>(counts[bin++]);
    const double count = std::max(1.0, static_cast<double>(counts[bin]));
    const double inside = std::clamp((rank - below + 0.5) / count, 0.0, 1.0);
    return static_cast<double>(low_[series]) + (static_cast<double>(bin) + inside) * bin_width(series);
}

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
