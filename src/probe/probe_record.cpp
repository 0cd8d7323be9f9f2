#include "bakewright/probe/probe_record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <set>

#include "bakewright/base/units.hpp"
#include "cell.hpp"
#include "time_text.hpp"

namespace bakewright::probe {
namespace {

constexpr std::array<std::string_view, 6> kNames = {"in air", "embedded", "welded", "taped", "clipped", "magnet"};
constexpr double kLargestCorrectionK = 20.0, kLargestShare = 0.5;
constexpr double kColdestPointK = celsius_to_kelvin(-50.0), kHottestPointK = celsius_to_kelvin(400.0);

/// A date of the calendar in its first ten signs; they sort as the days do.
bool is_date(std::string_view text) {
    const TimeText read = read_time(text.substr(0, 10), '.');
    if (text.size() < 10 || !read.readable || read.date != DateShape::year_first) return false;
    return std::chrono::year_month_day(std::chrono::year(read.year), std::chrono::month(static_cast<unsigned>(read.first)),
                                       std::chrono::day(static_cast<unsigned>(read.second)))
        .ok();
}

void check_calibration(const ProbeRecord& probe, const std::string& key, std::vector<Problem>& problems) {
    const auto wrong = [&](const char* what, std::string message) {
        problems.push_back({{}, 0, key + what, std::move(message)});
    };
    const Calibration& calibration = *probe.calibration;
    if (calibration.points.empty()) wrong(".points", "asks for one point at least");
    for (std::size_t i = 0; i < calibration.points.size(); ++i) {
        const CalibrationPoint& point = calibration.points[i];
        if (!(point.temperature_k >= kColdestPointK && point.temperature_k <= kHottestPointK))
            wrong(".points", fmt::format("point {}: the temperature is outside of -50 to 400 degC", i + 1));
        if (!(std::abs(point.correction_k) <= kLargestCorrectionK))
            wrong(".points",
                  fmt::format("point {}: a correction of {:.1f} K is more than the 20 K allowed", i + 1, point.correction_k));
        if (i > 0 && !(point.temperature_k > calibration.points[i - 1].temperature_k))
            wrong(".points", fmt::format("point {}: the temperatures have to rise", i + 1));
    }
    if (!(calibration.expanded_uncertainty_k >= 0.0 && calibration.expanded_uncertainty_k <= kLargestCorrectionK))
        wrong(".uncertainty", "is outside of 0 to 20 K");
    if (!(calibration.coverage_factor >= 1.0 && calibration.coverage_factor <= 4.0))
        wrong(".coverage_factor", "is outside of 1 to 4");
    if (!is_date(probe.calibrated_on)) wrong(".date", fmt::format("'{}' is no date such as 2026-03-02", probe.calibrated_on));
    if (probe.due_on.empty()) return;
    if (!is_date(probe.due_on)) return wrong(".due", fmt::format("'{}' is no date such as 2027-03-02", probe.due_on));
    if (probe.due_on < probe.calibrated_on) wrong(".due", "is before the calibration");
}

void remark_on_due(const ProbeRecord& probe, std::string_view date, std::vector<std::string>& remarks) {
    if (!probe.calibration || probe.due_on.empty()) return;
    if (date.size() < 10)
        remarks.push_back(
            fmt::format("'{}': the log has no date, so it cannot be told whether the calibration, due on {}, was overdue",
                        probe.channel, probe.due_on));
    else if (date.substr(0, 10) > probe.due_on)
        remarks.push_back(
            fmt::format("'{}': the calibration of {} was due again on {} and is overdue; its correction was used all the same",
                        probe.channel, probe.calibrated_on, probe.due_on));
}

/// What a sample would be on the unsafe side; the reading where that is the other side.
double unsafe_k(const Trace& trace, std::size_t i, double air_k, double share) {
    const double reading_k = trace.temperature_k[i], surface_k = (reading_k - share * air_k) / (1.0 - share);
    if (!std::isfinite(surface_k)) return reading_k;
    return trace.role == TraceRole::item ? std::max(reading_k, surface_k) : std::min(reading_k, surface_k);
}

}  // namespace

std::string_view attachment_name(Attachment attachment) noexcept { return kNames[static_cast<std::size_t>(attachment)]; }

std::optional<Attachment> attachment_from_name(std::string_view name) noexcept {
    for (std::size_t i = 0; i < kNames.size(); ++i)
        if (equals_ignoring_case(kNames[i], name)) return static_cast<Attachment>(i);
    return {};
}

double usual_air_share(Attachment attachment) noexcept {
    switch (attachment) {
        case Attachment::welded:
            return 0.01;
        case Attachment::taped:
        case Attachment::clipped:
            return 0.04;
        case Attachment::magnet:
            return 0.16;
        case Attachment::in_air:
        case Attachment::embedded:
            break;
    }
    return 0.0;
}

std::optional<double> ProbeRecord::standard_uncertainty_k(double temperature_k) const {
    if (calibration) return calibration->standard_uncertainty_k();
    if (!tolerance) return {};
    const auto limit_k = tolerance_k(type, *tolerance, temperature_k);
    return limit_k ? std::optional<double>(probe::standard_uncertainty_k(*limit_k)) : std::nullopt;
}

const ProbeRecord* ProbeSet::find(std::string_view channel) const noexcept {
    for (const ProbeRecord& probe : probes)
        if (probe.channel == channel) return &probe;
    return nullptr;
}

std::vector<Problem> problems_in(const ProbeSet& set) {
    std::vector<Problem> problems;
    std::set<std::string> channels;
    for (std::size_t i = 0; i < set.probes.size(); ++i) {
        const ProbeRecord& probe = set.probes[i];
        const std::string key = fmt::format("probe[{}]", i + 1);
        if (probe.channel.empty()) problems.push_back({{}, 0, key + ".channel", "is empty; it names a channel of the log"});
        if (!channels.insert(probe.channel).second)
            problems.push_back({{}, 0, key + ".channel", fmt::format("'{}' has a probe already", probe.channel)});
        if (!(probe.air_share >= 0.0 && probe.air_share <= kLargestShare))
            problems.push_back(
                {{}, 0, key + ".air_share", fmt::format("is {}, allowed 0 to {}", probe.air_share, kLargestShare)});
        if (probe.calibration) check_calibration(probe, key + ".calibration", problems);
        if (!probe.calibration && !probe.tolerance)
            problems.push_back(
                {{}, 0, key, "tells neither tolerance nor calibration; one of them has to say how far it may be off"});
    }
    return problems;
}

ProbeUse apply_probes(TraceSet& traces, const ProbeSet& set, std::string_view date) {
    ProbeUse use;
    for (const ProbeRecord& probe : set.probes) {
        const auto at = std::find_if(traces.traces.begin(), traces.traces.end(),
                                     [&](const Trace& trace) { return trace.name == probe.channel; });
        if (at == traces.traces.end()) {
            use.remarks.push_back(fmt::format("the record of probe '{}' belongs to no channel of the log", probe.channel));
            continue;
        }
        if (probe.calibration) {
            *at = corrected(std::move(*at), *probe.calibration);
            use.corrected.push_back(probe.channel);
        }
        remark_on_due(probe, date, use.remarks);
    }
    for (const Trace& trace : traces.traces)
        if (set.find(trace.name) == nullptr) use.remarks.push_back(fmt::format("channel '{}' has no probe record", trace.name));
    return use;
}

TraceSet unsafe_readings(const TraceSet& traces, const ProbeSet& set) {
    TraceSet out = traces;
    const Trace* air = traces.first(TraceRole::booth_air);
    if (air == nullptr) return out;
    const Trace known_air = air->usable_samples();
    for (Trace& trace : out.traces) {
        const ProbeRecord* probe = set.find(trace.name);
        const bool on_a_surface =
            trace.role == TraceRole::zone || trace.role == TraceRole::test_panel || trace.role == TraceRole::item;
        if (probe == nullptr || !on_a_surface || !(probe->air_share > 0.0)) continue;
        for (std::size_t i = 0; i < trace.size(); ++i)
            trace.temperature_k[i] = unsafe_k(trace, i, temperature_at_k(known_air, trace.time_s[i]), probe->air_share);
    }
    return out;
}

}  // namespace bakewright::probe
