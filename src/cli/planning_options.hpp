#pragma once

#include "bakewright/plan/plan.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// Adds the options that bound a plan and say what is sought.
void describe_planning(Options& options);

/// What they ask for. @throws InputError
[[nodiscard]] plan::PlanOptions planning_options(const Options& options, const bake::Booth& booth);

}  // namespace bakewright::cli
