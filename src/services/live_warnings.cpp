// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/live_warnings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "bakewright/base/format.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/cure/required_time.hpp"
#include "bakewright/report/estimate_text.hpp"

namespace bakewright::services {
namespace {

using report::LiveWarning;
using report::LiveWarningKind;

// Common practice, no source, all of them.
constexpr double kLimitNearS = 900.0;  // a limit is near where one simulated bake in twenty passes it within so long
constexpr double kLateS = 180.0;       // the heat, after it is due
constexpr double kOffSetK = 4.0;       // of the air, on a hold
constexpr double kStuckOverS = 300.0;  // a ramp that stands still
constexpr double kHighLimitNearK = 3.0;
constexpr double kBehindS = 120.0;  // a zone, after the cycle's end

std::string minutes_text(double seconds) { return fmt::format("{:.0f} min", std::max(0.0, std::round(seconds / 60.0))); }

class Warnings {
public:
    explicit Warnings(const LiveFindings& findings) : found_(findings), state_(findings.state) {}

    std::vector<LiveWarning> run() {
        add_limits();
        add_heating_rates();
        add_probes();
        add_booth();
        if (state_.is_known) add_behind();
        if (state_.is_known) add_done();
        std::stable_sort(warnings_.begin(), warnings_.end(),
                         [](const LiveWarning& one, const LiveWarning& other) { return one.kind < other.kind; });
        return std::move(warnings_);
    }

private:
    void add(LiveWarningKind kind, std::string subject, Phrase says, std::string to_do) {
        warnings_.push_back({kind, std::move(subject), state_.now_s, {}, std::move(says), std::move(to_do)});
    }
    [[nodiscard]] bool is_cooling() const { return state_.phase == bake::StageKind::cool; }

    void add_limits() {
        for (const report::LivePlace& place : state_.places) {
            if (!place.limit || !place.limit->earliest_s) continue;
            const double left_s = *place.limit->earliest_s - state_.now_s;
            if (left_s > kLimitNearS) continue;
            const bool is_past = left_s <= 0.0;
            add(LiveWarningKind::limit_near, place.name,
                Phrase::place(place.name)
                    .add(is_past ? fmt::format(" may be past its limit of {} now", place.limit->what)
                                 : fmt::format(" may pass its limit of {} in {}", place.limit->what, minutes_text(left_s))),
                is_cooling() ? "Open the booth if the paint allows it" : "Turn the heat down or off, or shield it from the air");
        }
    }

    void add_heating_rates() {
        if (!found_.coating.largest_heating_rate_k_per_s) return;
        for (const report::LivePlace& place : state_.places) {
            const Trace* face = found_.likeliest.find(place.name);
            if (!place.is_coated || face == nullptr || face->size() < 2) continue;
            // Over once the film has closed: what was too fast stays in the verdict.
            const double now_k = face->temperature_k.back();
            if (now_k >= cure::reference_row(found_.coating).temperature_k || is_cooling()) continue;
            const auto now = tune::slope_before(*face, state_.now_s, cure::kHeatingRateSpanS);
            if (!now || *now <= *found_.coating.largest_heating_rate_k_per_s) continue;
            add(LiveWarningKind::heating_too_fast, place.name,
                Phrase::place(place.name)
                    .add(fmt::format(" heats at {}, the sheet allows {}", format_heating_rate(*now, Units{}),
                                     format_heating_rate(*found_.coating.largest_heating_rate_k_per_s, Units{}))),
                "Hold the set point where it is until the film has closed");
        }
    }

    void add_probes() {
        double newest_s = -1e9;
        for (const Trace& trace : found_.log.traces)
            if (const Trace usable = trace.usable_samples(); usable.size() > 0)
                newest_s = std::max(newest_s, usable.time_s.back());
        for (const Trace& trace : found_.log.traces) {
            const Trace usable = trace.usable_samples();
            if (usable.size() == 0 || newest_s - usable.time_s.back() < kLostProbeS) continue;
            add(LiveWarningKind::probe_fault, trace.name,
                Phrase("Probe lost: no reading of ")
                    .add_place(trace.name)
                    .add(" for " + minutes_text(newest_s - usable.time_s.back())),
                trace.role == TraceRole::booth_air ? "Look at its plug first: without the booth's air nothing is foretold"
                                                   : "Look at its plug; its place is estimated from the others meanwhile");
        }
        for (const tune::ChannelFinding& channel : found_.channels)
            if (channel.fault)
                add(LiveWarningKind::probe_fault, channel.channel, report::fault_question(channel, Units{}),
                    "It is left out of the estimate from there; press it on again or replace it");
    }

