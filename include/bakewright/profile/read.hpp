// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/probe/probe_record.hpp"
#include "bakewright/probe/source_record.hpp"
#include "bakewright/profile/library.hpp"
#include "bakewright/profile/located.hpp"
#include "bakewright/profile/shell_profile.hpp"
#include "bakewright/thermal/material.hpp"

namespace bakewright::profile {

/// Reading of profile text. Every problem of the text is found in one go, numeric ranges and cross references included
/// (problems_in of the records), and stands in Located::problems; nothing is thrown for a wrong text. The keys are described in
/// docs/profiles.md.
/// @param text  TOML 1.0, UTF-8, at most kLargestProfileBytes
/// @param file  its name, for messages; a record without a key `id` takes the file's name without folder and ending
[[nodiscard]] Located<thermal::Material> read_material(std::string_view text, const std::string& file);
[[nodiscard]] Located<cure::Coating> read_coating(std::string_view text, const std::string& file);
[[nodiscard]] Located<bake::Booth> read_booth(std::string_view text, const std::string& file);
[[nodiscard]] Located<bake::Cycle> read_cycle(std::string_view text, const std::string& file);
[[nodiscard]] Located<probe::ProbeSet> read_probes(std::string_view text, const std::string& file);
[[nodiscard]] Located<probe::SourceRecord> read_source(std::string_view text, const std::string& file);
/// @param library  where materials are looked up that the text does not define itself
[[nodiscard]] Located<ShellProfile> read_shell(std::string_view text, const std::string& file, const Library& library);

/// A profile is a page or two; a larger file is something else.
inline constexpr std::size_t kLargestProfileBytes = 1024 * 1024;

/// Finds, reads and checks a profile by name or path (Library::find).
/// @throws InputError with every problem; FileError where the disk refused to read
[[nodiscard]] Located<thermal::Material> load_material(std::string_view name_or_path, const Library& library);
[[nodiscard]] Located<cure::Coating> load_coating(std::string_view name_or_path, const Library& library);
[[nodiscard]] Located<bake::Booth> load_booth(std::string_view name_or_path, const Library& library);
[[nodiscard]] Located<bake::Cycle> load_cycle(std::string_view name_or_path, const Library& library);
[[nodiscard]] Located<probe::ProbeSet> load_probes(std::string_view name_or_path, const Library& library);
[[nodiscard]] Located<probe::SourceRecord> load_source(std::string_view name_or_path, const Library& library);
[[nodiscard]] Located<ShellProfile> load_shell(std::string_view name_or_path, const Library& library);

/// Reads a stored text (such as one of the book) that to_toml() wrote: like read_*, but any problem is thrown. @throws InputError
[[nodiscard]] thermal::Material material_from_toml(std::string_view text, const std::string& origin);
[[nodiscard]] cure::Coating coating_from_toml(std::string_view text, const std::string& origin);
[[nodiscard]] bake::Booth booth_from_toml(std::string_view text, const std::string& origin);
[[nodiscard]] bake::Cycle cycle_from_toml(std::string_view text, const std::string& origin);
[[nodiscard]] probe::ProbeSet probes_from_toml(std::string_view text, const std::string& origin);
[[nodiscard]] probe::SourceRecord source_from_toml(std::string_view text, const std::string& origin);
[[nodiscard]] ShellProfile shell_from_toml(std::string_view text, const std::string& origin);

}  // namespace bakewright::profile
