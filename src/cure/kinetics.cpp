#include "bakewright/cure/kinetics.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <boost/math/tools/toms748_solve.hpp>
#include <boost/numeric/odeint/stepper/controlled_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/runge_kutta_dopri5.hpp>
#include <cmath>
#include <string>

#include "bakewright/base/error.hpp"
#include "bakewright/base/format.hpp"
#include "bakewright/base/units.hpp"

namespace bakewright::cure {
namespace {

/// The fractional free volume at the glass transition and its growth above it, alike for many polymers; see FreeVolumeDiffusion.
constexpr double kFreeVolumeAtGlass = 0.025;
constexpr double kFreeVolumePerK = 4.8e-4;

double free_volume_rate_per_s(const FreeVolumeDiffusion& law, double glass_k, double temperature_k) {
    const double free_volume = kFreeVolumePerK * (temperature_k - glass_k) + kFreeVolumeAtGlass;
    if (free_volume <= 0.0) return 0.0;
    return law.diffusion.rate_per_s(temperature_k) * std::exp(-law.sensitivity / free_volume);
}

/// Two steps one after the other: the slower one rules.
double in_series(double chemical_per_s, double diffusion_per_s) {
    const double sum = chemical_per_s + diffusion_per_s;
    return sum > 0.0 ? chemical_per_s * diffusion_per_s / sum : 0.0;
}

double critical_slowing(const CriticalConversion& law, double conversion, double temperature_k) {
    return 1.0 / (1.0 + std::exp(law.steepness * (conversion - (law.offset + law.per_k * temperature_k))));
}

/// x to a power, the common powers without pow().
double power(double base, double exponent) {
    if (exponent == 1.0) return base;
    if (exponent == 2.0) return base * base;
    return std::pow(base, exponent);
}

class Problems {
public:
    void require(bool holds, std::string key, std::string message) {
        if (!holds) found_.push_back({{}, 0, std::move(key), std::move(message)});
    }
    void rate(const ArrheniusRate& rate, const std::string& key) {
        require(rate.prefactor_per_s > 0.0 && rate.prefactor_per_s <= 1e40, key + ".prefactor_per_s",
                fmt::format("is {:g}, accepted is more than 0, up to 1e40 per second", rate.prefactor_per_s));
        require(rate.activation_energy_j_per_mol >= 1e3 && rate.activation_energy_j_per_mol <= 300e3, key + ".activation_energy",
                fmt::format("is {:g} kJ/mol, accepted is 1 to 300 kJ/mol", rate.activation_energy_j_per_mol / 1e3));
    }
    void order(double order, const std::string& key) {
        require(order > 0.0 && order <= 10.0, key, fmt::format("is {:g}, accepted is more than 0, up to 10", order));
    }
    void glass(const GlassTransition& glass) {
        require(glass.uncured_k >= 100.0 && glass.cured_k <= 800.0 && glass.uncured_k < glass.cured_k, "kinetics.glass",
                fmt::format("rises from {} to {}, accepted is a rise between 100 K and 800 K",
                            format_temperature(glass.uncured_k, Units{}), format_temperature(glass.cured_k, Units{})));
        require(glass.lambda > 0.0 && glass.lambda <= 1.0, "kinetics.glass.lambda",
                fmt::format("is {:g}, accepted is more than 0, up to 1", glass.lambda));
    }
    void critical(const CriticalConversion& law) {
        require(law.steepness > 0.0 && law.steepness <= 1e3, "kinetics.diffusion.steepness",
                fmt::format("is {:g}, accepted is more than 0, up to 1000", law.steepness));
        require(law.per_k >= 0.0 && law.per_k <= 1.0, "kinetics.diffusion.per_k",
                fmt::format("is {:g}, accepted is 0 to 1 per kelvin", law.per_k));
    }
    void free_volume(const FreeVolumeDiffusion& law, bool has_glass) {
        rate(law.diffusion, "kinetics.diffusion");
        require(law.sensitivity > 0.0 && law.sensitivity <= 10.0, "kinetics.diffusion.sensitivity",
                fmt::format("is {:g}, accepted is more than 0, up to 10", law.sensitivity));
        require(has_glass, "kinetics.glass", "is missing: slowing by free volume needs the glass transition");
    }
    void conversions(const Kinetics& kinetics) {
        const double start = kinetics.start_conversion;
        const bool starts = kinetics.first || start > 0.0;
        require(
            starts && start >= 0.0 && start < 1.0, "kinetics.start_conversion",
            fmt::format("is {:g}, accepted is 0 to below 1, and above 0 where there is no k1, since nothing would start", start));
        if (!kinetics.required_conversion) return;
        require(*kinetics.required_conversion > start && *kinetics.required_conversion < 1.0, "kinetics.required_conversion",
                fmt::format("is {:g}, accepted is more than the start's {:g}, below 1", *kinetics.required_conversion, start));
    }
    [[nodiscard]] std::vector<Problem> take() { return std::move(found_); }

private:
    std::vector<Problem> found_;
};

}  // namespace

double ArrheniusRate::rate_per_s(double temperature_k) const noexcept {
    return prefactor_per_s * std::exp(-activation_energy_j_per_mol / (kGasConstant * temperature_k));
}

double GlassTransition::temperature_k(double conversion) const noexcept {
    return uncured_k + (cured_k - uncured_k) * lambda * conversion / (1.0 - (1.0 - lambda) * conversion);
}

double GlassTransition::conversion_at(double temperature_k) const noexcept {
    const double share = std::clamp((temperature_k - uncured_k) / (cured_k - uncured_k), 0.0, 1.0);
    return share / (lambda + (1.0 - lambda) * share);
}

double conversion_rate_per_s(const Kinetics& kinetics, double conversion, double temperature_k) noexcept {
    if (conversion >= 1.0) return 0.0;
    const double reacted = std::max(conversion, 0.0);
    double k1 = kinetics.first ? kinetics.first->rate_per_s(temperature_k) : 0.0;
    double k2 = kinetics.autocatalytic ? kinetics.autocatalytic->rate.rate_per_s(temperature_k) : 0.0;
    if (const auto* law = std::get_if<FreeVolumeDiffusion>(&kinetics.diffusion); law != nullptr && kinetics.glass) {
        const double kd = free_volume_rate_per_s(*law, kinetics.glass->temperature_k(reacted), temperature_k);
        k1 = in_series(k1, kd);
        k2 = in_series(k2, kd);
    }
    double rate_per_s = k1;
    if (k2 > 0.0) rate_per_s += k2 * power(reacted, kinetics.autocatalytic->order);
    rate_per_s *= power(1.0 - reacted, kinetics.order);
    if (const auto* law = std::get_if<CriticalConversion>(&kinetics.diffusion))
        rate_per_s *= critical_slowing(*law, reacted, temperature_k);
    return rate_per_s;
}

std::vector<Problem> problems_in(const Kinetics& kinetics) {
    Problems problems;
    problems.require(kinetics.first || kinetics.autocatalytic, "kinetics",
                     "has neither k1 nor k2, accepted is one of them or both");
    if (kinetics.first) problems.rate(*kinetics.first, "kinetics.k1");
    if (kinetics.autocatalytic) {
        problems.rate(kinetics.autocatalytic->rate, "kinetics.k2");
        problems.order(kinetics.autocatalytic->order, "kinetics.m");
    }
    problems.order(kinetics.order, "kinetics.n");
    if (kinetics.glass) problems.glass(*kinetics.glass);
    if (const auto* law = std::get_if<CriticalConversion>(&kinetics.diffusion)) problems.critical(*law);
    if (const auto* law = std::get_if<FreeVolumeDiffusion>(&kinetics.diffusion))
        problems.free_volume(*law, kinetics.glass.has_value());
    problems.conversions(kinetics);
    return problems.take();
}

namespace {

namespace odeint = boost::numeric::odeint;

using State = std::array<double, 1>;
using Stepper = odeint::runge_kutta_dopri5<State>;
using Controlled = odeint::controlled_runge_kutta<Stepper>;

constexpr double kLeastStepS = 1e-6;
constexpr double kFirstStepS = 10.0;

/// Both ends of an accepted step.
struct KineticStep {
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
double moment_s(const KineticStep& step, Excess excess) {
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

    void add(const TraceLine& segment) {
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
    void begin(const TraceLine& segment) {
        has_begun_ = true;
        rate_[0] = conversion_rate_per_s(kinetics_, conversion_[0], segment.from_k);
        if (already_there_ && !reading_.reached_s) reading_.reached_s = segment.from_s;
        // A film that is glass from the start has not vitrified: it was never liquid.
        was_liquid_ = kinetics_.glass && kinetics_.glass->temperature_k(conversion_[0]) < segment.from_k;
    }

    /// One accepted step, at most to the segment's end. Returns the time reached.
    template <typename Rate>
    double step(const Rate& rate, const TraceLine& segment, double from_s) {
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

    void take(const KineticStep& step, const TraceLine& segment) {
        ++reading_.steps;
        conversion_[0] = step.until;
        rate_[0] = step.until_rate;
        const std::optional<double> required = kinetics_.required_conversion;
        if (required && !reading_.reached_s && step.until >= *required)
            reading_.reached_s = moment_s(step, [&](double time_s) { return step.conversion(time_s) - *required; });
        if (kinetics_.glass && !reading_.vitrified_at_s) look_for_glass(step, segment);
    }

    void look_for_glass(const KineticStep& step, const TraceLine& segment) {
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
std::optional<TraceLine> above_floor(const TraceLine& segment, double floor_k) {
    if (segment.from_k >= floor_k && segment.until_k >= floor_k) return segment;
    if (segment.from_k < floor_k && segment.until_k < floor_k) return std::nullopt;
    const double crossing_s = std::clamp(segment.crossing_s(floor_k), segment.from_s, segment.until_s);
    const TraceLine part = segment.from_k >= floor_k ? TraceLine{segment.from_s, segment.from_k, crossing_s, floor_k}
                                                     : TraceLine{crossing_s, floor_k, segment.until_s, segment.until_k};
    if (!(part.until_s > part.from_s)) return std::nullopt;
    return part;
}

}  // namespace

ConversionReading degree_of_cure(const JoinedTrace& trace, const Kinetics& kinetics, double floor_k,
                                 std::optional<double> start) {
    Integration integration(kinetics, start.value_or(kinetics.start_conversion));
    for (const JoinedTrace::Run& run : trace.runs()) {
        integration.interrupt();
        for_each_segment(trace, run, [&](const TraceLine& segment) {
            const std::optional<TraceLine> part = above_floor(segment, floor_k);
            if (!part)
                integration.interrupt();
            else
                integration.add(*part);
        });
    }
    return integration.reading();
}

}  // namespace bakewright::cure
