// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/base/gauge.hpp"

namespace bakewright {
class FieldCheck;
class Fields;
}  // namespace bakewright

namespace bakewright::thermal {

/// How hot something may get [K], 25 to 400 degC: below, a part is too hot before the heat is on. Nothing is safe because nobody
/// said otherwise: without never_k no upper limit is known.
struct HeatLimits {
    std::optional<double> warn_k;   ///< from here on it is told; makes nothing OVER
    std::optional<double> never_k;  ///< not to be reached; above warn_k

    bool operator==(const HeatLimits&) const = default;
};

/// A solid the shell is made of. Properties are constants, meant for 0 to 100 degC.
struct Material {
    std::string id;                              ///< name of the profile, such as "mild_steel"
    std::string title;                           ///< for people, such as "mild steel"
    double density_kg_per_m3 = 0.0;              ///< > 0
    double specific_heat_j_per_kg_k = 0.0;       ///< > 0
    double conductivity_w_per_m_k = 0.0;         ///< > 0, through the thickness
    double emissivity = 0.9;                     ///< 0 to 1, of the bare, unpainted face
    GaugeSeries gauge = GaugeSeries::none;       ///< what "18 gauge" means for this material
    std::map<std::string, std::string> sources;  ///< profile key -> where its number comes from
    HeatLimits limits{};                         ///< each with its source
    bool is_unharmed = false;                    ///< no booth spoils it, as glass; has a source. Metals need not say so
    std::vector<std::string> also{};             ///< what else people call it, such as "steel", "CRS"

    bool operator==(const Material&) const = default;
};

/// The fields of limits, under keys of their own where there are several.
void visit_limits(HeatLimits& limits, Fields& see, std::string_view warn_key = "warn", std::string_view never_key = "never");
/// Adds what is wrong with limits beyond their ranges. @param prefix  of their keys: "zone[1].", "cavity[0].contents_"
void check_limits(FieldCheck& check, const HeatLimits& limits, const std::string& prefix);

/// The fields of a material below its id and title, with their ranges. Those hold every solid a vehicle is built of with room to
/// spare; they are there to catch slips of unit.
void visit_fields(Material& material, Fields& see);
/// Everything wrong with a material; keys as in its profile, after the prefix ("material[1]"; empty for a file of its own).
[[nodiscard]] std::vector<Problem> problems_in(const Material& material, const std::string& key_prefix = {});

/// A material counts as metal from this conductivity on [W/(m K)]: stainless steel, the poorest of a shell's metals, has 15.
inline constexpr double kMetalConductivity = 10.0;
[[nodiscard]] bool is_metal(const Material& material) noexcept;
/// No booth spoils it: a metal, or what its profile says so of.
[[nodiscard]] bool withstands_any_bake(const Material& material) noexcept;

}  // namespace bakewright::thermal
