// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/plan/plan.hpp"
#include "bakewright/report/checklist.hpp"
#include "bakewright/report/json.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// Writes the planned cycle as a profile, under the name of its file.
void write_cycle(plan::Plan& plan, const plan::PlanTask& task, const std::string& path);

/// What would help, tried in the model; nothing where the plan is feasible.
[[nodiscard]] std::vector<plan::Remedy> remedies_for(const plan::PlanTask& task, const plan::PlanOptions& asked,
                                                     const plan::Plan& plan);

/// 0 for a plan that is GOOD; 1 where there is none, and where it is CHECK or open to a question.
[[nodiscard]] int plan_status(const plan::Plan& plan);

/// The plan with what stands beside it, as text or as JSON. @param foreword  sentences before it; so_far: what a broken bake had
void show_plan(const Options& options, const plan::Plan& plan, const report::PlanCompany& company, const report::Checklist& list,
               const std::vector<std::string>& foreword = {}, const std::string& so_far = {});

}  // namespace bakewright::cli
