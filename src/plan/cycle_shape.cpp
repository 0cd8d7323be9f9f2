#include "cycle_shape.hpp"

#include <algorithm>
#include <cmath>

namespace bakewright::plan {
namespace {

using bake::StageKind;

/// The ramp stays this much under what the coating allows, so that the solver's last digits do not pass the limit.
constexpr double kRampInHand = 0.99;

bake::Stage stage(StageKind kind, double setpoint_k, double duration_s) {
    bake::Stage made;
    made.kind = kind;
    made.setpoint_k = setpoint_k;
    made.duration_s = duration_s;
    return made;
}

double up_to_whole_minutes_s(double time_s) { return std::ceil(time_s / kSecondPerMinute - 1e-9) * kSecondPerMinute; }

/// A zone's air may rise faster than the booth's reference air; its face never rises faster than its air.
double largest_air_gain(const bake::Shell& shell, const bake::Booth& booth) {
    double gain = 1.0;
    for (const bake::Zone& zone : shell.zones)
        gain = std::max(gain, 1.0 + booth.vertical_offset_k(zone.height_m) / booth.rise_of_full_offset_k());
    return gain;
}

double length_s(const std::vector<bake::Stage>& stages) {
    double sum_s = 0.0;
    for (const bake::Stage& part : stages) sum_s += *part.duration_s;
    return sum_s;
}

}  // namespace

double planned_flash_off_s(const cure::Coating& coating, const PlanOptions& options) {
    if (options.flash_off_s) return *options.flash_off_s;
    const double least_s = coating.flash_off_minimum_s.value_or(kFlashOffNotPrintedS);
    if (!coating.flash_off_maximum_s) return least_s;
    return std::clamp(*coating.flash_off_maximum_s - options.purge_s, 0.0, least_s);
}

CycleShape::CycleShape(const PlanTask& task, const PlanOptions& options)
    : start_air_k_(task.booth.ambient_k),
      wait_s_(options.wait_s),
      purge_s_(options.purge_s),
      flash_off_s_(planned_flash_off_s(task.coating, options)),
      ramp_k_per_s_(std::min(options.ramp_k_per_s, task.booth.largest_ramp_k_per_s)),
      // The booth cools no faster than it heats: common practice.
      fall_k_per_s_(task.booth.largest_ramp_k_per_s),
      falls_as_it_rose_(options.largest_difference_k.has_value()),
      steps_(options.steps),
      second_holds_(options.second_holds) {
    if (task.coating.largest_heating_rate_k_per_s)
        ramp_k_per_s_ = std::min(
            ramp_k_per_s_, kRampInHand * *task.coating.largest_heating_rate_k_per_s / largest_air_gain(task.shell, task.booth));
    slowest_ramp_k_per_s_ = std::min(options.slowest_ramp_k_per_s.value_or(ramp_k_per_s_), ramp_k_per_s_);
}

std::vector<double> CycleShape::ramps_to_try() const {
    std::vector<double> ramps{ramp_k_per_s_};
    while (ramps.back() - kRampStepKPerS > slowest_ramp_k_per_s_ - 1e-12) ramps.push_back(ramps.back() - kRampStepKPerS);
    return ramps;
}

void CycleShape::go_to(std::vector<bake::Stage>& stages, double setpoint_k, double rate_k_per_s) const {
    const double from_k = stages.empty() ? start_air_k_ : *stages.back().setpoint_k;
    const double length_s = up_to_whole_minutes_s(std::abs(setpoint_k - from_k) / rate_k_per_s);
    if (length_s > 0.0) stages.push_back(stage(StageKind::ramp, setpoint_k, length_s));
}

std::vector<bake::Stage> CycleShape::until_hold(const Settings& set) const {
    std::vector<bake::Stage> stages;
    if (wait_s_ > 0.0) stages.push_back(stage(StageKind::cool, start_air_k_, wait_s_));
    if (flash_off_s_ > 0.0) stages.push_back(stage(StageKind::flash_off, start_air_k_, flash_off_s_));
    // Last before the burner may light.
    if (purge_s_ > 0.0) stages.push_back(stage(StageKind::purge, start_air_k_, purge_s_));
    for (const Step& step : steps_) {
        go_to(stages, step.setpoint_k, set.ramp_k_per_s);
        stages.push_back(stage(StageKind::hold, step.setpoint_k, step.hold_s));
    }
    go_to(stages, set.setpoint_k, set.ramp_k_per_s);
    return stages;
}

std::vector<bake::Stage> CycleShape::heat(const Settings& set) const {
    std::vector<bake::Stage> stages = until_hold(set);
    stages.push_back(stage(StageKind::hold, set.setpoint_k, set.hold_s));
    for (const Step& step : second_holds_) {
        go_to(stages, step.setpoint_k, set.ramp_k_per_s);
        stages.push_back(stage(StageKind::hold, step.setpoint_k, step.hold_s));
    }
    return stages;
}

bake::Cycle CycleShape::cycle(const Settings& set, double cool_s) const {
    bake::Cycle made;
    made.id = "planned";
    made.title = "planned cycle";
    made.start_k = start_air_k_;
    made.stages = heat(set);
    const double down_s = fall_s(set);
    if (down_s > 0.0) made.stages.push_back(stage(StageKind::cool, start_air_k_, down_s));
    const double rest_s = up_to_whole_minutes_s(cool_s) - down_s;
    if (rest_s > 0.0) made.stages.push_back(stage(StageKind::cool, start_air_k_, rest_s));
    return made;
}

double CycleShape::fall_s(const Settings& set) const {
    const double from_k = second_holds_.empty() ? set.setpoint_k : second_holds_.back().setpoint_k;
    // Where a difference is limited the air goes down no faster than it went up: a thin skin leads its laminate both ways.
    return up_to_whole_minutes_s(std::abs(from_k - start_air_k_) / (falls_as_it_rose_ ? set.ramp_k_per_s : fall_k_per_s_));
}

std::size_t CycleShape::hold_index(const Settings& set) const { return until_hold(set).size(); }

double CycleShape::begin_of_hold_s(const Settings& set) const { return length_s(until_hold(set)); }

double CycleShape::begin_of_cool_s(const Settings& set) const { return length_s(heat(set)); }

}  // namespace bakewright::plan
