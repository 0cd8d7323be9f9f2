// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/base/format.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/report/bake_card.hpp"
#include "bakewright/report/checklist.hpp"
#include "bakewright/services/certainty.hpp"
#include "bakewright/services/stored_bake.hpp"

namespace bakewright::services {

/// How a card for the booth door is to be written.
struct CardAsked {
    std::string title;       ///< that of the coating or of the bake where empty
    std::string started_at;  ///< ISO 8601; empty: times since the start, but for a bake whose start the book knows
    report::Checklist checklist;
    std::vector<std::string> taken_out;  ///< items that must be out
    std::string program_version;
    Units units;
    std::optional<std::vector<plan::ProbePlace>> probe_places{};  ///< as the plan names them; else they are worked out
};

/// A card, or why there is none.
struct CardAnswer {
    std::optional<report::BakeCard> card;  ///< absent where it is refused
    std::string refusal;                   ///< which thing is still in, or what is wrong with the bake, and what would mend it
};

/// The card of a cycle that was planned or set by hand.
[[nodiscard]] CardAnswer bake_card(const CardAsked& asked, const plan::PlanTask& task, const bake::Cycle& cycle,
                                   const bake::Prediction& prediction, const cure::BakeVerdict& verdict);

/// The card of a bake of the book. Refused for one that has been baked: a log, or a prediction with a log.
/// @param log  of that bake, where there is one @param how  sure it is, as judging it says
/// @throws InputError where it has no cycle
[[nodiscard]] CardAnswer bake_card(const CardAsked& asked, const StoredBake& bake, const cure::Coating& coating,
                                   const std::optional<StoredBake>& log, const CertaintyOptions& how);

}  // namespace bakewright::services
