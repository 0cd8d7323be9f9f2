// SPDX-License-Identifier: Apache-2.0
#include "solve_segments.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <boost/math/tools/roots.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstddef>
#include <functional>
#include <span>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/thermal/network.hpp"
#include "bakewright/thermal/solve_options.hpp"
#include "rate_system.hpp"
#include "steppers/dense_output_stepper.hpp"
#include "steppers/rosenbrock_stepper.hpp"

namespace bakewright::thermal {

SolveReporter::SolveReporter(const RateSystem<double>& system, const StateObserver& observer, double start_s, double interval_s)
    : system_(system), observer_(observer), start_s_(start_s), interval_s_(interval_s) {}

std::span<const double> SolveReporter::times_before(double end_s) {
    times_s_.clear();
    for (std::size_t index = next_index_;; ++index) {
        const double time_s = start_s_ + static_cast<double>(index) * interval_s_;
        if (time_s >= end_s - kSameMomentS) return times_s_;
        times_s_.push_back(time_s);
    }
}

void SolveReporter::report(double time_s, std::span<const double> y) {
    if (time_s >= next_s() - kSameMomentS) ++next_index_;
    if (time_s <= last_s_ + kSameMomentS) return;
    last_s_ = time_s;
    account_j_.clear();
    for (std::size_t a = 0; a < system_.account_count(); ++a) account_j_.push_back(system_.account_heat_j(y, a));
    observer_(time_s, y.first(system_.node_count()), account_j_);
}

namespace {

/// Goes through the segments with one stepper for the whole run: what it worked out for the network is worked out once, and no
/// segment allocates.
template <class Stepper>
SolveStatistics step_through(DenseOutputStepper<Stepper>& stepper, RateSystem<double>& system, std::span<const Segment> segments,
                             SolveReporter& reporter, const char* title) {
    std::vector<double> y(system.size());
    system.start(y);
    system.set_segment(segments.front());
    reporter.report(segments.front().begin_s, y);
    const auto report = [&](double time_s, std::span<const double> at) { reporter.report(time_s, at); };
    for (std::size_t s = 0; s < segments.size(); ++s) {
        const Segment& segment = segments[s];
        system.set_segment(segment);
        SegmentOptions how;
        how.carries_step = s > 0 && goes_on(segments[s - 1], segment);
        const std::span<double> state(y);
        integrate_segment(stepper, system, state, segment.begin_s, segment.end_s, how, reporter.times_before(segment.end_s),
                          report);
        reporter.report(segment.end_s, y);
    }
    const WorkCounts work = stepper.work();
    return {title, work.accepted_steps, work.rejected_steps, work.rate_evaluations, {}};
}

}  // namespace

bool goes_on(const Segment& before, const Segment& now) {
    constexpr double longest_sample_s = 60.0;
    return now.end_s - now.begin_s <= longest_sample_s && now.end_s - now.begin_s <= 2.0 * (before.end_s - before.begin_s) &&
           before.mode == now.mode && before.source_w == now.source_w && before.boundary_end_k == now.boundary_begin_k;
}

StepOptions rosenbrock_options(const SolveOptions& options) {
    StepOptions made;
    made.absolute_tolerance = options.absolute_tolerance_k;
    made.relative_tolerance = options.relative_tolerance;
    made.smallest_step_s = kShortestImplicitStepS;
    made.step_ceiling = options.largest_step_count;
    made.ceiling_spans_restarts = true;
    return made;
}

SolveStatistics solve_rosenbrock(RateSystem<double>& system, std::span<const Segment> segments, const SolveOptions& options,
                                 SolveReporter& reporter) {
    DenseOutputStepper<RosenbrockStepper<double>> stepper(rosenbrock_options(options));
    return step_through(stepper, system, segments, reporter, kRosenbrockTitle);
}

namespace {

/// The switches of a network's heaters: on and off by band, off for good by high limit, and from one regime to the next where a
/// heater that modulates reaches or leaves a limit. Switches the heaters of the system. Refers to both for its lifetime.
///
/// At a limit the rates are continuous and only their slopes have a kink. A regime may therefore go on a little beyond its limit
/// (dead_zone_k()), as the smooth equations it is: a controller that rests on its limit, or creeps along it, then throws no
/// switches over the solver's last digits. One that crosses its limits without end in one segment is left to the kink.
/// An on-off heater is followed switch by switch for its first 500 firings, then by its mean.
class HeaterSwitches {
public:
    /// @param tolerance_k  what the solver's steps may err by [K]
    HeaterSwitches(const Network& network, RateSystem<double>& system, double tolerance_k)
        : network_(network),
          system_(system),
          tolerance_k_(tolerance_k),
          crossings_(network.heaters().size(), 0),
          firings_(crossings_) {}

