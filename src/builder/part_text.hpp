// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "bakewright/builder/parts.hpp"
#include "bakewright/profile/located.hpp"
#include "bakewright/profile/shell_profile.hpp"

namespace bakewright::builder {

/// A shell's text as it was read, without problems.
using ReadShell = profile::Located<profile::ShellProfile>;
/// @throws InputError with every problem
[[nodiscard]] ReadShell read_good_shell(const std::string& text, const profile::Library& library);
/// "zone[2]" of a part. @throws InputError where there is none
[[nodiscard]] std::size_t index_of_part(const bake::Shell& shell, const std::string& name);

[[nodiscard]] std::string title_of(const bake::Zone& zone);
/// Values of ShellParts::behinds and finishes that a part has now.
[[nodiscard]] std::string behind_of(const bake::Zone& zone);
[[nodiscard]] std::string finish_of(const bake::Zone& zone);
[[nodiscard]] LayerWords words_of_layer(const ReadShell& read, std::size_t part, std::size_t layer);

/// Primed but not finished: its emissivity is that of paint. Source: infrared instrument manuals, paint of any colour 0.8 to
/// 0.95.
inline constexpr double kPrimedEmissivity = 0.9;

/// The word for a layer of air.
inline constexpr const char* kGapWord = "gap";

}  // namespace bakewright::builder
