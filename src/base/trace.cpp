// SPDX-License-Identifier: Apache-2.0
#include "bakewright/base/trace.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <unordered_set>

#include "bakewright/base/error.hpp"

namespace bakewright {
namespace {

constexpr std::array<std::string_view, 7> kRoleNames = {"booth_air", "booth_wall", "zone",    "cavity_air",
                                                        "item",      "test_panel", "unmapped"};
constexpr std::array<std::string_view, 7> kQualityNames = {"good",  "missing", "open_circuit", "out_of_range",
                                                           "spike", "stuck",   "clipped"};
constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

double usable_temperature_k(const Trace& trace, std::size_t index) {
    return trace.usable(index) ? trace.temperature_k[index] : kNone;
}

}  // namespace

std::string_view trace_role_name(TraceRole role) noexcept {
    const auto index = static_cast<std::size_t>(role);
    return index < kRoleNames.size() ? kRoleNames[index] : "unmapped";
}

std::optional<TraceRole> trace_role_from_name(std::string_view name) noexcept {
    const auto found = std::find(kRoleNames.begin(), kRoleNames.end(), name);
    if (found == kRoleNames.end()) return std::nullopt;
    return static_cast<TraceRole>(found - kRoleNames.begin());
}

std::string_view sample_quality_name(SampleQuality quality) noexcept {
    const auto index = static_cast<std::size_t>(quality);
    return index < kQualityNames.size() ? kQualityNames[index] : "unknown";
}

bool Trace::usable(std::size_t index) const noexcept {
    if (index >= temperature_k.size() || !std::isfinite(temperature_k[index])) return false;
    return quality.empty() || (index < quality.size() && quality[index] == SampleQuality::good);
}

Trace Trace::usable_samples() const {
    Trace kept{.name = name, .role = role, .time_s = {}, .temperature_k = {}, .quality = {}};
    kept.time_s.reserve(size());
    kept.temperature_k.reserve(size());
    for (std::size_t i = 0; i < size(); ++i) {
        if (!usable(i)) continue;
        kept.time_s.push_back(time_s[i]);
        kept.temperature_k.push_back(temperature_k[i]);
    }
    return kept;
}

void Trace::ensure_well_formed() const {
    // Thousands of traces are looked at for one plan: words are put together for one that is wrong alone.
    const auto ensure_of = [&](bool holds, const char* of, const char* what) {
        if (!holds) ensure(false, fmt::format("{} '{}' {}", of, name, what));
    };
    ensure_of(temperature_k.size() == time_s.size(), "trace", "has one temperature for each time");
    ensure_of(quality.empty() || quality.size() == time_s.size(), "trace", "has one quality for each time, or none");
    bool finite = true, increasing = true;
    double before_s = -std::numeric_limits<double>::infinity();
    for (const double time : time_s) {
        finite = finite && std::isfinite(time);
        increasing = increasing && time > before_s;
        before_s = time;
    }
    ensure_of(finite, "the times of trace", "are finite");
    ensure_of(increasing, "the times of trace", "increase");
}

double temperature_at_k(const Trace& trace, double time_s) {
    const auto at_or_after = std::lower_bound(trace.time_s.begin(), trace.time_s.end(), time_s);
    if (at_or_after == trace.time_s.end()) return kNone;
    const auto right = static_cast<std::size_t>(at_or_after - trace.time_s.begin());
    if (*at_or_after == time_s) return usable_temperature_k(trace, right);
    if (right == 0) return kNone;
    const double left_k = usable_temperature_k(trace, right - 1);
    const double right_k = usable_temperature_k(trace, right);
    const double fraction = (time_s - trace.time_s[right - 1]) / (trace.time_s[right] - trace.time_s[right - 1]);
    return left_k + fraction * (right_k - left_k);  // std::lerp would swallow a NaN
}

const Trace* TraceSet::find(std::string_view name) const noexcept {
    for (const Trace& trace : traces)
        if (trace.name == name) return &trace;
    return nullptr;
}

const Trace* TraceSet::first(TraceRole role) const noexcept {
    for (const Trace& trace : traces)
        if (trace.role == role) return &trace;
    return nullptr;
}

double TraceSet::end_s() const noexcept {
    bool found = false;
    double latest_s = 0.0;
    for (const Trace& trace : traces) {
        if (trace.time_s.empty()) continue;
        latest_s = found ? std::max(latest_s, trace.time_s.back()) : trace.time_s.back();
        found = true;
    }
    return latest_s;
}

void TraceSet::ensure_well_formed() const {
    std::unordered_set<std::string_view> names;
    for (const Trace& trace : traces) {
        trace.ensure_well_formed();
        ensure(names.insert(trace.name).second, "trace names are unique, '" + trace.name + "' is there twice");
    }
}

}  // namespace bakewright
