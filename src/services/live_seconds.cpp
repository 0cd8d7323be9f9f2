// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/live_seconds.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "bakewright/base/units.hpp"
#include "bakewright/report/text.hpp"
#include "bakewright/services/live_outlook.hpp"

namespace bakewright::services {
namespace {

constexpr double kJudgedEveryS = 10.0;  // reading the window of every member is most of the work
constexpr double kKeepsS = 2.0 * tune::kLinearForS;

/// When all zones are cured, kSure of it; kNeverS.
double sure_of_all_s(const std::vector<std::vector<double>>& cured_s) {
    if (cured_s.empty()) return kNeverS;
    std::vector<double> last_s = cured_s.front();
    for (const std::vector<double>& of_zone : cured_s)
        for (std::size_t m = 0; m < last_s.size(); ++m) last_s[m] = std::max(last_s[m], of_zone[m]);
    const double level = sure_level(last_s.size());
    return moment_quantile(std::move(last_s), level).value_or(kNeverS);
}

/// A zone's absolute maximum is passed as a limit without a time is.
cure::HeatSensitiveItem as_item(const std::string& zone, double most_k) {
    cure::HeatSensitiveItem item;
    item.name = zone;
    item.limits.push_back({.temperature_k = most_k});
    return item;
}

}  // namespace

LiveSeconds::LiveSeconds(const StoredBake& bake, const tune::Forecast& forecast, tune::ForecastTraces on, report::LiveState state)
    : coating_(*bake.coating),
      sheet_{coating_, coated_of(bake, forecast), items_of(bake, forecast)},
      window_(coating_),
      state_(std::move(state)),
      forecast_(forecast, std::move(on)) {
    all_cured_s_ = sure_of_all_s(cured_by_zone());
}

std::vector<std::vector<double>> LiveSeconds::cured_by_zone() const {
    std::vector<std::vector<double>> moments_s;
    for (std::size_t zone = 0; zone < sheet_.coated.size(); ++zone)
        moments_s.push_back(cured_s(forecast_.traces(), judged_place(forecast_.traces(), sheet_, zone), window_));
    return moments_s;
}

std::optional<report::LiveState> LiveSeconds::at(const TraceSet& recent) {
    double now_s = forecast_.from_s();
    for (const Trace& trace : recent.traces)
        if (const Trace usable = trace.usable_samples(); usable.size() > 0) now_s = std::max(now_s, usable.time_s.back());
    if (now_s <= state_.now_s || now_s > forecast_.from_s() + tune::kLinearForS) return std::nullopt;
    forecast_.move_to(recent, now_s);
    const bool is_due = !judged_ || now_s <= judged_->now_s || now_s >= judged_->now_s + kJudgedEveryS;
    report::LiveState state = is_due ? state_ : *judged_;
    state.now_s = now_s;
    state.now_at = report::clock_text(state.started_at, now_s);
    state.air_k = band_at(forecast_.traces(), *air_of(forecast_.traces()), now_s);
    for (report::LivePlace& place : state.places)
        if (const auto at = place_of(forecast_.traces(), place.name)) place.now_k = band_at(forecast_.traces(), *at, now_s);
    if (!is_due) return state;
    const std::vector<std::vector<double>> cured_s = cured_by_zone();
    for (report::LivePlace& place : state.places) move_place(place, cured_s, now_s);
    move_heat_off(state, cured_s);
    judged_ = state;
    return state;
}

void LiveSeconds::move_place(report::LivePlace& place, const std::vector<std::vector<double>>& cured_s, double now_s) const {
    const tune::ForecastTraces& traces = forecast_.traces();
    const auto at = place_of(traces, place.name);
    if (!at) return;
    if (place.is_coated) {
        const auto zone =
            static_cast<std::size_t>(std::find(sheet_.coated.begin(), sheet_.coated.end(), place.name) - sheet_.coated.begin());
        place.credit = band_of(credits(traces, judged_place(traces, sheet_, zone), now_s, window_));
        place.good = moment_of(cured_s[zone]);
        if (place.limit && coating_.absolute_maximum_k)
            place.limit = limit_of(place.limit->what, place.limit->temperature_k,
                                   passed_s(traces, *at, as_item(place.name, *coating_.absolute_maximum_k)));
        return;
    }
    const auto item =
        std::find_if(sheet_.items.begin(), sheet_.items.end(), [&](const auto& one) { return one.name == place.name; });
    if (place.limit && item != sheet_.items.end())
        place.limit = limit_of(place.limit->what, place.limit->temperature_k, passed_s(traces, *at, *item));
}

/// Later as soon as a zone is; sooner never so far that a state between two estimates is the first to say "now".
void LiveSeconds::move_heat_off(report::LiveState& state, const std::vector<std::vector<double>>& cured_s) const {
    const double all_s = sure_of_all_s(cured_s);
    if (!state.heat_off || all_cured_s_ == kNeverS) return;
    if (all_s == kNeverS) {
        state.heat_off.reset();
        state.why_no_heat_off = no_heat_off_text(forecast_.traces().time_s.back() - state.now_s);
        return;
    }
    const double later_s = all_s - all_cured_s_, told_s = state.heat_off->off_s;
    const double moved_s = told_s + kSecondPerMinute * std::round(later_s / kSecondPerMinute);
    state.heat_off->off_s = std::max(moved_s, std::min(told_s, state.now_s + kSecondPerMinute));
    if (state.heat_off->all_good_s) *state.heat_off->all_good_s += state.heat_off->off_s - told_s;
}

void add_recent(TraceSet& recent, const TraceSet& fresh) {
    double newest_s = 0.0;
    for (const Trace& trace : fresh.traces) {
        auto known =
            std::find_if(recent.traces.begin(), recent.traces.end(), [&](const Trace& one) { return one.name == trace.name; });
        if (known == recent.traces.end()) known = recent.traces.insert(known, Trace{trace.name, trace.role, {}, {}, {}});
        for (std::size_t i = 0; i < trace.size(); ++i) {
            if (!known->time_s.empty() && trace.time_s[i] <= known->time_s.back()) continue;
            known->time_s.push_back(trace.time_s[i]);
            known->temperature_k.push_back(trace.temperature_k[i]);
            known->quality.push_back(trace.quality.empty() ? SampleQuality::good : trace.quality[i]);
        }
        if (!known->time_s.empty()) newest_s = std::max(newest_s, known->time_s.back());
    }
    for (Trace& trace : recent.traces) {
        const auto old = std::lower_bound(trace.time_s.begin(), trace.time_s.end(), newest_s - kKeepsS) - trace.time_s.begin();
        trace.time_s.erase(trace.time_s.begin(), trace.time_s.begin() + old);
        trace.temperature_k.erase(trace.temperature_k.begin(), trace.temperature_k.begin() + old);
        trace.quality.erase(trace.quality.begin(), trace.quality.begin() + old);
    }
}

}  // namespace bakewright::services
