#pragma once

#include <vector>

#include "answers.hpp"
#include "bakewright/cure/coating.hpp"

namespace bakewright::page {

/// The straight lines of a chart: rows of the coating's schedule (`kind` `cure`, `temperature_k`, `minimum_s`), its absolute
/// maximum (`maximum`) and the limits of items (`item`, `name`, `allowed_s`).
[[nodiscard]] Json chart_lines(const std::optional<cure::Coating>& coating, const std::vector<cure::HeatSensitiveItem>& items);

}  // namespace bakewright::page
