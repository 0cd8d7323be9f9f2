#pragma once

#include "bakewright/profile/kind.hpp"
#include "bakewright/profile/shell_profile.hpp"
#include "material_lookup.hpp"
#include "table_reader.hpp"

/// The readers of the parts of profiles. Each reads every key of its table and calls finish() on it.
namespace bakewright::profile {

/// Reads kind, id and title. The kind must be the one expected; the id is the file's name where there is none; a title is asked
/// for.
void read_head(TableReader& reader, Kind kind, std::string& id, std::string& title);

/// The keys of a material, without kind, id and title.
void read_material_properties(TableReader& reader, thermal::Material& material);

[[nodiscard]] bake::Zone read_zone(TableReader& reader, MaterialLookup& materials);

/// Reads the rate law of a coating.
[[nodiscard]] cure::Kinetics read_kinetics(TableReader& reader);

/// Reads one item into both of its halves.
void read_item(TableReader& reader, bake::Item& item, cure::HeatSensitiveItem& limits);

}  // namespace bakewright::profile
