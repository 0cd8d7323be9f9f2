#include "bakewright/shop/probe_uncertainty.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <limits>

#include "bakewright/base/error.hpp"
#include "bakewright/probe/tolerance.hpp"

namespace bakewright::shop {
namespace {

/// Where the tolerance of a class is read: schedules of this trade lie around 60 degC, where every class is flat.
constexpr double kReadAtK = celsius_to_kelvin(60.0);
constexpr double kPredictionStandardK = 1.5;
constexpr double kLeastK = 0.01;
constexpr double kCoverage = 2.0;  // as certificates state it: about 95 %

}  // namespace

cure::TemperatureUncertainty probes_of_class(const std::string& text, const std::string& option) {
    const std::size_t comma = text.find(',');
    const std::string letter = text.substr(0, comma);
    const std::size_t word = comma == std::string::npos ? comma : text.find_first_not_of(' ', comma + 1);
    const auto type = value_of_word<probe::ThermocoupleType>(letter);
    const auto tolerance = word == std::string::npos ? std::nullopt : value_of_word<probe::ToleranceClass>(text.substr(word));
    if (!type || !tolerance)
        refuse_option(
            option,
            fmt::format("'{}' is no thermocouple type and class, such as \"K, IEC 2\" or \"T, ASTM special\"; the classes are "
                        "IEC 1, IEC 2, IEC 3, ASTM standard, ASTM special",
                        text));
    const auto limit_k = probe::tolerance_k(*type, *tolerance, kReadAtK);
    if (!limit_k)
        refuse_option(option, fmt::format("{} has no tolerance for type {} at 60 °C", word_of(*tolerance), word_of(*type)));
    return {probe::standard_uncertainty_k(*limit_k),
            fmt::format("thermocouples of type {}, {}, tolerance {:.1f} K", word_of(*type), word_of(*tolerance), *limit_k)};
}

cure::TemperatureUncertainty usual_probes() {
    cure::TemperatureUncertainty usual = probes_of_class("K, IEC 2", "--probe");
    usual.origin += " (common practice; --probe says otherwise)";
    return usual;
}

double probe_standard_k(const StoredBake& bake, const std::string& trace) {
    const probe::ProbeRecord* record = bake.probes ? bake.probes->find(trace) : nullptr;
    const auto known_k = record == nullptr ? std::nullopt : record->standard_uncertainty_k(kReadAtK);
    return std::max(known_k.value_or(usual_probes().standard_k), kLeastK);
}

double probe_tolerance_k(const StoredBake& bake, const std::string& trace) {
    const probe::ProbeRecord* record = bake.probes ? bake.probes->find(trace) : nullptr;
    const double standard_k = probe_standard_k(bake, trace);
    const bool is_calibrated = record != nullptr && record->calibration;
    return is_calibrated ? kCoverage * standard_k : probe::tolerance_of_standard_k(standard_k);
}

std::string recorded_probes_origin(const StoredBake& bake) {
    double smallest_k = std::numeric_limits<double>::infinity(), largest_k = kLeastK, largest_share = 0.0;
    for (const Trace& trace : bake.traces.traces) {
        if (trace.role == TraceRole::unmapped || trace.role == TraceRole::booth_wall) continue;
        const double standard_k = probe_standard_k(bake, trace.name);
        smallest_k = std::min(smallest_k, standard_k);
        largest_k = std::max(largest_k, standard_k);
        const probe::ProbeRecord* record = bake.probes->find(trace.name);
        if (record != nullptr) largest_share = std::max(largest_share, record->air_share);
    }
    std::string origin = fmt::format("the records of the log's probes, '{}', ", bake.probes->title);
    if (smallest_k < largest_k - 0.005)
        origin += fmt::format("each with its own standard uncertainty, {:.2f} to {:.2f} K", smallest_k, largest_k);
    else
        origin += fmt::format("standard uncertainty {:.2f} K", largest_k);
    if (largest_share > 0.0)
        origin += fmt::format("; surface probes are taken to read up to {:.0f} % of the way to the air, on the unsafe side",
                              100.0 * largest_share);
    return origin;
}

cure::TemperatureUncertainty usual_model() {
    return {kPredictionStandardK, "a prediction driven by a log's air, good to about 3 K (common practice)"};
}

}  // namespace bakewright::shop
