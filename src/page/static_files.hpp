#pragma once

#include "route.hpp"

namespace bakewright::page {

/// Registers the page's own files, which are built into the program.
void add_static_files(Routes& routes);

}  // namespace bakewright::page
