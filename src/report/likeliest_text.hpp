// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

#include "bakewright/plan/assumptions.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// Of a plan that found no cycle: the one that comes nearest, and how sure it is.
[[nodiscard]] std::string likeliest_sentence(const plan::LikeliestCycle& likeliest, const Units& units);
/// What to settle first to know more, with what each would change.
[[nodiscard]] std::string assumptions_text(const plan::LikeliestCycle& likeliest, const TextOptions& options);

[[nodiscard]] std::string_view assumed_name(plan::Assumed assumed) noexcept;  ///< "air strength", ...
/// What settles it: "hang a strip of paper ...".
[[nodiscard]] std::string_view how_to_settle(plan::Assumed assumed) noexcept;

}  // namespace bakewright::report
