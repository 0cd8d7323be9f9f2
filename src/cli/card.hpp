#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/plan/plan.hpp"
#include "bakewright/report/checklist.hpp"
#include "bakewright/shop/stored_bake.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// Adds --card and --start.
void describe_card(Options& options);

/// Where the bake card goes: the file of --card, or that of --out where its name ends in .html; nothing where none is asked for.
/// @throws InputError where both name one
[[nodiscard]] std::optional<std::string> card_path(const Options& options);

/// Where the planned cycle goes: the file of --out, unless it is the card's.
[[nodiscard]] std::optional<std::string> cycle_path(const Options& options);

/// The card of a plan that was found.
void write_card(const Options& options, const plan::PlanTask& task, const plan::Plan& plan,
                const std::vector<std::string>& taken_out, const report::Checklist& checklist, const std::string& path);

/// The card of a predicted bake of the book. @throws InputError where it has no cycle, or something aboard forbids a card
void write_card(const Options& options, const StoredBake& bake, const cure::Coating& coating, const report::Checklist& checklist,
                const std::string& path);

}  // namespace bakewright::cli
