#pragma once

#include "bakewright/cure/judge.hpp"
#include "options.hpp"
#include "stored_bake.hpp"

namespace bakewright::cli {

/// The coating named by --coating, else the one kept with the bake. @throws InputError where there is neither
[[nodiscard]] cure::Coating coating_for(const Options& options, const StoredBake& bake);

/// Judges a stored bake with the coated zones and item limits of its shell.
[[nodiscard]] cure::BakeVerdict judge(const StoredBake& bake, const cure::Coating& coating);

}  // namespace bakewright::cli
