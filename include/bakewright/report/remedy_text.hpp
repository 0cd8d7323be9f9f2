#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "bakewright/plan/remedies.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

[[nodiscard]] std::string_view remedy_name(plan::RemedyKind kind) noexcept;  ///< "longer_hold", ...
/// What the change is, as a person would say it: "aim a fan at rocker_panels (1.6 times the film coefficient)".
[[nodiscard]] std::string remedy_sentence(const plan::Remedy& remedy, const Units& units);
/// What would make a cycle possible, or bring it nearer, best first; each was tried in the model.
[[nodiscard]] std::string remedies_text(const std::vector<plan::Remedy>& remedies, const TextOptions& options);

}  // namespace bakewright::report
