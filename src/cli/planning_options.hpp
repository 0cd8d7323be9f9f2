// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/plan/plan.hpp"
#include "bakewright/report/checklist.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// Adds the options that bound a plan and say what is sought.
void describe_planning(Options& options);

/// What they ask for. @throws InputError
[[nodiscard]] plan::PlanOptions planning_options(const Options& options, const bake::Booth& booth);

/// Adds the options that answer the checklist.
void describe_checklist(Options& options);
/// What they answer. @throws InputError
[[nodiscard]] report::Checklist checklist(const Options& options);

}  // namespace bakewright::cli
