// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "route.hpp"

namespace bakewright::page {

/// Registers the page's own files, which are built into the program.
void add_static_files(Routes& routes);

/// Registers the files of the documentation's site under /help/, as far as they are installed.
/// @param folder  outlives the routes; empty or absent: each is answered with where the documentation is
void add_help_files(Routes& routes, const std::string& folder);

/// Those for whoever has no token yet: a page that sends the code of its address in a POST, which no browser does ahead of its
/// user, with script and style.
void add_opening_files(Routes& routes);

}  // namespace bakewright::page
