#pragma once

#include "bakewright/report/checklist.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// plan --test-panel: the cycle that gives the free panel the dose of the shell in a bake of the book. Returns the exit status.
[[nodiscard]] int plan_panel(const Options& options, const report::Checklist& list);

}  // namespace bakewright::cli
