#include "bakewright/cure/kinetics.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>

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

}  // namespace bakewright::cure