    void add_booth() {
        if (found_.phases.empty()) return;
        const tune::PhaseSpan& phase = found_.phases.back();
        const Trace* air = found_.log.first(TraceRole::booth_air);
        if (air == nullptr) return;
        const auto now_k = tune::mean_before(*air, state_.now_s, 60.0);
        const bool is_unheated = phase.kind == bake::StageKind::flash_off || phase.kind == bake::StageKind::purge;
        if (is_unheated && found_.heat_due_s && state_.now_s > *found_.heat_due_s + kLateS)
            add(LiveWarningKind::off_cycle, {},
                fmt::format("The heat is not on: the cycle has it come on {} ago",
                            minutes_text(state_.now_s - *found_.heat_due_s)),
                "Look at the burner; the times told here count from when it comes on");
        if (!now_k) return;
        const auto slope = tune::slope_before(*air, state_.now_s, kStuckOverS);
        if (phase.kind == bake::StageKind::ramp && state_.setpoint_k && state_.now_s - phase.from_s > kStuckOverS && slope &&
            *slope < tune::kLevelKPerS && *now_k < *state_.setpoint_k - kOffSetK)
            add(LiveWarningKind::off_cycle, {},
                fmt::format("The air stands still at {} under its set point of {}", format_temperature(*now_k, Units{}),
                            format_temperature(*state_.setpoint_k, Units{})),
                "Look at the burner and the doors");
        if (phase.kind == bake::StageKind::hold && state_.setpoint_k && std::abs(*now_k - *state_.setpoint_k) > kOffSetK)
            add(LiveWarningKind::off_cycle, {},
                fmt::format("The air is at {}, set is {}", format_temperature(*now_k, Units{}),
                            format_temperature(*state_.setpoint_k, Units{})),
                *now_k > *state_.setpoint_k ? "Turn the set point down if it stays so" : "Look at the burner and the doors");
        if (found_.high_limit_k && *now_k > *found_.high_limit_k - kHighLimitNearK)
            add(LiveWarningKind::off_cycle, "high limit",
                fmt::format("The air is at {}, the booth's high limit trips at {}", format_temperature(*now_k, Units{}),
                            format_temperature(*found_.high_limit_k, Units{})),
                "Turn the set point down; the burner will trip otherwise");
    }

    void add_behind() {
        if (!state_.cycle_off_s || is_cooling()) return;
        for (const report::LivePlace& place : state_.places) {
            if (!place.is_coated || place.is_good) continue;
            const double late_s = place.good.median_s.value_or(1e9) - *state_.cycle_off_s;
            if (late_s < kBehindS) continue;
            add(LiveWarningKind::zone_behind, place.name,
                Phrase::place(place.name)
                    .add(place.good.median_s ? fmt::format(" will be good {} after the cycle ends", minutes_text(late_s))
                                             : " will not be good by this cycle, however long it is held as it is"),
                place.good.median_s ? "Hold longer, or raise the set point if all limits allow it"
                                    : "Raise the set point if all limits allow it; else plan another bake");
        }
    }

    void add_done() {
        if (state_.off_now && state_.off_now->word == cure::Word::good && !is_cooling())
            add(LiveWarningKind::heat_can_go_off, {},
                fmt::format("All good: heat can go off, {:.0f} %", std::floor(100.0 * state_.off_now->chance)),
                "Turn the heat off; doors stay shut as the booth's own rules say");
        if (!is_cooling() || state_.places.empty()) return;
        const bool all_cool = std::all_of(state_.places.begin(), state_.places.end(),
                                          [](const report::LivePlace& place) { return place.now_k.high < report::kCoolK; });
        if (all_cool)
            add(LiveWarningKind::cool, {}, fmt::format("All estimated below {}", format_temperature(report::kCoolK, Units{}, 0)),
                "Test before you touch");
    }

    const LiveFindings& found_;
    const report::LiveState& state_;
    std::vector<LiveWarning> warnings_;
};

}  // namespace

std::vector<LiveWarning> standing_warnings(const LiveFindings& findings) { return Warnings(findings).run(); }

std::vector<LiveWarning> WarningBoard::take(std::vector<LiveWarning> standing, double now_s) {
    std::vector<LiveWarning> changes;
    for (Raised& raised : raised_) {
        const auto again = std::find_if(standing.begin(), standing.end(), [&](const LiveWarning& one) {
            return one.kind == raised.warning.kind && one.subject == raised.warning.subject;
        });
        if (again == standing.end()) {
            ++raised.missed;
            continue;
        }
        raised.missed = 0;
        raised.warning.says = again->says;  // minutes left go on
        raised.warning.to_do = again->to_do;
        standing.erase(again);
    }
    for (Raised& raised : raised_)
        if (raised.missed >= 2) {
            raised.warning.cleared_s = now_s;
            changes.push_back(raised.warning);
        }
    std::erase_if(raised_, [](const Raised& one) { return one.warning.cleared_s.has_value(); });
    for (LiveWarning& fresh : standing) {
        fresh.since_s = now_s;
        changes.push_back(fresh);
        raised_.push_back({std::move(fresh), 0});
    }
    return changes;
}

std::vector<LiveWarning> WarningBoard::standing() const {
    std::vector<LiveWarning> all;
    for (const Raised& raised : raised_) all.push_back(raised.warning);
    std::stable_sort(all.begin(), all.end(),
                     [](const LiveWarning& one, const LiveWarning& other) { return one.kind < other.kind; });
    return all;
}

}  // namespace bakewright::services
