// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/kinetics.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <boost/math/tools/toms748_solve.hpp>
#include <boost/numeric/odeint/stepper/controlled_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/runge_kutta_dopri5.hpp>
#include <cmath>
#include <string>
#include <string_view>

#include "bakewright/base/error.hpp"
#include "bakewright/base/fields.hpp"
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

/// What slows a reaction near the glass transition.
enum class DiffusionLaw { critical_conversion, free_volume };
constexpr std::array<std::string_view, 2> words_of(DiffusionLaw) noexcept { return {"critical_conversion", "free_volume"}; }

constexpr Range kOrder{0.0, 10.0, true};

template <class Law>
Law& held_as(Kinetics& kinetics) {
    if (!std::holds_alternative<Law>(kinetics.diffusion)) kinetics.diffusion = Law{};
    return std::get<Law>(kinetics.diffusion);
}

void visit_critical(CriticalConversion& law, Fields& see) {
    see({.key = "steepness", .range = {0.0, 1e3, true}, .need = Need::required, .what = "number: C (Chern and Poehlein)"},
        law.steepness);
    see({.key = "offset", .need = Need::required, .what = "number: the critical conversion at 0 K"}, law.offset);
    see({.key = "per_k",
         .unit = {.name = "per kelvin"},
         .range = {0.0, 1.0},
         .need = Need::required,
         .what = "number: its growth"},
        law.per_k);
}

void visit_free_volume(FreeVolumeDiffusion& law, Fields& see) {
    visit_fields(law.diffusion, see);
    see({.key = "sensitivity",
         .range = {0.0, 10.0, true},
         .need = Need::required,
         .what = "number: b (Rabinowitch's rates in series)"},
        law.sensitivity);
}

void visit_diffusion(Kinetics& kinetics, Fields& see) {
    DiffusionLaw law = std::holds_alternative<FreeVolumeDiffusion>(kinetics.diffusion) ? DiffusionLaw::free_volume
                                                                                       : DiffusionLaw::critical_conversion;
    if (!see({.key = "law", .need = Need::required, .what = "what slows the reaction near the glass transition"}, law)) {
        see.spoiled({});
        return see.give_up();
    }
    if (law == DiffusionLaw::critical_conversion)
        visit_critical(held_as<CriticalConversion>(kinetics), see);
    else
        visit_free_volume(held_as<FreeVolumeDiffusion>(kinetics), see);
}

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

void visit_fields(ArrheniusRate& rate, Fields& see) {
    see({.key = "prefactor_per_s",
         .unit = {.name = "per second"},
         .range = {0.0, 1e40, true},
         .need = Need::required,
         .what = "number"},
        rate.prefactor_per_s);
    see({.key = "activation_energy",
         .unit = unit::kj_per_mol,
         .range = {kLeastEnergyKjPerMol, kMostEnergyKjPerMol},
         .need = Need::required,
         .what = "activation energy"},
        rate.activation_energy_j_per_mol);
}

void visit_fields(AutocatalyticTerm& term, Fields& see) { visit_fields(term.rate, see); }

void visit_fields(GlassTransition& glass, Fields& see) {
    constexpr Range kGlass{100.0 - kCelsiusZeroK, 800.0 - kCelsiusZeroK};
    see({.key = "uncured", .unit = unit::deg_c, .range = kGlass, .need = Need::required, .what = "temperature, at conversion 0"},
        glass.uncured_k);
    see({.key = "cured",
         .unit = unit::deg_c,
         .range = kGlass,
         .need = Need::required,
         .what = "temperature, at conversion 1",
         .rule = "above `uncured`"},
        glass.cured_k);
    see({.key = "lambda", .range = {0.0, 1.0, true}, .need = Need::required, .what = "number of the DiBenedetto equation"},
        glass.lambda);
}

void visit_fields(Kinetics& kinetics, Fields& see) {
    see.table({.key = "k1", .what = "rate constant of the first term", .needed = "one of `k1`, `k2`"}, kinetics.first);
    if (see.table({.key = "k2", .what = "rate constant of the autocatalytic term", .needed = "one of `k1`, `k2`"},
                  kinetics.autocatalytic))
        see({.key = "m",
             .range = kOrder,
             .need = Need::required,
             .what = "number: order of the autocatalytic term",
             .needed = "with `k2`"},
            kinetics.autocatalytic->order);
    see({.key = "n", .range = kOrder, .need = Need::required, .what = "number: order in what is left"}, kinetics.order);
    see({.key = "start_conversion", .range = {0.0, 1.0, false, true}, .what = "number", .rule = "over 0 without `k1`"},
        kinetics.start_conversion);
    see({.key = "required_conversion",
         .range = {0.0, 1.0, true, true},
         .what = "number: what counts as cured",
         .rule = "above `start_conversion`"},
        kinetics.required_conversion);
    see.table({.key = "glass", .what = "the glass transition", .needed = "with `\"free_volume\"`"}, kinetics.glass);
    const bool is_slowed = !std::holds_alternative<std::monostate>(kinetics.diffusion);
    see.optional_table({.key = "diffusion", .what = "slowing near the glass transition", .otherwise = "none: no slowing"},
                       is_slowed, [&] { visit_diffusion(kinetics, see); });
}

void check_kinetics(FieldCheck& check, const Kinetics& kinetics) {
    const double start = kinetics.start_conversion;
    if (!kinetics.first && !kinetics.autocatalytic)
        check.add("kinetics", "has neither k1 nor k2, accepted is one of them or both");
    if (kinetics.glass && !(kinetics.glass->uncured_k < kinetics.glass->cured_k))
        check.add("kinetics.glass",
                  fmt::format("rises from {} to {}, accepted is a rise", format_temperature(kinetics.glass->uncured_k, Units{}),
                              format_temperature(kinetics.glass->cured_k, Units{})));
    if (std::holds_alternative<FreeVolumeDiffusion>(kinetics.diffusion) && !kinetics.glass)
        check.add("kinetics.glass", "is missing: slowing by free volume needs the glass transition");
    if (!kinetics.first && start == 0.0)
        check.add("kinetics.start_conversion", "is 0, accepted is more than 0 where there is no k1, since nothing would start");
    if (kinetics.required_conversion && check.is_fine("kinetics.required_conversion") && !(*kinetics.required_conversion > start))
        check.add("kinetics.required_conversion",
                  fmt::format("is {:g}, accepted is more than the start's {:g}, below 1", *kinetics.required_conversion, start));
}

std::vector<Problem> problems_in(const Kinetics& kinetics) {
    FieldCheck check;
    check.check("kinetics", kinetics);
    check_kinetics(check, kinetics);
    return check.take();
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
