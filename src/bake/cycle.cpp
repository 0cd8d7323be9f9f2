// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/cycle.hpp"

#include <fmt/format.h>

#include <cmath>

namespace bakewright::bake {
namespace {

std::string stage_key(std::size_t index, const char* key) { return fmt::format("stage[{}].{}", index, key); }

double temperature_c(double temperature_k) { return kelvin_to_celsius(temperature_k); }

void check_stage(FieldCheck& check, const Stage& stage, std::size_t i) {
    if (stage.duration_s && stage.rate_k_per_s)
        check.add(stage_key(i, "rate"), "stands beside a duration: give a stage one of the two, the other follows");
    if (!stage.duration_s && !stage.rate_k_per_s)
        check.add(stage_key(i, "duration"), "is missing: give the stage a duration, or for ramp and cool a rate");
    if (stage.rate_k_per_s && stage.kind != StageKind::ramp && stage.kind != StageKind::cool)
        check.add(stage_key(i, "rate"), "belongs to ramp and cool stages only: give a duration");
    if (stage.rate_k_per_s && !stage.setpoint_k)
        check.add(stage_key(i, "setpoint"), "is missing: a stage with a rate needs the set point it goes to");
    if (stage.door_open_s && stage.duration_s && *stage.door_open_s > *stage.duration_s)
        check.add(stage_key(i, "door_open"), fmt::format("is {}, longer than the stage of {}", unit::h.text(*stage.door_open_s),
                                                         unit::h.text(*stage.duration_s)));
    if (stage.infrared && stage.infrared->zones.empty())
        check.add(stage_key(i, "infrared.zones"), "is empty: name at least one zone");
}

/// A ramp shorter than this goes nowhere: the set point already stands where it leads.
constexpr double kShortestStageS = 1e-3;

double stage_length_s(const Stage& stage, double begin_k, double end_k) {
    if (stage.duration_s) return *stage.duration_s;
    const double length_s = std::abs(end_k - begin_k) / *stage.rate_k_per_s;
    return length_s < kShortestStageS ? 0.0 : length_s;
}

/// @param start_k  where the first set point moves from; where it is not known, a ramp from there counts for nothing
void check_length(FieldCheck& check, const Cycle& cycle, std::optional<double> start_k) {
    double total_s = 0.0;
    for (std::size_t i = 0; i < cycle.stages.size(); ++i) {
        const Stage& stage = cycle.stages[i];
        const std::optional<double> end_k = stage.setpoint_k ? stage.setpoint_k : start_k;
        if (stage.duration_s || (start_k && end_k)) total_s += stage_length_s(stage, start_k.value_or(0.0), end_k.value_or(0.0));
        start_k = end_k;
        if (total_s <= unit::h.si(kLongestCycleH)) continue;
        return check.add(
            stage_key(i, stage.duration_s ? "duration" : "rate"),
            fmt::format("brings the cycle to {}, accepted are up to {:g} h in all", unit::h.text(total_s), kLongestCycleH));
    }
}

}  // namespace

FanMode fan_mode_of(StageKind kind) noexcept {
    switch (kind) {
        case StageKind::flash_off:
            return FanMode::flash_off;
        case StageKind::purge:
            return FanMode::purge;
        case StageKind::cool:
            return FanMode::cool;
        case StageKind::ramp:
        case StageKind::hold:
            return FanMode::bake;
    }
    return FanMode::bake;
}

void visit_fields(Infrared& infrared, Fields& see) {
    see({.key = "zones", .need = Need::required, .what = "names of the zones that the panels shine on"}, infrared.zones);
    see({.key = "flux",
         .unit = unit::w_per_m2,
         .range = {0.1, 1e5},
         .need = Need::required,
         .what = "heat flux that arrives at the face"},
        infrared.flux_w_per_m2);
}

void visit_fields(Stage& stage, Fields& see) {
    const bool has_kind = see({.key = "kind", .need = Need::required, .what = "what the stage does"}, stage.kind);
    if (!has_kind) see.spoiled({});  // what a stage needs depends on its kind
    see({.key = "setpoint",
         .unit = unit::deg_c,
         .range = {-40.0, 250.0},
         .what = "temperature at the stage's end",
         .needed = "with `rate`",
         .otherwise = "where the stage before left it"},
        stage.setpoint_k);
    see({.key = "duration",
         .unit = unit::h,
         .range = {1.0 / kSecondPerHour, kLongestCycleH},
         .what = "time",
         .rule = "48 h in all stages together",
         .needed = "this or `rate`"},
        stage.duration_s);
    see({.key = "rate",
         .unit = unit::k_per_min,
         .range = {0.001, 60.0},
         .what = "heating rate (also of `cool`; always positive)",
         .needed = "this or `duration`"},
        stage.rate_k_per_s);
    see({.key = "door_open",
         .unit = unit::h,
         .range = {1.0 / kSecondPerHour, kLongestCycleH},
         .what = "time the booth's doors stand open from the stage's begin, the burner out",
         .rule = "within the stage",
         .otherwise = "shut"},
        stage.door_open_s);
    see.table({.key = "infrared", .what = "infrared panels on during the stage"}, stage.infrared);
}

void visit_fields(Cycle& cycle, Fields& see) {
    see({.key = "start",
         .unit = unit::deg_c,
         .range = {-40.0, 250.0},
         .what = "air temperature at the start",
         .otherwise = "the booth's `ambient`"},
        cycle.start_k);
    see.list(
        {.key = "stage", .need = Need::required, .what = "the stages in their order, written `[[stage]]`", .is_section = true},
        cycle.stages);
}

std::vector<Problem> problems_in(const Cycle& cycle) {
    FieldCheck check;
    check.check(cycle);
    if (cycle.stages.empty()) check.add("stage", "is missing: a cycle has at least one [[stage]]");
    if (cycle.stages.size() > kMostStages)
        check.add("stage", fmt::format("stands {} times, accepted are up to {}", cycle.stages.size(), kMostStages));
    for (std::size_t i = 0; i < cycle.stages.size(); ++i) check_stage(check, cycle.stages[i], i);
    if (check.found_none()) check_length(check, cycle, cycle.start_k);
    return check.take();
}

std::vector<Problem> problems_in(const Cycle& cycle, const Booth& booth) {
    std::vector<Problem> found = problems_in(cycle);
    if (!found.empty()) return found;
    FieldCheck check;
    double now_k = cycle.start_k.value_or(booth.ambient_k);
    bool takes_time = false;
    for (std::size_t i = 0; i < cycle.stages.size(); ++i) {
        const Stage& stage = cycle.stages[i];
        const double end_k = stage.setpoint_k.value_or(now_k);
        if (end_k > booth.highest_setpoint_k + 1e-9)
            check.add(stage_key(i, "setpoint"),
                      fmt::format("is {:.1f} degC, the booth '{}' goes to {:.1f} degC at most", temperature_c(end_k), booth.id,
                                  temperature_c(booth.highest_setpoint_k)),
                      OutOfRange{.value = end_k,
                                 .most = booth.highest_setpoint_k,
                                 .why = fmt::format("hotter than the booth '{}' gets", booth.id)});
        if (end_k < booth.ambient_k - 1e-9)
            check.add(
                stage_key(i, "setpoint"),
                fmt::format("is {:.1f} degC, under the booth's ambient of {:.1f} degC: a booth without a chiller cannot cool "
                            "below the air it draws in",
                            temperature_c(end_k), temperature_c(booth.ambient_k)),
                OutOfRange{.value = end_k,
                           .least = booth.ambient_k,
                           .why = "under the booth's ambient: a booth without a chiller cannot cool below the air it draws in"});
        const double length_s = stage_length_s(stage, now_k, end_k);
        takes_time = takes_time || length_s > 0.0;
        if (length_s > 0.0 && (end_k - now_k) / length_s > booth.largest_ramp_k_per_s * (1.0 + 1e-9))
            check.add(stage_key(i, stage.rate_k_per_s ? "rate" : "duration"),
                      fmt::format("asks for {:.2f} K/min, the booth '{}' rises by {:.2f} K/min at most",
                                  (end_k - now_k) / length_s * kSecondPerMinute, booth.id,
                                  booth.largest_ramp_k_per_s * kSecondPerMinute),
                      stage.rate_k_per_s
                          ? std::optional(OutOfRange{.value = *stage.rate_k_per_s,
                                                     .most = booth.largest_ramp_k_per_s,
                                                     .why = fmt::format("faster than the booth '{}' rises", booth.id)})
                          : std::nullopt);
        now_k = end_k;
    }
    if (!takes_time) check.add("stage", "takes no time at all: every set point is where the booth starts");
    if (check.found_none()) check_length(check, cycle, cycle.start_k.value_or(booth.ambient_k));
    return check.take();
}

std::vector<ResolvedStage> resolve(const Cycle& cycle, const Booth& booth) {
    if (std::vector<Problem> found = problems_in(cycle, booth); !found.empty()) throw InputError(std::move(found));
    std::vector<ResolvedStage> stages;
    double now_s = 0.0;
    double now_k = cycle.start_k.value_or(booth.ambient_k);
    for (std::size_t i = 0; i < cycle.stages.size(); ++i) {
        const Stage& stage = cycle.stages[i];
        const double end_k = stage.setpoint_k.value_or(now_k);
        const double length_s = stage_length_s(stage, now_k, end_k);
        // A ramp to where the set point already stands has no length and is left out.
        if (length_s > 0.0)
            stages.push_back(
                {stage.kind, now_s, now_s + length_s, now_k, end_k, i, std::min(stage.door_open_s.value_or(0.0), length_s)});
        now_s += length_s;
        now_k = end_k;
    }
    return stages;
}

}  // namespace bakewright::bake
