// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/report/checklist.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// plan --coats: one bake a coat, each over all before it. Returns the exit status.
[[nodiscard]] int plan_sequence(const Options& options, const report::Checklist& list);

/// plan --finish: the rest of a bake of the book that was cut short. Returns the exit status.
[[nodiscard]] int plan_finish(const Options& options, const report::Checklist& list);

/// plan --test-panel: the cycle that gives the free panel the dose of the shell in a bake of the book. Returns the exit status.
[[nodiscard]] int plan_panel(const Options& options, const report::Checklist& list);

}  // namespace bakewright::cli
