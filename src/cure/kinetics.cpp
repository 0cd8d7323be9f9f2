#include "bakewright/cure/kinetics.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <string_view>

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

}  // namespace bakewright::cure