    /// Sets the heaters right where a segment begins: what is due is switched, and regimes are those of the demand.
    void begin(double time_s, std::span<const double> y, std::vector<HeaterSwitch>& noted);
    /// How far [K] the switch that is furthest past its level is past it; below 0 where none is due.
    [[nodiscard]] double most_overdue_k(double time_s, std::span<const double> y) const;
    /// Switches all that are due, and notes them. @param near_k  so close below its level a switch counts as due
    void switch_due(double time_s, std::span<const double> y, double near_k, std::vector<HeaterSwitch>& noted);
    /// How often heaters that modulate have crossed a limit, since it was made.
    [[nodiscard]] std::size_t crossing_count() const noexcept { return crossing_count_; }

private:
    void switch_bands_and_limits(double time_s, std::span<const double> y, double near_k, std::vector<HeaterSwitch>& noted);
    void cross_limit(std::size_t heater, double time_s, std::span<const double> y);
    /// How far [K of error] a regime goes on beyond its limit.
    [[nodiscard]] double dead_zone_k(std::size_t heater) const;
    [[nodiscard]] double regime_overdue_k(std::size_t heater, double time_s, std::span<const double> y) const;
    [[nodiscard]] HeaterRegime next_regime(std::size_t heater, double time_s, std::span<const double> y) const;
    [[nodiscard]] double band_overdue_k(std::size_t heater, double time_s, std::span<const double> y) const;
    [[nodiscard]] double limit_overdue_k(std::size_t heater, double time_s, std::span<const double> y) const;

