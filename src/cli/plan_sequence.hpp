#pragma once

#include "bakewright/report/checklist.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// plan --coats: one bake a coat, each over all before it. Returns the exit status.
[[nodiscard]] int plan_sequence(const Options& options, const report::Checklist& list);

}  // namespace bakewright::cli
