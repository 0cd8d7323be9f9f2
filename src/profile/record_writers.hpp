#pragma once

#include <string>
#include <vector>

#include "bakewright/bake/shell.hpp"
#include "bakewright/cure/kinetics.hpp"
#include "toml_writer.hpp"

/// The writers of the parts of profiles.
namespace bakewright::profile {

/// The keys of a material after its title, without its sources.
void add_material_properties(KeyValues& values, const thermal::Material& material);

/// The materials of a shell that are written once and named by their id. A second material of the same id, or one without an id,
/// is written where it is used.
class MaterialTable {
public:
    void add(const thermal::Material& material);
    [[nodiscard]] bool names(const thermal::Material& material) const;
    [[nodiscard]] const std::vector<thermal::Material>& materials() const noexcept { return materials_; }

private:
    std::vector<thermal::Material> materials_;
};

[[nodiscard]] KeyValues kinetics_values(const cure::Kinetics& kinetics);

[[nodiscard]] KeyValues zone_values(const bake::Zone& zone, const MaterialTable& materials);

}  // namespace bakewright::profile