    const Network& network_;
    RateSystem<double>& system_;
    double tolerance_k_;
    std::vector<std::size_t> crossings_;  ///< of each heater in this segment
    std::vector<std::size_t> firings_;    ///< of each on-off heater
    std::size_t crossing_count_ = 0;
};

constexpr double kMomentAheadS = 1e-3;
/// A dead zone is this share of what steps may err by, and at most this share of the error from nothing to full power.
constexpr double kShareOfTolerance = 0.2;
constexpr double kShareOfBand = 1e-3;
/// A controller that is well tuned crosses its limits a few times in a segment; one that crosses them more often is left to the
/// step control, which takes a limit for the kink it is.
constexpr std::size_t kMostCrossings = 100;
/// So often an on-off heater is lit before its mean counts: it has long settled into its swing, and who asks for more has a bake
/// of a day.
constexpr std::size_t kMostFirings = 500;

double HeaterSwitches::band_overdue_k(std::size_t heater, double time_s, std::span<const double> y) const {
    const Heater& at = network_.heaters()[heater];
    if (system_.heaters().modulates(heater) || system_.heaters().has_tripped(heater)) return -HUGE_VAL;
    const double above_k = system_.place_k(at.sensor, time_s, y) - system_.place_k(at.setpoint, time_s, y);
    return (system_.heaters().is_burning(heater) ? above_k : -above_k) - 0.5 * at.band_k;
}

double HeaterSwitches::limit_overdue_k(std::size_t heater, double time_s, std::span<const double> y) const {
    const Heater& at = network_.heaters()[heater];
    if (!at.limit_k || system_.heaters().has_tripped(heater)) return -HUGE_VAL;
    return system_.place_k(at.limit, time_s, y) - *at.limit_k;
}

double HeaterSwitches::dead_zone_k(std::size_t heater) const {
    const double whole_band_k = system_.heaters().largest_power_w(heater) / system_.heaters().gain_w_per_k(heater);
    return std::min(kShareOfTolerance * tolerance_k_, kShareOfBand * whole_band_k);
}

/// Past a limit, the demand over the gain tells how far.
double HeaterSwitches::regime_overdue_k(std::size_t heater, double time_s, std::span<const double> y) const {
    const HeaterRegime regime = system_.heaters().regime(heater);
    if (!system_.heaters().modulates(heater) || regime == HeaterRegime::by_demand) return -HUGE_VAL;
    const double demand_w = system_.heater_demand_w(heater, time_s, y);
    const double above_w = demand_w - system_.heaters().largest_power_w(heater);
    const double past_w = regime == HeaterRegime::out    ? demand_w
                          : regime == HeaterRegime::full ? -above_w
                                                         : std::max(-demand_w, above_w);
    return past_w / system_.heaters().gain_w_per_k(heater) - dead_zone_k(heater);
}

HeaterRegime HeaterSwitches::next_regime(std::size_t heater, double time_s, std::span<const double> y) const {
    if (system_.heaters().regime(heater) != HeaterRegime::free) return HeaterRegime::free;
    const bool is_full = 2.0 * system_.heater_demand_w(heater, time_s, y) > system_.heaters().largest_power_w(heater);
    return is_full ? HeaterRegime::full : HeaterRegime::out;
}

void HeaterSwitches::cross_limit(std::size_t heater, double time_s, std::span<const double> y) {
    ++crossing_count_;
    const bool goes_on = ++crossings_[heater] <= kMostCrossings;
    system_.heaters().set_regime(heater, goes_on ? next_regime(heater, time_s, y) : HeaterRegime::by_demand);
}

void HeaterSwitches::begin(double time_s, std::span<const double> y, std::vector<HeaterSwitch>& noted) {
    HeaterTerms<double>& heaters = system_.heaters();
    std::fill(crossings_.begin(), crossings_.end(), std::size_t{0});
    for (std::size_t h = 0; h < network_.heaters().size(); ++h) heaters.set_regime(h, HeaterRegime::by_demand);
    // A controller at rest stands right at a limit: where it will be in a moment tells the regime.
    std::vector<double> dydt(system_.size()), ahead(y.begin(), y.end());
    system_.rates(time_s, y, dydt);
    for (std::size_t i = 0; i < ahead.size(); ++i) ahead[i] += kMomentAheadS * dydt[i];
    for (std::size_t h = 0; h < network_.heaters().size(); ++h) {
        if (!heaters.modulates(h)) continue;
        const double largest_w = heaters.largest_power_w(h), near_w = dead_zone_k(h) * heaters.gain_w_per_k(h);
        double demand_w = system_.heater_demand_w(h, time_s, y);
        if (std::abs(demand_w) <= near_w || std::abs(demand_w - largest_w) <= near_w)
            demand_w += std::clamp(system_.heater_demand_w(h, time_s + kMomentAheadS, ahead) - demand_w, -near_w, near_w);
        heaters.set_regime(h, demand_w <= 0.0         ? HeaterRegime::out
                              : demand_w >= largest_w ? HeaterRegime::full
                                                      : HeaterRegime::free);
    }
    switch_bands_and_limits(time_s, y, 0.0, noted);
}

double HeaterSwitches::most_overdue_k(double time_s, std::span<const double> y) const {
    double most_k = -HUGE_VAL;
    for (std::size_t h = 0; h < network_.heaters().size(); ++h)
        most_k = std::max({most_k, band_overdue_k(h, time_s, y), limit_overdue_k(h, time_s, y), regime_overdue_k(h, time_s, y)});
    return most_k;
}

void HeaterSwitches::switch_due(double time_s, std::span<const double> y, double near_k, std::vector<HeaterSwitch>& noted) {
    for (std::size_t h = 0; h < network_.heaters().size(); ++h)
        if (regime_overdue_k(h, time_s, y) >= -std::min(near_k, 0.5 * dead_zone_k(h))) cross_limit(h, time_s, y);
    switch_bands_and_limits(time_s, y, near_k, noted);
}

void HeaterSwitches::switch_bands_and_limits(double time_s, std::span<const double> y, double near_k,
                                             std::vector<HeaterSwitch>& noted) {
    HeaterTerms<double>& heaters = system_.heaters();
    for (std::size_t h = 0; h < network_.heaters().size(); ++h) {
        if (limit_overdue_k(h, time_s, y) >= -near_k) {
            heaters.set_tripped(h, true);
            noted.push_back({time_s, h, HeaterSwitch::Kind::tripped});
        } else if (band_overdue_k(h, time_s, y) >= -near_k) {
            const bool burns = !heaters.is_burning(h);
            heaters.set_burning(h, burns);
            noted.push_back({time_s, h, burns ? HeaterSwitch::Kind::on : HeaterSwitch::Kind::off});
            // By demand: a mean that begins somewhere between nothing and full power has no regime before it.
            if (burns && ++firings_[h] >= kMostFirings) heaters.set_averaged(h);
        }
    }
}

/// A switch is thrown within so much of its moment [s], and counts as due so close [K] to its level.
constexpr double kMomentS = 1e-6;
constexpr double kNearLevelK = 1e-6;
/// Shares of a step at which switches are looked at: one that crosses its level and comes back in between stays unseen.
constexpr std::array<double, 4> kLooks{0.25, 0.5, 0.75, 1.0};

using Stepper = DenseOutputStepper<RosenbrockStepper<double>>;

/// Goes through one segment, stopping wherever a heater switches.
class SwitchingSegment {
public:
    SwitchingSegment(Stepper& stepper, RateSystem<double>& system, HeaterSwitches& switches, SolveReporter& reporter,
                     std::vector<HeaterSwitch>& noted)
        : stepper_(stepper), system_(system), switches_(switches), reporter_(reporter), noted_(noted), at_(system.size()) {}

