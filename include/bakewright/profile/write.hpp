// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
#include <string>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/probe/probe_record.hpp"
#include "bakewright/probe/source_record.hpp"
#include "bakewright/profile/library.hpp"
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
[[nodiscard]] std::string to_toml(const probe::SourceRecord& source);
[[nodiscard]] std::string to_toml(const ShellProfile& profile);

/// What a person typed and should be told in a text for people. Keys are paths: "zone[2].layers[0].thickness".
struct HandStyle {
    std::map<std::string, std::string> as_typed{};  ///< "18 gauge"; counts where it reads as the record's number
    std::map<std::string, std::string> remarks{};   ///< behind a key, or over a heading ("zone[2]"); one line each
};

/// The profile as a hand writes it: usual units, what is at its default left out, no id (the file's name is one), materials named
/// that the library has. read_* gives back an equal record from a file named after its id, to the last bit.
/// @throws as to_toml
[[nodiscard]] std::string to_hand_toml(const cure::Coating& coating, const HandStyle& style = {});
[[nodiscard]] std::string to_hand_toml(const bake::Booth& booth, const HandStyle& style = {});
[[nodiscard]] std::string to_hand_toml(const ShellProfile& profile, const Library& library, const HandStyle& style = {});

/// Zones, links and cavities alone, as to_hand_toml() writes them, each under its heading: what with_element() puts into a text.
/// Nothing else of the shell is written. @throws as to_toml
[[nodiscard]] std::string hand_elements(const bake::Shell& parts, const Library& library, const HandStyle& style = {});

}  // namespace bakewright::profile
