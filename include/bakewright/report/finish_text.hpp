#pragma once

#include <string>
#include <vector>

#include "bakewright/plan/finish.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// Where a broken bake stands: what was measured, each zone that is not yet cured with its temperature now and what it had, what
/// comes first, and by which rule what was had counts.
[[nodiscard]] std::string broken_text(const plan::BrokenBake& broken, const std::vector<cure::ZoneVerdict>& open,
                                      const plan::PlanOptions& asked, const TextOptions& options);
/// Document "bakewright.finished": a bake that needs nothing more.
[[nodiscard]] Json document_of(const plan::BrokenBake& broken);

}  // namespace bakewright::report