    void run(const Segment& segment, std::vector<double>& y) {
        switches_.begin(segment.begin_s, y, noted_);
        double now_s = segment.begin_s;
        while (now_s < segment.end_s) {
            stepper_.initialize(y, now_s, 0.0);
            stepper_.stop_at(segment.end_s);
            now_s = go_to_next_switch(segment.end_s);
            stepper_.calc_state(now_s, y);
            switches_.switch_due(now_s, y, kNearLevelK, noted_);
        }
        reporter_.report(segment.end_s, y);
    }

private:
    /// Steps until a switch is due or the segment ends; returns that moment, which lies in the stepper's last step.
    double go_to_next_switch(double end_s) {
        for (;;) {
            stepper_.do_step(std::cref(system_));
            const double stop_s = first_due_s();
            for (const double out_s : reporter_.times_before(std::min(stop_s, stepper_.current_time()))) {
                stepper_.calc_state(out_s, at_);
                reporter_.report(out_s, at_);
            }
            if (std::isfinite(stop_s)) return stop_s;
            if (stepper_.current_time() >= end_s) return end_s;
        }
    }
    [[nodiscard]] double overdue_k(double time_s) {
        stepper_.calc_state(time_s, at_);
        return switches_.most_overdue_k(time_s, at_);
    }
    /// First moment in the last step at which a switch is due; infinite where none is.
    [[nodiscard]] double first_due_s() {
        const double begin_s = stepper_.previous_time();
        const double step_s = stepper_.current_time() - begin_s;
        double before_s = begin_s;
        for (const double share : kLooks) {
            const double look_s = share == 1.0 ? stepper_.current_time() : begin_s + share * step_s;
            if (overdue_k(look_s) >= 0.0) return moment_between_s(before_s, look_s);
            before_s = look_s;
        }
        return HUGE_VAL;
    }
    [[nodiscard]] double moment_between_s(double before_s, double due_s) {
        const auto overdue = [this](double time_s) { return overdue_k(time_s); };
        if (overdue(before_s) >= 0.0) return due_s;
        const auto near = [](double a, double b) { return std::abs(a - b) <= kMomentS; };
        std::uintmax_t iterations = 100;
        return boost::math::tools::toms748_solve(overdue, before_s, due_s, near, iterations).second;
    }

    Stepper& stepper_;
    RateSystem<double>& system_;
    HeaterSwitches& switches_;
    SolveReporter& reporter_;
    std::vector<HeaterSwitch>& noted_;
    std::vector<double> at_;
};

/// What a painter can change about a run that came to nothing for its heater's sake; empty where that is not why.
std::string advice(std::size_t crossings) {
    constexpr std::size_t many = 100;
    if (crossings < many) return {};
    return fmt::format(
        "; the burner ran into its limits {} times by then: give its controller a longer integral time or a smaller "
        "gain, or the bake fewer hours",
        crossings);
}

}  // namespace

SolveStatistics solve_switching(const Network& network, RateSystem<double>& system, std::span<const Segment> segments,
                                const SolveOptions& options, SolveReporter& reporter) {
    SolveStatistics statistics;
    Stepper stepper(rosenbrock_options(options));
    HeaterSwitches switches(network, system, options.absolute_tolerance_k);
    std::vector<double> y(system.size());
    system.start(y);
    system.heaters().reset();
    system.set_segment(segments.front());
    reporter.report(segments.front().begin_s, y);
    SwitchingSegment run(stepper, system, switches, reporter, statistics.switches);
    try {
        for (const Segment& segment : segments) {
            system.set_segment(segment);
            run.run(segment, y);
        }
    } catch (const SolveError& error) {
        throw SolveError(error.what() + advice(switches.crossing_count()));
    }
    const WorkCounts work = stepper.work();
    statistics.stepper = kRosenbrockTitle;
    statistics.accepted_steps = work.accepted_steps;
    statistics.rejected_steps = work.rejected_steps;
    statistics.rate_evaluations = work.rate_evaluations;
    return statistics;
}

}  // namespace bakewright::thermal
