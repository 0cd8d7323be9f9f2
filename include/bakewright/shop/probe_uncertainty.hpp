#pragma once

#include <string>

#include "bakewright/cure/confidence.hpp"
#include "bakewright/shop/stored_bake.hpp"

namespace bakewright::shop {

/// Thermocouples of a type and class, such as "K, IEC 2". @throws InputError that names the option
[[nodiscard]] cure::TemperatureUncertainty probes_of_class(const std::string& text, const std::string& option);

/// Thermocouples of a log where nobody says better: type K, IEC class 2. Common practice.
[[nodiscard]] cure::TemperatureUncertainty usual_probes();

/// Of a prediction that cannot be made anew. Common practice, no source: a third of it is probes, the rest films and links.
[[nodiscard]] cure::TemperatureUncertainty usual_model();

/// Standard uncertainty of one trace of a log by the record of its probe; that of usual probes where it has none [K].
[[nodiscard]] double probe_standard_k(const StoredBake& bake, const std::string& trace);

/// The largest of them, for a bake that has probe records.
[[nodiscard]] cure::TemperatureUncertainty recorded_probes(const StoredBake& bake);

}  // namespace bakewright::shop
