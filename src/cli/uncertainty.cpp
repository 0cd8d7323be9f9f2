#include "uncertainty.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "bakewright/probe/tolerance.hpp"
#include "judging.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

/// Where the tolerance of a class is read: schedules of this trade lie around 60 degC, where every class is flat.
constexpr double kReadAtK = celsius_to_kelvin(60.0);
constexpr double kPredictionStandardK = 1.5;
constexpr double kLeastK = 0.01;

/// "K, IEC 2": a type and a class.
cure::TemperatureUncertainty of_class(const std::string& text) {
    const std::size_t comma = text.find(',');
    const std::string letter = text.substr(0, comma);
    const std::size_t word = comma == std::string::npos ? comma : text.find_first_not_of(' ', comma + 1);
    const auto type = probe::thermocouple_from_name(letter);
    const auto tolerance = word == std::string::npos ? std::nullopt : probe::tolerance_class_from_name(text.substr(word));
    if (!type || !tolerance)
        wrong_option(
            "--probe",
            fmt::format("'{}' is no thermocouple type and class, such as \"K, IEC 2\" or \"T, ASTM special\"; the classes are "
                        "IEC 1, IEC 2, IEC 3, ASTM standard, ASTM special",
                        text));
    const auto limit_k = probe::tolerance_k(*type, *tolerance, kReadAtK);
    if (!limit_k)
        wrong_option("--probe", fmt::format("{} has no tolerance for type {} at 60 °C", probe::tolerance_class_name(*tolerance),
                                            probe::thermocouple_name(*type)));
    return {probe::standard_uncertainty_k(*limit_k),
            fmt::format("thermocouples of type {}, {}, tolerance {:.1f} K", probe::thermocouple_name(*type),
                        probe::tolerance_class_name(*tolerance), *limit_k)};
}

}  // namespace

void describe_uncertainty(Options& options) {
    options.add()("probe", po::value<std::string>()->value_name("TYPE, CLASS"),
                  "thermocouple type and tolerance class of the probes, such as \"K, IEC 2\" (default for a log)")(
        "uncertainty", po::value<std::string>()->value_name("T"),
        "standard uncertainty of the temperatures, such as \"0.5 K\", in place of a class")(
        "members", po::value<std::string>()->value_name("N"),
        "how often a prediction is made anew to tell how sure its verdict is; default 400, 40 to 100000");
}

std::optional<cure::TemperatureUncertainty> asked_uncertainty(const Options& options) {
    if (options.has("probe") && options.has("uncertainty")) wrong_option("--uncertainty", "give either --probe or --uncertainty");
    if (const auto given_k = options.quantity("uncertainty", Dimension::temperature_difference)) {
        if (!(*given_k >= 0.01 && *given_k <= 50.0)) wrong_option("--uncertainty", "accepts 0.01 to 50 K");
        return cure::TemperatureUncertainty{*given_k, "the uncertainty given"};
    }
    if (options.has("probe")) return of_class(options.text("probe"));
    return std::nullopt;
}

cure::TemperatureUncertainty usual_probes() {
    cure::TemperatureUncertainty usual = of_class("K, IEC 2");
    usual.origin += " (common practice; --probe says otherwise)";
    return usual;
}

double probe_standard_k(const StoredBake& bake, const std::string& trace) {
    const probe::ProbeRecord* record = bake.probes ? bake.probes->find(trace) : nullptr;
    const auto known_k = record == nullptr ? std::nullopt : record->standard_uncertainty_k(kReadAtK);
    return std::max(known_k.value_or(usual_probes().standard_k), kLeastK);
}

cure::TemperatureUncertainty recorded_probes(const StoredBake& bake) {
    double largest_k = kLeastK, largest_share = 0.0;
    for (const Trace& trace : bake.traces.traces) {
        if (trace.role == TraceRole::unmapped || trace.role == TraceRole::booth_wall) continue;
        largest_k = std::max(largest_k, probe_standard_k(bake, trace.name));
        const probe::ProbeRecord* record = bake.probes->find(trace.name);
        if (record != nullptr) largest_share = std::max(largest_share, record->air_share);
    }
    std::string origin = fmt::format("the records of the log's probes, '{}', largest standard uncertainty {:.2f} K",
                                     bake.probes->title, largest_k);
    if (largest_share > 0.0)
        origin += fmt::format("; surface probes are taken to read up to {:.0f} % of the way to the air, on the unsafe side",
                              100.0 * largest_share);
    return {largest_k, origin};
}

cure::TemperatureUncertainty usual_model() {
    return {kPredictionStandardK, "a prediction driven by a log's air, good to about 3 K (common practice)"};
}

}  // namespace bakewright::cli
