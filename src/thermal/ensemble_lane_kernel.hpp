// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <limits>
#include <memory>
#include <optional>
#include <vector>

#include "ensemble_kernel.hpp"
#include "ensemble_tracker.hpp"
#include "rate_system.hpp"
#include "steppers/rosenbrock_stepper.hpp"

namespace bakewright::thermal {

/// EnsembleKernel over a pack. Its functions carry the pack's tag in their names; see docs/solvers.md, "Ensembles".
template <class Pack>
class LaneKernel final : public EnsembleKernel {
    using Scalar = lane_scalar_t<Pack>;
    static constexpr std::size_t kWidth = lane_count_v<Pack>;

public:
    explicit LaneKernel(const EnsembleTask& task)
        : task_(task),
          system_(task.network, Accounts::leave_out),
          member_(task.network),
          y_(system_.size()),
          next_(system_.size()),
          error_(system_.size()) {
        const RateLayout layout(task.network, false);
        for (std::size_t w = 0; w < task.watched.size(); ++w)
            watches_.push_back({task.watched[w], layout, task.reading_tables[w]});
        stepper_.prepare(system_);
    }

    [[nodiscard]] std::size_t width() const noexcept override { return kWidth; }

    void solve(std::span<const EnsembleMember> members, const StepPlan& plan, const PackOutput& output) override {
        load(members);
        trace_k_ = output.trace_k;
        largest_norm_ = poison_ = Pack{};
        system_.start(y_);
        for (std::size_t s = 0; s < task_.segments.size(); ++s) solve_segment(s, plan[s]);
        store(output);
    }

private:
    struct Watch {
        Watch(const WatchedPlace& watched, const RateLayout& layout, std::span<const FunctionTable* const> tables)
            : place(watched.at.place), following(watched.at, layout), tracker(watched.readings, tables) {
            if (!watched.than) return;
            than_place = watched.than->place;
            than.emplace(*watched.than, layout);
        }
        Place place;
        FollowingTerm<Pack> following;
        Pack offset_k{};  ///< of the member's reading
        std::optional<Place> than_place;
        std::optional<FollowingTerm<Pack>> than;
        Tracker<Pack> tracker;
    };

    void load(std::span<const EnsembleMember> members) {
        for (std::size_t l = 0; l < kWidth; ++l) {
            const Member<double>& from = members[l].numbers;
            for (std::size_t f = 0; f < member_.factor.size(); ++f) set_lane(member_.factor[f], l, scalar(from.factor[f]));
            for (std::size_t b = 0; b < member_.boundary_gain.size(); ++b) {
                set_lane(member_.boundary_gain[b], l, scalar(from.boundary_gain[b]));
                set_lane(member_.boundary_offset_k[b], l, scalar(from.boundary_offset_k[b]));
            }
            set_lane(member_.start_shift_k, l, scalar(from.start_shift_k));
        }
        system_.set_member(member_);
        for (std::size_t w = 0; w < watches_.size(); ++w) {
            Watch& watch = watches_[w];
            watch.following.set_member(member_);
            if (watch.than) watch.than->set_member(member_);
            for (std::size_t l = 0; l < kWidth; ++l) set_lane(watch.offset_k, l, scalar(members[l].offset_k[w]));
        }
    }
    [[nodiscard]] static Scalar scalar(double value) { return static_cast<Scalar>(value); }

    void solve_segment(std::size_t s, const std::vector<double>& ends_s) {
        const Segment& segment = task_.segments[s];
        system_.set_segment(segment);
        if (s == 0) start_watches(segment.begin_s);
        moment_ = task_.moments[s].data();
        moments_end_ = moment_ + task_.moments[s].size();
        double from_s = segment.begin_s;
        for (const double to_s : ends_s) {
            step(from_s, to_s);
            from_s = to_s;
        }
    }

