#include "cycle_trial.hpp"

#include <algorithm>
#include <cmath>

namespace bakewright::plan {
namespace {

/// The ramp stays this much under what the coating allows, so that the solver's last digits do not pass the limit.
constexpr double kRampInHand = 0.99;
constexpr double kLongestCoolS = 3.0 * kSecondPerHour;

bake::Stage stage(bake::StageKind kind, double setpoint_k, double duration_s) {
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

}  // namespace

bool Trial::cured(CureRule rule) const {
    return std::all_of(verdict.zones.begin(), verdict.zones.end(), [rule](const cure::ZoneVerdict& zone) {
        const bool by_time =
            std::any_of(zone.rows.begin(), zone.rows.end(), [](const cure::RowReading& row) { return row.missing_s <= 0.0; });
        return zone.word != cure::Word::not_judged && (by_time || (rule == CureRule::dose && zone.dose.least() >= 1.0));
    });
}

bool Trial::all_good() const { return verdict.worst() == cure::Word::good && verdict.warnings.empty(); }

TrialRunner::TrialRunner(const PlanTask& task, const PlanOptions& options)
    : task_(task), options_(options), coated_(task.shell.coated_zone_names()), start_air_k_(task.booth.ambient_k) {
    flash_off_s_ = options.flash_off_s.value_or(task.coating.flash_off_minimum_s);
    ramp_k_per_s_ = std::min(options.ramp_k_per_s, task.booth.largest_ramp_k_per_s);
    if (task.coating.largest_heating_rate_k_per_s)
        ramp_k_per_s_ = std::min(
            ramp_k_per_s_, kRampInHand * *task.coating.largest_heating_rate_k_per_s / largest_air_gain(task.shell, task.booth));
}

bake::Cycle TrialRunner::cycle(double setpoint_k, double hold_s, double cool_s) const {
    using bake::StageKind;
    bake::Cycle made;
    made.id = "planned";
    made.title = "planned cycle";
    made.start_k = start_air_k_;
    if (flash_off_s_ > 0.0) made.stages.push_back(stage(StageKind::flash_off, start_air_k_, flash_off_s_));
    const double rise_k = setpoint_k - start_air_k_;
    if (rise_k > 0.0) made.stages.push_back(stage(StageKind::ramp, setpoint_k, up_to_whole_minutes_s(rise_k / ramp_k_per_s_)));
    made.stages.push_back(stage(StageKind::hold, setpoint_k, hold_s));
    // The booth cools no faster than it heats: common practice.
    const double fall_s = up_to_whole_minutes_s(std::abs(rise_k) / task_.booth.largest_ramp_k_per_s);
    if (fall_s > 0.0) made.stages.push_back(stage(StageKind::cool, start_air_k_, fall_s));
    if (cool_s > fall_s) made.stages.push_back(stage(StageKind::cool, start_air_k_, cool_s - fall_s));
    return made;
}

Trial TrialRunner::judged(bake::Cycle cycle, const bake::PredictOptions& predict) const {
    Trial trial;
    trial.cycle = std::move(cycle);
    trial.prediction = bake::predict(task_.shell, task_.booth, trial.cycle, predict);
    trial.verdict = cure::judge_bake(trial.prediction.traces, task_.coating, task_.items, coated_);
    return trial;
}

double TrialRunner::begin_of_cool_s(double setpoint_k, double hold_s) const {
    double begin_s = 0.0;
    for (const bake::Stage& part : cycle(setpoint_k, hold_s, 0.0).stages)
        if (part.kind != bake::StageKind::cool) begin_s += *part.duration_s;
    return begin_s;
}

double TrialRunner::cooled_after_s(const Trial& trial, double from_s) const {
    double latest_s = from_s;
    for (const std::string& name : coated_) {
        const Trace& trace = *trial.prediction.traces.find(name);
        for (std::size_t i = trace.size(); i-- > 0 && trace.temperature_k[i] <= options_.handling_k;)
            if (i == 0 || trace.temperature_k[i - 1] > options_.handling_k) latest_s = std::max(latest_s, trace.time_s[i]);
        if (trace.temperature_k.back() > options_.handling_k) latest_s = std::max(latest_s, trace.time_s.back());
    }
    return latest_s - from_s;
}

Trial TrialRunner::run(double setpoint_k, double hold_s) const {
    // A long cool-down is part of every trial: items behind linings go on warming after the burner is off.
    Trial trial = judged(cycle(setpoint_k, hold_s, kLongestCoolS), options_.predict);
    trial.cool_s = cooled_after_s(trial, begin_of_cool_s(setpoint_k, hold_s));
    return trial;
}

Trial TrialRunner::finish(double setpoint_k, double hold_s, double cool_s) const {
    bake::PredictOptions fine = options_.predict;
    fine.output_interval_s = std::min(fine.output_interval_s, 10.0);
    fine.after_s = kSecondPerHour;
    Trial trial = judged(cycle(setpoint_k, hold_s, up_to_whole_minutes_s(cool_s)), fine);
    trial.cool_s = cool_s;
    return trial;
}

}  // namespace bakewright::plan
