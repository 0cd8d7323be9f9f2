#pragma once

#include <vector>

#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/verdict.hpp"

namespace bakewright::cure {

/// Warnings about the wait before heat: none, or one.
/// @param heat_on_s  when the heat came on
[[nodiscard]] std::vector<HeatWarning> flash_off_warnings(double heat_on_s, const Coating& coating);

/// A warning where a coated face rose faster than the sheet allows before it first reached the schedule's temperature: by then
/// the solvent has left (common practice, no source). Over spans of one minute.
[[nodiscard]] std::vector<HeatWarning> heating_rate_warnings(const Trace& face, const Coating& coating);

/// By kind, then the worst first, then by name.
void sort_warnings(std::vector<HeatWarning>& warnings);

}  // namespace bakewright::cure
