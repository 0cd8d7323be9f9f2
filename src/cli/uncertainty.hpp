#pragma once

#include <optional>

#include "bakewright/cure/confidence.hpp"
#include "options.hpp"
#include "stored_bake.hpp"

namespace bakewright::cli {

/// What --uncertainty or --probe says; nothing without them. @throws InputError
[[nodiscard]] std::optional<cure::TemperatureUncertainty> asked_uncertainty(const Options& options);

/// Thermocouples of a log where nobody says better: type K, IEC class 2. Common practice.
[[nodiscard]] cure::TemperatureUncertainty usual_probes();

/// Of a prediction that cannot be made anew. Common practice, no source: a third of it is probes, the rest films and links.
[[nodiscard]] cure::TemperatureUncertainty usual_model();

/// Standard uncertainty of one trace of a log by the record of its probe; that of usual probes where it has none [K].
[[nodiscard]] double probe_standard_k(const StoredBake& bake, const std::string& trace);

/// The largest of them, for a bake that has probe records.
[[nodiscard]] cure::TemperatureUncertainty recorded_probes(const StoredBake& bake);

}  // namespace bakewright::cli
