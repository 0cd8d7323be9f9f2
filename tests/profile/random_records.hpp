// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <random>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/probe/probe_record.hpp"
#include "bakewright/probe/source_record.hpp"
#include "bakewright/profile/shell_profile.hpp"

/// Records drawn at random by their fields, with every digit a double has, that are free of problems.
namespace random_records {

using Random = std::mt19937_64;

[[nodiscard]] bakewright::thermal::Material material(Random& random);
[[nodiscard]] bakewright::cure::Coating coating(Random& random);
[[nodiscard]] bakewright::bake::Booth booth(Random& random);
[[nodiscard]] bakewright::bake::Cycle cycle(Random& random);
[[nodiscard]] bakewright::probe::ProbeSet probes(Random& random);
[[nodiscard]] bakewright::probe::SourceRecord source(Random& random);
[[nodiscard]] bakewright::profile::ShellProfile shell(Random& random);

}  // namespace random_records
