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
        gain = std::max(gain, 1.0 + booth.vertical_offset_k(zone.height_m) / booth.reference_rise_k);
    return gain;
}

double length_s(const std::vector<bake::Stage>& stages) {
    double sum_s = 0.0;
    for (const bake::Stage& part : stages) sum_s += *part.duration_s;
    return sum_s;
}

}  // namespace

CycleShape::CycleShape(const PlanTask& task, const PlanOptions& options)
    : start_air_k_(task.booth.ambient_k),
      flash_off_s_(options.flash_off_s.value_or(task.coating.flash_off_minimum_s)),
      ramp_k_per_s_(std::min(options.ramp_k_per_s, task.booth.largest_ramp_k_per_s)),
      // The booth cools no faster than it heats: common practice.
      fall_k_per_s_(task.booth.largest_ramp_k_per_s) {
    if (task.coating.largest_heating_rate_k_per_s)
        ramp_k_per_s_ = std::min(
            ramp_k_per_s_, kRampInHand * *task.coating.largest_heating_rate_k_per_s / largest_air_gain(task.shell, task.booth));
}

std::vector<bake::Stage> CycleShape::until_hold(const Settings& set) const {
    std::vector<bake::Stage> stages;
    if (flash_off_s_ > 0.0) stages.push_back(stage(StageKind::flash_off, start_air_k_, flash_off_s_));
    const double rise_k = set.setpoint_k - start_air_k_;
    if (rise_k > 0.0) stages.push_back(stage(StageKind::ramp, set.setpoint_k, up_to_whole_minutes_s(rise_k / set.ramp_k_per_s)));
    return stages;
}

bake::Cycle CycleShape::cycle(const Settings& set, double cool_s) const {
    bake::Cycle made;
    made.id = "planned";
    made.title = "planned cycle";
    made.start_k = start_air_k_;
    made.stages = until_hold(set);
    made.stages.push_back(stage(StageKind::hold, set.setpoint_k, set.hold_s));
    const double fall_s = up_to_whole_minutes_s(std::abs(set.setpoint_k - start_air_k_) / fall_k_per_s_);
    if (fall_s > 0.0) made.stages.push_back(stage(StageKind::cool, start_air_k_, fall_s));
    const double rest_s = up_to_whole_minutes_s(cool_s) - fall_s;
    if (rest_s > 0.0) made.stages.push_back(stage(StageKind::cool, start_air_k_, rest_s));
    return made;
}

std::size_t CycleShape::hold_index(const Settings& set) const { return until_hold(set).size(); }

double CycleShape::begin_of_hold_s(const Settings& set) const { return length_s(until_hold(set)); }

double CycleShape::begin_of_cool_s(const Settings& set) const { return begin_of_hold_s(set) + set.hold_s; }

}  // namespace bakewright::plan
