#pragma once

#include <optional>

#include "bakewright/cure/confidence.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// What --uncertainty or --probe says; nothing without them. @throws InputError
[[nodiscard]] std::optional<cure::TemperatureUncertainty> asked_uncertainty(const Options& options);

/// Thermocouples of a log where nobody says better: type K, IEC class 2. Common practice.
[[nodiscard]] cure::TemperatureUncertainty usual_probes();

/// Of a prediction that cannot be made anew. Common practice, no source: a third of it is probes, the rest films and links.
[[nodiscard]] cure::TemperatureUncertainty usual_model();

}  // namespace bakewright::cli