    void step(double from_s, double to_s) {
        stepper_.begin_step(system_, from_s, std::span<const Pack>(y_), false);
        stepper_.attempt(system_, from_s, std::span<const Pack>(y_), to_s - from_s, std::span<Pack>(next_),
                         std::span<Pack>(error_));
        const auto per_k = scalar(1.0 / task_.tolerance_k);
        for (std::size_t i = 0; i < y_.size(); ++i) {
            largest_norm_ = max(largest_norm_, Pack(abs(error_[i]) * per_k));
            poison_ += (error_[i] + next_[i]) * Scalar{0};  // turns not-a-number for good with the first such state
        }
        const Moment* const end = moments_until(to_s);
        if (end != moment_)
            for (std::size_t w = 0; w < watches_.size(); ++w) watch_step(w, from_s, to_s, end);
        moment_ = end;
        y_.swap(next_);
    }
    [[nodiscard]] const Moment* moments_until(double time_s) const {
        const Moment* end = moment_;
        while (end != moments_end_ && end->time_s <= time_s) ++end;
        return end;
    }

    void start_watches(double time_s) {
        for (std::size_t w = 0; w < watches_.size(); ++w) {
            Watch& watch = watches_[w];
            const auto given = [&](const Place& place) { return system_.place_k(place, time_s, y_); };
            const Pack seen_k = seen_at(watch, given);
            watch.tracker.start(seen_k);
            if (task_.starts_with_quantile) keep(w, 0, seen_k);
        }
    }
    void watch_step(std::size_t w, double from_s, double to_s, const Moment* end) {
        Watch& watch = watches_[w];
        const double per_s = 1.0 / (to_s - from_s);
        seen_k_.resize(static_cast<std::size_t>(end - moment_));
        Pack* seen_k = seen_k_.data();
        for (const Moment* at = moment_; at != end; ++at) {
            const auto at_moment = [&](const Place& place) {
                return place.kind == Place::Kind::node ? between((at->time_s - from_s) * per_s, place.index)
                                                       : system_.place_k(place, at->time_s, y_);
            };
            *seen_k = seen_at(watch, at_moment);
            if (at->quantile != kNoQuantile) keep(w, at->quantile, *seen_k);
            ++seen_k;
        }
        watch.tracker.add(seen_k_, moment_);
    }
    [[nodiscard]] Pack between(double theta, std::uint32_t node) {
        return stepper_.interpolate_component(theta, node, y_[node], next_[node]);
    }
    template <class PlaceK>
    [[nodiscard, gnu::always_inline]] static Pack seen_at(const Watch& watch, const PlaceK& place_k) {
        const Pack at_k = watch.following.of(place_k(watch.place)) + watch.offset_k;
        return watch.than ? Pack(at_k - watch.than->of(place_k(*watch.than_place))) : at_k;
    }
    void keep(std::size_t place, std::size_t moment, const Pack& temperature_k) {
        float* to = trace_k_ + (place * task_.quantile_time_s.size() + moment) * kWidth;
        for (std::size_t l = 0; l < kWidth; ++l) to[l] = static_cast<float>(lane(temperature_k, l));
    }

    void store(const PackOutput& output) const {
        for (std::size_t l = 0; l < kWidth; ++l) {
            double* row = output.readings + l * task_.column_count;
            for (const Watch& watch : watches_)
                for (std::size_t r = 0; r < watch.tracker.reading_count(); ++r) *row++ = watch.tracker.result(r, l);
            output.error_norm[l] = static_cast<double>(lane(Pack(largest_norm_ + poison_), l));
        }
    }

    const EnsembleTask& task_;
    RateSystem<Pack> system_;
    RosenbrockStepper<Pack> stepper_;
    Member<Pack> member_;
    std::vector<Watch> watches_;
    std::vector<Pack> y_, next_, error_, seen_k_;
    Pack largest_norm_{}, poison_{};
    const Moment *moment_ = nullptr, *moments_end_ = nullptr;
    float* trace_k_ = nullptr;
};

template <class Singles, class Doubles>
[[nodiscard]] std::unique_ptr<EnsembleKernel> make_lane_kernel(const EnsembleTask& task) {
    if (task.is_single) return std::make_unique<LaneKernel<Singles>>(task);
    return std::make_unique<LaneKernel<Doubles>>(task);
}

}  // namespace bakewright::thermal
