// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/plan/plan.hpp"
#include "bakewright/report/checklist.hpp"
#include "bakewright/services/certainty.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// Adds --card and --start.
void describe_card(Options& options);

/// --start as the shop's clock has it; empty where it was not given. @throws InputError
[[nodiscard]] std::string started_at(const Options& options);

/// Where the bake card goes: the file of --card, or that of --out where its name ends in .html; nothing where none is asked for.
/// @throws InputError where both name one
[[nodiscard]] std::optional<std::string> card_path(const Options& options);

/// Where the planned cycle goes: the file of --out, unless it is the card's.
[[nodiscard]] std::optional<std::string> cycle_path(const Options& options);

/// Writes the card of a plan that was found, or says why there is none. @return whether it was written
bool write_card(const Options& options, const plan::PlanTask& task, const plan::Plan& plan,
                const std::vector<std::string>& taken_out, const report::Checklist& checklist, const std::string& path);

/// The same of a bake of the book. @param log  of that bake, where it has been baked @throws InputError where it has no cycle
bool write_card(const Options& options, const services::StoredBake& bake, const cure::Coating& coating,
                const std::optional<services::StoredBake>& log, const services::CertaintyOptions& how,
                const report::Checklist& checklist, const std::string& path);

}  // namespace bakewright::cli
