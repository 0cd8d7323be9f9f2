// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/plan/finish.hpp"
#include "bakewright/plan/sequence.hpp"
#include "bakewright/plan/test_panel.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// One row a bake; what coats and items have left after each; for a sequence that does not work out, what is in the way of the
/// bake it ends with.
[[nodiscard]] std::string sequence_text(const plan::SequencePlan& plan, const TextOptions& options);
/// Document "bakewright.sequence", see docs/json.md.
[[nodiscard]] Json document_of(const plan::SequencePlan& plan);

/// "worst", "mean" or "best".
[[nodiscard]] std::string_view panel_for_name(plan::PanelFor which) noexcept;

/// The cycle for the test panel and the doses of panel and zone; or why none does.
[[nodiscard]] std::string panel_text(const plan::PanelPlan& plan, const plan::ZoneDose& target, plan::PanelFor which,
                                     const TextOptions& options);
/// Document "bakewright.test-panel", see docs/json.md.
[[nodiscard]] Json document_of(const plan::PanelPlan& plan, const plan::ZoneDose& target, plan::PanelFor which);

/// Where a broken bake stands: what comes first, what was measured, how many zones are open, and by which rule what was had
/// counts.
[[nodiscard]] std::vector<std::string> broken_sentences(const plan::BrokenBake& broken,
                                                        const std::vector<cure::ZoneVerdict>& open,
                                                        const plan::PlanOptions& asked);
/// Each zone that is not yet cured, with its temperature now and what it had.
[[nodiscard]] std::string broken_zones_text(const plan::BrokenBake& broken, const std::vector<cure::ZoneVerdict>& open,
                                            const TextOptions& options);
/// Document "bakewright.finished": a bake that needs nothing more.
[[nodiscard]] Json document_of(const plan::BrokenBake& broken);

}  // namespace bakewright::report
