#include "bakewright/profile/kind.hpp"
#include "bakewright/profile/write.hpp"
#include "record_writers.hpp"
#include "words.hpp"

namespace bakewright::profile {

void add_material_properties(KeyValues& values, const thermal::Material& material) {
    values.quantity("density", material.density_kg_per_m3, Dimension::density);
    values.quantity("specific_heat", material.specific_heat_j_per_kg_k, Dimension::specific_heat);
    values.quantity("conductivity", material.conductivity_w_per_m_k, Dimension::conductivity);
    values.number("emissivity", material.emissivity);
    values.text("gauge", text_of(kGaugeWords, material.gauge));
    values.quantity("warn", material.limits.warn_k, Dimension::temperature);
    values.quantity("never", material.limits.never_k, Dimension::temperature);
    if (material.is_unharmed) values.boolean("unharmed", true);
}

std::string to_toml(const thermal::Material& material) {
    KeyValues values = head(kind_name(Kind::material), material.id, material.title);
    add_material_properties(values, material);
    return values.lines() + section("sources", sources_of(material.sources));
}

}  // namespace bakewright::profile
