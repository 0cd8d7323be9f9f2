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

/// What one trace of a log may be off by the record of its probe [K]: the tolerance of its class, or twice the standard
/// uncertainty of its calibration; the tolerance of usual probes where it has none.
[[nodiscard]] double probe_tolerance_k(const StoredBake& bake, const std::string& trace);

/// What the uncertainties of a log with probe records rest on, for people, with the smallest and the largest of them.
[[nodiscard]] std::string recorded_probes_origin(const StoredBake& bake);

}  // namespace bakewright::shop
