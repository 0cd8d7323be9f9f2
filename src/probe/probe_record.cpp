// SPDX-License-Identifier: Apache-2.0
#include "bakewright/probe/probe_record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <set>

#include "bakewright/base/fields.hpp"
#include "cell.hpp"
#include "time_text.hpp"

namespace bakewright::probe {
namespace {

/// A date of the calendar in its first ten signs; they sort as the days do.
bool is_date(std::string_view text) {
    const TimeText read = read_time(text.substr(0, 10), '.');
    if (text.size() < 10 || !read.readable || read.date != DateShape::year_first) return false;
    return std::chrono::year_month_day(std::chrono::year(read.year), std::chrono::month(static_cast<unsigned>(read.first)),
                                       std::chrono::day(static_cast<unsigned>(read.second)))
        .ok();
}

void check_calibration(FieldCheck& check, const ProbeRecord& probe, const std::string& key) {
    const std::vector<CalibrationPoint>& points = probe.calibration->points;
    if (points.empty()) check.add(key + ".points", "asks for one point at least");
    for (std::size_t i = 1; i < points.size(); ++i)
        if (!(points[i].temperature_k > points[i - 1].temperature_k))
            check.add(fmt::format("{}.points[{}].temperature", key, i),
                      "is not above the point before it: temperatures have to rise");
    if (!is_date(probe.calibrated_on))
        check.add(key + ".date", fmt::format("'{}' is not a date such as 2026-03-02", probe.calibrated_on));
    if (probe.due_on.empty()) return;
    if (!is_date(probe.due_on))
        return check.add(key + ".due", fmt::format("'{}' is not a date such as 2027-03-02", probe.due_on));
    if (probe.due_on < probe.calibrated_on) check.add(key + ".due", "is before the calibration");
}

void visit_calibration(ProbeRecord& record, Fields& see) {
    if (!record.calibration) record.calibration.emplace();
    Calibration& calibration = *record.calibration;
    see({.key = "date", .need = Need::required, .what = "date such as `2026-03-02`"}, record.calibrated_on);
    see({.key = "due", .what = "date of the next calibration", .rule = "not before `date`"}, record.due_on);
    see({.key = "uncertainty",
         .unit = unit::k,
         .range = {0.0, 20.0},
         .need = Need::required,
         .what = "expanded uncertainty of the certificate"},
        calibration.expanded_uncertainty_k);
    see({.key = "coverage_factor", .range = {1.0, 4.0}, .what = "number", .source = "about 95 %"}, calibration.coverage_factor);
    see.list({.key = "points",
              .need = Need::required,
              .what = "rows, straight lines between, steady beyond",
              .rule = "rising temperature"},
             calibration.points);
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

void visit_fields(CalibrationPoint& point, Fields& see) {
    see({.key = "temperature", .unit = unit::deg_c, .range = {-50.0, 400.0}, .need = Need::required, .what = "temperature"},
        point.temperature_k);
    see({.key = "correction",
         .unit = unit::k,
         .range = {-20.0, 20.0},
         .need = Need::required,
         .what = "temperature difference, added to a reading"},
        point.correction_k);
}

void visit_fields(ProbeRecord& record, Fields& see) {
    see.name({.key = "channel", .need = Need::required, .what = "name of the channel in the log", .rule = "each once"},
             record.channel);
    see({.key = "id", .what = "what is written on the probe"}, record.id);
    see({.key = "type", .need = Need::required, .what = "letter of the thermocouple"}, record.type);
    see({.key = "class", .what = "what it was bought to", .needed = "without calibration"}, record.tolerance);
    see({.key = "attachment", .need = Need::required, .what = "how it is held"}, record.attachment);
    const bool is_stated = see({.key = "air_share",
                                .range = {0.0, 0.5},
                                .what = "number: at most this share of the way from the surface to the air is read",
                                .otherwise = "by attachment: 0, 0, 0.01, 0.04, 0.04, 0.16"},
                               record.air_share);
    if (!is_stated) record.air_share = usual_air_share(record.attachment);
    see.optional_table({.key = "calibration", .what = "what its calibration found", .is_section = true},
                       record.calibration.has_value(), [&] { visit_calibration(record, see); });
}

void visit_fields(ProbeSet& set, Fields& see) {
    see.list({.key = "probe", .need = Need::required, .what = "the probes", .is_section = true}, set.probes);
}

std::vector<Problem> problems_in(const ProbeSet& set) {
    FieldCheck check;
    check.check(set);
    std::set<std::string> channels;
    for (std::size_t i = 0; i < set.probes.size(); ++i) {
        const ProbeRecord& probe = set.probes[i];
        const std::string key = fmt::format("probe[{}]", i);
        if (probe.channel.empty()) check.add(key + ".channel", "is empty; it names a channel of the log");
        if (!channels.insert(probe.channel).second)
            check.add(key + ".channel", fmt::format("'{}' has a probe already", probe.channel));
        if (probe.calibration) check_calibration(check, probe, key + ".calibration");
        if (!probe.calibration && !probe.tolerance)
            check.add(key, "tells neither tolerance nor calibration; one of them has to say how far it may be off");
    }
    return check.take();
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
