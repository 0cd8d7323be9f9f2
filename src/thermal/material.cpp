// SPDX-License-Identifier: Apache-2.0
#include "bakewright/thermal/material.hpp"

#include <fmt/core.h>

#include "bakewright/base/fields.hpp"
#include "bakewright/base/format.hpp"

namespace bakewright::thermal {

void visit_limits(HeatLimits& limits, Fields& see, std::string_view warn_key, std::string_view never_key) {
    constexpr Range kAccepted{25.0, 400.0};
    see({.key = warn_key,
         .unit = unit::deg_c,
         .range = kAccepted,
         .what = "temperature of the part from which it is told; makes nothing OVER",
         .rule = "under `never`; has a source"},
        limits.warn_k);
    see({.key = never_key,
         .unit = unit::deg_c,
         .range = kAccepted,
         .what = "temperature of the part that must not be reached",
         .rule = "has a source",
         .needed = "see below",
         .otherwise = "none: no upper limit is known"},
        limits.never_k);
}

void check_limits(FieldCheck& check, const HeatLimits& limits, const std::string& prefix) {
    const bool is_fine = check.is_fine(prefix + "warn") && check.is_fine(prefix + "never");
    if (is_fine && limits.warn_k && limits.never_k && !(*limits.warn_k < *limits.never_k))
        check.add(prefix + "warn",
                  fmt::format("is {}, accepted is less than never, {}", format_temperature(*limits.warn_k, Units{}),
                              format_temperature(*limits.never_k, Units{})));
}

void visit_fields(Material& material, Fields& see) {
    see({.key = "density", .unit = unit::kg_per_m3, .range = {1.0, 25e3}, .need = Need::required, .what = "density"},
        material.density_kg_per_m3);
    see({.key = "specific_heat", .unit = unit::j_per_kgk, .range = {50.0, 10e3}, .need = Need::required, .what = "specific heat"},
        material.specific_heat_j_per_kg_k);
    see({.key = "conductivity",
         .unit = unit::w_per_mk,
         .range = {0.005, 2000.0},
         .need = Need::required,
         .what = "conductivity, through the thickness"},
        material.conductivity_w_per_m_k);
    see({.key = "emissivity",
         .range = {0.0, 1.0},
         .what = "number, of the bare face",
         .source = "infrared instrument manuals: most non-metals",
         .note = "0.9 is used (infrared instrument manuals: most non-metals)"},
        material.emissivity);
    see({.key = "gauge", .what = "whose sheet gauge a thickness such as `\"18 gauge\"` is read by; `\"none\"` refuses one"},
        material.gauge);
    visit_limits(material.limits, see);
    see.mark({.key = "unharmed",
              .what = "`true`: no booth spoils it, as glass; in place of `never`",
              .rule = "has a source",
              .otherwise = "`false`; a conductivity of 10 W/mK or more is a metal and needs neither"},
             material.is_unharmed);
    see({.key = "also", .what = "what else people call it, for whoever describes a shell in words"}, material.also);
    see.sources(material.sources);
}

std::vector<Problem> problems_in(const Material& material, const std::string& key_prefix) {
    FieldCheck check(key_prefix);
    check.check(material);
    check_limits(check, material.limits, {});
    // What somebody says of heat is worth no more than the record of who said it.
    const auto require_source = [&](const char* key, bool is_said) {
        if (is_said && !material.sources.contains(key))
            check.add(key, fmt::format("has no source, accepted is an entry {} in [sources]: who says so, or \"common practice\"",
                                       key));
    };
    require_source("warn", material.limits.warn_k.has_value());
    require_source("never", material.limits.never_k.has_value());
    require_source("unharmed", material.is_unharmed);
    if (material.is_unharmed && material.limits.never_k) check.add("unharmed", "stands beside never: give one of the two");
    return check.take();
}

bool is_metal(const Material& material) noexcept { return material.conductivity_w_per_m_k >= kMetalConductivity; }

bool withstands_any_bake(const Material& material) noexcept { return material.is_unharmed || is_metal(material); }

}  // namespace bakewright::thermal
