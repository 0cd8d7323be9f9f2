#pragma once

#include <string>

#include "bakewright/plan/test_panel.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// "worst", "mean" or "best".
[[nodiscard]] std::string_view panel_for_name(plan::PanelFor which) noexcept;

/// The cycle for the test panel and the doses of panel and zone; or why none does.
[[nodiscard]] std::string panel_text(const plan::PanelPlan& plan, const plan::ZoneDose& target, plan::PanelFor which,
                                     const TextOptions& options);
/// Document "bakewright.test-panel", see docs/json.md.
[[nodiscard]] Json document_of(const plan::PanelPlan& plan, const plan::ZoneDose& target, plan::PanelFor which);

}  // namespace bakewright::report
