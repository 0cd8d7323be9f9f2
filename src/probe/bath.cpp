// SPDX-License-Identifier: Apache-2.0
#include "bakewright/probe/bath.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "bakewright/base/error.hpp"
#include "bakewright/base/format.hpp"
#include "bakewright/base/units.hpp"

namespace bakewright::probe {
namespace {

constexpr std::size_t kFewestInBath = 5;
constexpr double kExpandedBy = 2.0;

struct Stay {
    double mean_k = 0.0, scatter_k = 0.0, from_s = 0.0;
};

/// Mean and scatter of the samples from `first` on that span kBathStayS; nothing where they do not.
std::optional<Stay> stay_from(const Trace& usable, std::size_t first) {
    std::size_t end = first;
    while (end < usable.size() && usable.time_s[end] < usable.time_s[first] + kBathStayS) ++end;
    if (end == usable.size() || end - first + 1 < kFewestInBath) return std::nullopt;
    const double count = static_cast<double>(end - first + 1);
    double sum_k = 0.0, squares_k2 = 0.0;
    for (std::size_t i = first; i <= end; ++i) sum_k += usable.temperature_k[i] / count;
    for (std::size_t i = first; i <= end; ++i) squares_k2 += std::pow(usable.temperature_k[i] - sum_k, 2);
    return Stay{sum_k, std::sqrt(squares_k2 / (count - 1.0)), usable.time_s[first]};
}

std::optional<Stay> steadiest_in(const Trace& usable, const Bath& bath, double within_k) {
    std::optional<Stay> best;
    for (std::size_t first = 0; first < usable.size(); ++first) {
        if (std::abs(usable.temperature_k[first] - bath.temperature_k) > within_k + 1.0) continue;
        const std::optional<Stay> stay = stay_from(usable, first);
        if (!stay || std::abs(stay->mean_k - bath.temperature_k) > within_k) continue;
        if (!best || stay->scatter_k < best->scatter_k) best = stay;
    }
    return best;
}

void refuse_baths(const std::vector<Bath>& baths) {
    if (baths.empty()) throw InputError(Problem{{}, 0, "baths", "are missing: name at least one"});
    for (const Bath& one : baths)
        for (const Bath& other : baths)
            if (&one != &other && std::abs(one.temperature_k - other.temperature_k) < 2.0 * kFarthestOffK)
                throw InputError(
                    Problem{{}, 0, "baths", "are less than 10 K apart, so that nobody can tell which a probe is in"});
}

}  // namespace

Bath ice_bath() { return {"ice", celsius_to_kelvin(0.0), 0.1}; }

Bath warm_bath(double temperature_k, double standard_k) { return {"warm", temperature_k, standard_k}; }

Bath boiling_bath(double altitude_m) {
    constexpr double kBoilingK = 373.124, kGasConstant = 8.314462618, kLatentJPerMol = 40660.0, kWeatherK = 0.4;
    const double log_pressure = 5.25588 * std::log1p(-2.25577e-5 * altitude_m);
    return {"boiling", 1.0 / (1.0 / kBoilingK - kGasConstant / kLatentJPerMol * log_pressure), kWeatherK};
}

double BathReading::standard_k() const noexcept { return std::hypot(bath.standard_k, scatter_k); }

BathCalibration read_baths(const TraceSet& traces, const std::vector<Bath>& baths) {
    refuse_baths(baths);
    BathCalibration made;
    for (const Trace& trace : traces.traces) {
        const Trace usable = trace.usable_samples();
        std::size_t found = 0;
        for (const Bath& bath : baths) {
            const std::optional<Stay> stay = steadiest_in(usable, bath, kFarthestOffK);
            if (!stay || stay->scatter_k > kMostBathScatterK) continue;
            ++found;
            made.readings.push_back({trace.name, bath, stay->mean_k, stay->scatter_k, stay->from_s});
        }
        if (found == 0)
            made.left_out.push_back(fmt::format(
                "'{}' was in no bath for {}, steady within 0.3 K and less than 5 K off: look at it, or leave it longer",
                trace.name, format_duration(kBathStayS)));
    }
    return made;
}

ProbeSet calibrated(ProbeSet set, const BathCalibration& found, const std::string& date) {
    for (const BathReading& reading : found.readings) {
        auto known = std::find_if(set.probes.begin(), set.probes.end(),
                                  [&](const ProbeRecord& one) { return one.channel == reading.channel; });
        if (known == set.probes.end()) {
            ProbeRecord fresh;
            fresh.channel = reading.channel;
            fresh.air_share = usual_air_share(fresh.attachment);
            set.probes.push_back(std::move(fresh));
            known = set.probes.end() - 1;
        }
        if (!known->calibration || known->calibrated_on != date) known->calibration = Calibration{{}, 0.0, kExpandedBy};
        known->calibrated_on = date;
        known->due_on.clear();
        Calibration& calibration = *known->calibration;
        calibration.points.push_back({reading.bath.temperature_k, reading.correction_k()});
        std::sort(calibration.points.begin(), calibration.points.end(),
                  [](const CalibrationPoint& a, const CalibrationPoint& b) { return a.temperature_k < b.temperature_k; });
        calibration.expanded_uncertainty_k = std::max(calibration.expanded_uncertainty_k, kExpandedBy * reading.standard_k());
    }
    if (set.id.empty()) set.id = "calibrated_probes";
    if (set.title.empty()) set.title = "probes calibrated in baths on " + date;
    return set;
}

}  // namespace bakewright::probe
