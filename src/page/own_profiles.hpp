// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "bakewright/profile/kind.hpp"
#include "context.hpp"
#include "route.hpp"

namespace bakewright::page {

/// "shell". @throws InputError for a word that is no kind of profile
[[nodiscard]] profile::Kind kind_of(const std::string& word);
/// Whether a file is in the shop's own folders: only those are changed.
[[nodiscard]] bool is_own(const Context& context, const std::string& path);

/// Profiles that are saved, copied, renamed and deleted.
void add_own_profile_routes(Routes& routes, Context& context);

}  // namespace bakewright::page
