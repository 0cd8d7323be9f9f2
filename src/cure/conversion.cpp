#include "bakewright/cure/conversion.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <boost/math/tools/toms748_solve.hpp>
#include <boost/numeric/odeint/stepper/controlled_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/runge_kutta_dopri5.hpp>
#include <cmath>

#include "bakewright/base/error.hpp"

namespace bakewright::cure {
namespace {

namespace odeint = boost::numeric::odeint;

using State = std::array<double, 1>;
using Stepper = odeint::runge_kutta_dopri5<State>;
using Controlled = odeint::controlled_runge_kutta<Stepper>;

constexpr double kLeastStepS = 1e-6;
constexpr double kFirstStepS = 10.0;

/// Both ends of an accepted step.
struct Step {
    double from_s, from, from_rate;
    double until_s, until, until_rate;

    [[nodiscard]] double conversion(double time_s) const {
        const double h = until_s - from_s;
        const double u = (time_s - from_s) / h;
        const double v = 1.0 - u;
        return v * v * ((1.0 + 2.0 * u) * from + u * h * from_rate) + u * u * ((1.0 + 2.0 * v) * until - v * h * until_rate);
    }
};

/// The moment in a step at which `excess`, below 0 at its start and not below 0 at its end, is 0.
template <typename Excess>
double moment_s(const Step& step, Excess excess) {
    if (excess(step.from_s) >= 0.0) return step.from_s;
    if (excess(step.until_s) <= 0.0) return step.until_s;
    std::uintmax_t iterations = 200;
    const auto close_enough = [](double low_s, double high_s) { return high_s - low_s <= 1e-6; };
    const auto bracket = boost::math::tools::toms748_solve(excess, step.from_s, step.until_s, close_enough, iterations);
    return 0.5 * (bracket.first + bracket.second);
}

class Integration {
public:
    Integration(const Kinetics& kinetics, double start)
        : kinetics_(kinetics),
          stepper_(Controlled::error_checker_type(kConversionStepTolerance, kConversionStepTolerance)),
          conversion_{start} {
        if (kinetics.required_conversion && start >= *kinetics.required_conversion) already_there_ = true;
    }

    void add(const Segment& segment) {
        if (!has_begun_) begin(segment);
        const auto rate = [&](const State& x, State& dxdt, double time_s) {
            dxdt[0] = conversion_rate_per_s(kinetics_, x[0], segment.temperature_k(time_s));
        };
        double now_s = segment.from_s;
        while (now_s < segment.until_s) now_s = step(rate, segment, now_s);
    }

    [[nodiscard]] ConversionReading reading() const {
        ConversionReading reading = reading_;
        reading.conversion = conversion_[0];
        if (kinetics_.glass) reading.glass_k = kinetics_.glass->temperature_k(conversion_[0]);
        return reading;
    }
    /// The next segment does not go on where the last one ended: the rate has to be made anew.
    void interrupt() { has_begun_ = false; }

private:
    void begin(const Segment& segment) {
        has_begun_ = true;
        rate_[0] = conversion_rate_per_s(kinetics_, conversion_[0], segment.from_k);
        if (already_there_ && !reading_.reached_s) reading_.reached_s = segment.from_s;
        // A film that is glass from the start has not vitrified: it was never liquid.
        was_liquid_ = kinetics_.glass && kinetics_.glass->temperature_k(conversion_[0]) < segment.from_k;
    }

    /// One accepted step, at most to the segment's end. Returns the time reached.
    template <typename Rate>
    double step(const Rate& rate, const Segment& segment, double from_s) {
        const double left_s = segment.until_s - from_s;
        double try_s = std::min(step_s_, left_s);
        for (;;) {
            const double asked_s = try_s;
            State next, next_rate;
            double time_s = from_s;
            const auto result = stepper_.try_step(rate, conversion_, rate_, time_s, next, next_rate, try_s);
            if (result == odeint::success && std::isfinite(next[0])) {
                // A step cut short by the segment's end says nothing against the longer one before it.
                step_s_ = asked_s < step_s_ ? std::max(step_s_, try_s) : try_s;
                const double until_s = asked_s == left_s ? segment.until_s : time_s;
                take({from_s, conversion_[0], rate_[0], until_s, std::min(next[0], 1.0), next_rate[0]}, segment);
                return until_s;
            }
            if (result == odeint::success) try_s = 0.1 * asked_s;
            step_s_ = try_s;
            if (try_s < kLeastStepS)
                throw SolveError(fmt::format("degree of cure: no step down to {:g} s was accepted at {:.1f} s, conversion {:.4f}",
                                             kLeastStepS, from_s, conversion_[0]));
        }
    }

    void take(const Step& step, const Segment& segment) {
        ++reading_.steps;
        conversion_[0] = step.until;
        rate_[0] = step.until_rate;
        const std::optional<double> required = kinetics_.required_conversion;
        if (required && !reading_.reached_s && step.until >= *required)
            reading_.reached_s = moment_s(step, [&](double time_s) { return step.conversion(time_s) - *required; });
        if (kinetics_.glass && !reading_.vitrified_at_s) look_for_glass(step, segment);
    }

    void look_for_glass(const Step& step, const Segment& segment) {
        const auto excess_k = [&](double time_s) {
            return kinetics_.glass->temperature_k(step.conversion(time_s)) - segment.temperature_k(time_s);
        };
        if (excess_k(step.until_s) < 0.0) {
            was_liquid_ = true;
        } else if (was_liquid_ && step.until_rate > 0.0 && segment.until_k >= segment.from_k - kCoolingK) {
            reading_.vitrified_at_s = moment_s(step, excess_k);
        } else {
            was_liquid_ = false;
        }
    }

    /// A film that turns to glass because it cools down was not stopped by it.
    static constexpr double kCoolingK = 0.5;

    const Kinetics& kinetics_;
    Controlled stepper_;
    State conversion_;
    State rate_{};
    bool has_begun_ = false;
    bool already_there_ = false;
    bool was_liquid_ = false;
    double step_s_ = kFirstStepS;
    ConversionReading reading_;
};

/// The part of a segment at or above the floor; nothing where all of it is below.
std::optional<Segment> above_floor(const Segment& segment, double floor_k) {
    if (segment.from_k >= floor_k && segment.until_k >= floor_k) return segment;
    if (segment.from_k < floor_k && segment.until_k < floor_k) return std::nullopt;
    const double crossing_s = std::clamp(segment.crossing_s(floor_k), segment.from_s, segment.until_s);
    const Segment part = segment.from_k >= floor_k ? Segment{segment.from_s, segment.from_k, crossing_s, floor_k}
                                                   : Segment{crossing_s, floor_k, segment.until_s, segment.until_k};
    if (!(part.until_s > part.from_s)) return std::nullopt;
    return part;
}

}  // namespace

ConversionReading degree_of_cure(const JoinedTrace& trace, const Kinetics& kinetics, double floor_k,
                                 std::optional<double> start) {
    Integration integration(kinetics, start.value_or(kinetics.start_conversion));
    for (const JoinedTrace::Run& run : trace.runs()) {
        integration.interrupt();
        for_each_segment(trace, run, [&](const Segment& segment) {
            const std::optional<Segment> part = above_floor(segment, floor_k);
            if (!part)
                integration.interrupt();
            else
                integration.add(*part);
        });
    }
    return integration.reading();
}

}  // namespace bakewright::cure
