#pragma once

#include "bakewright/report/checklist.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// plan --finish: the rest of a bake of the book that was cut short. Returns the exit status.
[[nodiscard]] int plan_finish(const Options& options, const report::Checklist& list);

}  // namespace bakewright::cli
