#pragma once

#include <random>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/profile/shell_profile.hpp"

/// Records drawn at random, with every digit a double has, that are free of problems.
namespace random_records {

using Random = std::mt19937_64;

[[nodiscard]] bakewright::thermal::Material material(Random& random, const std::string& id);
[[nodiscard]] bakewright::cure::Coating coating(Random& random);
[[nodiscard]] bakewright::bake::Booth booth(Random& random);
[[nodiscard]] bakewright::bake::Cycle cycle(Random& random);
[[nodiscard]] bakewright::profile::ShellProfile shell(Random& random);

}  // namespace random_records
