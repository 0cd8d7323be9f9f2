#pragma once

#include <map>
#include <string>

#include "bakewright/base/gauge.hpp"

namespace bakewright::thermal {

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

    bool operator==(const Material&) const = default;
};

}  // namespace bakewright::thermal
