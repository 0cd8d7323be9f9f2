// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "route.hpp"

namespace bakewright::page {

/// Registers the page's own files, which are built into the program.
void add_static_files(Routes& routes);

/// Those for whoever has no token yet: a page that sends the code of its address in a POST, which no browser does ahead of its
/// user, with script and style.
void add_opening_files(Routes& routes);

}  // namespace bakewright::page
