// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/plan/probe_places.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// "rear_cap"; "battery (weakest item)"; "booth air, high".
[[nodiscard]] std::string place_words(const plan::ProbePlace& place);
/// "Best places for probes: ...; together they take away 71 % of the doubt about the hold." with those for safety.
[[nodiscard]] std::string places_sentence(const plan::ProbePlaces& places);
/// "4 probes calibrated to 0.3 K tell as much as 11 as they are."; empty where nothing can be said.
[[nodiscard]] std::string calibration_sentence(const plan::ProbePlaces& places, const Units& units);
/// Both sentences, the places one after the other with what they tell, and what each would tell were it the next.
[[nodiscard]] std::string places_text(const plan::ProbePlaces& places, const TextOptions& options);

/// `zone`, `strip_of`, `reason`, `share` of a list.
[[nodiscard]] Json places_json(const std::vector<plan::ProbePlace>& places);
[[nodiscard]] Json document_of(const plan::ProbePlaces& places);

}  // namespace bakewright::report
