#include "ensemble_alone.hpp"

#include "bakewright/base/error.hpp"
#include "bakewright/thermal/solve.hpp"
#include "solve_report.hpp"

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

}  // namespace bakewright::thermal
