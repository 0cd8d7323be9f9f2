#pragma once

#include <string>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/probe/probe_record.hpp"
#include "bakewright/profile/shell_profile.hpp"
#include "bakewright/thermal/material.hpp"

namespace bakewright::profile {

/// The canonical profile of a record: TOML that read_* gives back as an equal record. Complete (defaults written out, optional
/// values left out where they are absent), self-contained (a shell carries its materials), in SI units, the same text for equal
/// records.
/// @throws PromiseError for a record that holds a number which is not finite, or a shell whose items and limits do not pair up;
///         InputError for a text that cannot be written (not UTF-8)
[[nodiscard]] std::string to_toml(const thermal::Material& material);
[[nodiscard]] std::string to_toml(const cure::Coating& coating);
[[nodiscard]] std::string to_toml(const bake::Booth& booth);
[[nodiscard]] std::string to_toml(const bake::Cycle& cycle);
[[nodiscard]] std::string to_toml(const probe::ProbeSet& set);
[[nodiscard]] std::string to_toml(const ShellProfile& profile);

}  // namespace bakewright::profile
