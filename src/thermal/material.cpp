#include "bakewright/thermal/material.hpp"

#include <fmt/core.h>

#include "bakewright/base/format.hpp"
#include "bakewright/base/units.hpp"

namespace bakewright::thermal {
namespace {

constexpr double kColdestK = celsius_to_kelvin(25.0);
constexpr double kHottestK = celsius_to_kelvin(400.0);

std::optional<LimitFault> fault_of(const char* key, const std::optional<double>& limit_k) {
    if (!limit_k || (*limit_k >= kColdestK && *limit_k <= kHottestK)) return std::nullopt;
    const auto shown = [](double temperature_k) { return format_temperature(temperature_k, Units{}); };
    return LimitFault{key, fmt::format("is {}, accepted is {} to {}", shown(*limit_k), shown(kColdestK), shown(kHottestK))};
}

}  // namespace

std::optional<LimitFault> fault_of(const HeatLimits& limits) {
    if (std::optional<LimitFault> fault = fault_of("warn", limits.warn_k)) return fault;
    if (std::optional<LimitFault> fault = fault_of("never", limits.never_k)) return fault;
    if (limits.warn_k && limits.never_k && !(*limits.warn_k < *limits.never_k))
        return LimitFault{"warn",
                          fmt::format("is {}, accepted is less than never, {}", format_temperature(*limits.warn_k, Units{}),
                                      format_temperature(*limits.never_k, Units{}))};
    return std::nullopt;
}

bool is_metal(const Material& material) noexcept { return material.conductivity_w_per_m_k >= kMetalConductivity; }

bool withstands_any_bake(const Material& material) noexcept { return material.is_unharmed || is_metal(material); }

}  // namespace bakewright::thermal
