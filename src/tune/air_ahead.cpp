// SPDX-License-Identifier: Apache-2.0
#include "air_ahead.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "bakewright/thermal/ensemble.hpp"

namespace bakewright::tune {
namespace {

using bake::StageKind;

// Common practice, no source, all of them: see forecast.hpp.
constexpr double kDriftK = 0.4;  // of the air about its level
constexpr double kLevelStandardK = 1.0, kLevelOverS = 600.0;
constexpr double kSettleS = 180.0;  // a hold's first minutes say nothing of its level
constexpr double kRateStandard = 0.1, kCoolStandard = 0.25;
constexpr double kLateStandardS = 60.0, kLateMoreS = 120.0;  // of heat that is due; of heat that is late already
constexpr double kRateOverS = 300.0;
constexpr double kSlowestShare = 0.3, kFastestShare = 1.5;  // of the cycle's rate, for a ramp that is under way
constexpr double kUsualRampKPerS = 1.5 / 60.0;
constexpr double kFastestCoolingS = 300.0, kSlowestCoolingS = 6.0 * 3600.0;  // of a time constant that is seen
constexpr double kNowOverS = 60.0;
constexpr std::size_t kDraws = 4;  // level, rate, late, cooling: before the drift's

double on_corners(const std::vector<AirAhead::Corner>& corners, double time_s) {
    const auto after = std::upper_bound(corners.begin(), corners.end(), time_s,
                                        [](double time, const AirAhead::Corner& corner) { return time < corner.time_s; });
    if (after == corners.begin()) return corners.front().temperature_k;
    if (after == corners.end()) return corners.back().temperature_k;
    const AirAhead::Corner& before = *(after - 1);
    const double share = (time_s - before.time_s) / (after->time_s - before.time_s);
    return before.temperature_k + share * (after->temperature_k - before.temperature_k);
}

}  // namespace

AirAhead::AirAhead(const bake::Booth& booth, Trace air, std::vector<PhaseSpan> phases, std::vector<bake::ResolvedStage> stages,
                   std::optional<double> setpoint_k)
    : booth_(&booth), air_(std::move(air)), phases_(std::move(phases)) {
    now_s_ = air_.time_s.back();
    now_k_ = mean_before(air_, now_s_, kNowOverS).value_or(air_.temperature_k.back());
    if (const auto slope = slope_before(air_, now_s_, kNowOverS)) now_k_ += *slope * kNowOverS / 2.0;
    lay_legs(stages);
    if (cools_ || !setpoint_k) return;
    // Set by hand: from now on there is nothing but that.
    const double rate = legs_.empty() || !legs_.front().rate_k_per_s ? ramp_rate_k_per_s_ : *legs_.front().rate_k_per_s;
    legs_ = {{StageKind::ramp, *setpoint_k, {}, rate}, {StageKind::hold, *setpoint_k, {}, {}}};
    set_now_k_ = over_set_k_ ? set_now_k_ : now_k_;
}

void AirAhead::lay_legs(const std::vector<bake::ResolvedStage>& stages) {
    ramp_rate_k_per_s_ = kUsualRampKPerS;
    cool_to_k_ = booth_->ambient_k;
    for (const bake::ResolvedStage& stage : stages) {
        const double span_s = stage.end_s - stage.begin_s;
        if (stage.kind == StageKind::ramp && span_s > 0.0 && stage.end_k > stage.begin_k)
            ramp_rate_k_per_s_ = (stage.end_k - stage.begin_k) / span_s;
        if (stage.kind == StageKind::cool && span_s > 0.0 && stage.end_k < stage.begin_k) {
            cool_rate_k_per_s_ = (stage.begin_k - stage.end_k) / span_s;
            cool_to_k_ = stage.end_k;
        }
    }
    const PhaseSpan& phase = phases_.back();
    set_now_k_ = now_k_;
    const double been_s = now_s_ - phase.from_s;
    if (phase.kind == StageKind::cool) {
        cools_ = true;
        if (const auto seen = slope_before(air_, now_s_, kRateOverS); seen && been_s >= kRateOverS) cool_as_seen(-*seen);
        return;
    }
    std::size_t next = phase.stage ? *phase.stage + 1 : stages.size();
    if (phase.kind == StageKind::hold) {
        set_now_k_ = phase.stage ? stages[*phase.stage].end_k : mean_before(air_, now_s_, kLevelOverS).value_or(now_k_);
        const double over_s = std::min(kLevelOverS, been_s - kSettleS);
        if (over_s > 0.0) over_set_k_ = mean_before(air_, now_s_, over_s).value_or(now_k_) - set_now_k_;
        over_s_ = std::max(0.0, over_s);
        std::optional<double> left_s;
        if (phase.stage) left_s = stages[*phase.stage].end_s - stages[*phase.stage].begin_s - been_s;  // below 0: over its time
        legs_.push_back({StageKind::hold, set_now_k_, left_s, {}});
    } else if (phase.kind == StageKind::ramp) {
        const double to_k = phase.stage ? stages[*phase.stage].end_k : now_k_;
        double rate = ramp_rate_k_per_s_;
        if (phase.stage) {
            const bake::ResolvedStage& stage = stages[*phase.stage];
            rate = std::max(stage.end_k - stage.begin_k, 1.0) / std::max(stage.end_s - stage.begin_s, 60.0);
        }
        if (const auto seen = slope_before(air_, now_s_, kRateOverS); seen && been_s >= kRateOverS)
            rate = std::clamp(*seen, kSlowestShare * rate, kFastestShare * rate);
        legs_.push_back({StageKind::ramp, std::max(to_k, now_k_), {}, rate});
    } else {
        // It waits for the heat: until the cycle's first ramp, counted from the log's first reading.
        double due_s = now_s_;
        for (const bake::ResolvedStage& stage : stages)
            if (stage.kind == StageKind::ramp) {
                due_s = air_.time_s.front() + stage.begin_s;
                break;
            }
        is_late_ = due_s < now_s_;
        legs_.push_back({phase.kind, now_k_, std::max(0.0, due_s - now_s_), {}});
        while (next < stages.size() && stages[next].kind != StageKind::ramp) ++next;
    }
    for (; next < stages.size(); ++next) {
        const bake::ResolvedStage& stage = stages[next];
        const double span_s = stage.end_s - stage.begin_s;
        if (stage.kind == StageKind::cool && stage.end_k < stage.begin_k) break;
        if (stage.kind == StageKind::ramp)
            legs_.push_back({stage.kind, stage.end_k, {}, std::max(stage.end_k - stage.begin_k, 1.0) / std::max(span_s, 60.0)});
        else
            legs_.push_back({stage.kind, stage.end_k, span_s, {}});
    }
    if (stages.empty()) return;
    // When it ends by the cycle; the last hold then lasts until the heat goes off.
    double off_s = now_s_, at_k = set_now_k_;
    for (const Leg& leg : legs_) {
        off_s += leg.lasts_s.value_or(leg.rate_k_per_s ? std::max(0.0, leg.to_k - at_k) / *leg.rate_k_per_s : 0.0);
        at_k = leg.to_k;
    }
    cycle_off_s_ = off_s;
}

void AirAhead::cool_as_seen(double rate_k_per_s) {
    if (cool_rate_k_per_s_) {
        cool_rate_k_per_s_ = std::clamp(rate_k_per_s, kSlowestShare * *cool_rate_k_per_s_, kFastestShare * *cool_rate_k_per_s_);
        return;
    }
    const double over_k = std::max(0.0, now_k_ - cool_to_k_);
    cooling_s_ = std::clamp(over_k / std::max(rate_k_per_s, 1e-6), kFastestCoolingS, kSlowestCoolingS);
}

bool AirAhead::is_unknown() const noexcept {
    if (cools_) return false;
    const bool has_hold = std::any_of(legs_.begin(), legs_.end(), [](const Leg& leg) { return leg.kind == StageKind::hold; });
    return !has_hold;
}

std::optional<double> AirAhead::setpoint_k() const noexcept {
    if (cools_ || legs_.empty()) return std::nullopt;
    if (legs_.front().kind == StageKind::hold || legs_.front().kind == StageKind::ramp) return legs_.front().to_k;
    for (const Leg& leg : legs_)
        if (leg.kind == StageKind::ramp) return leg.to_k;
    return std::nullopt;
}

std::optional<double> AirAhead::cycle_off_s() const noexcept { return cycle_off_s_; }

/// A level that grows with the rise of what is set over the ambient.
double AirAhead::shape_k(double set_k, double level_k) const {
    return set_k + level_k * std::max(0.0, set_k - booth_->ambient_k) / booth_->rise_of_full_offset_k();
}

double AirAhead::rise_now() const noexcept {
    return std::max(0.0, set_now_k_ - booth_->ambient_k) / booth_->rise_of_full_offset_k();
}
double AirAhead::told_by_hold(double rise) noexcept { return 1.0 / (1.0 + std::pow(kDriftK / kLevelStandardK / rise, 2)); }

double AirAhead::stays_per_s() const noexcept {
    return over_set_k_ && over_s_ > 0.0 && rise_now() > 0.0 ? told_by_hold(rise_now()) / std::max(over_s_, kAirStepS) : 0.0;
}

AirOfMember AirAhead::likeliest() const {
    AirOfMember member;
    const double rise = rise_now();
    if (over_set_k_ && rise > 0.0) member.level_k = *over_set_k_ / rise * told_by_hold(rise);
    return member;
}

AirOfMember AirAhead::draw(std::uint64_t seed, std::size_t index, double offset_k, std::size_t steps) const {
    std::vector<double> z(kDraws + steps);
    thermal::draw_normals(seed, index, z);
    AirOfMember member;
    member.offset_k = offset_k;
    const double rise = rise_now();
    member.level_k = kLevelStandardK * z[0];
    if (over_set_k_ && rise > 0.0) {
        const double told = told_by_hold(rise);
        member.level_k = told * (*over_set_k_ + offset_k) / rise + std::sqrt(1.0 - told) * kLevelStandardK * z[0];
    }
    member.rate_factor = std::exp(kRateStandard * z[1]);
    member.late_s = std::abs(z[2]) * (is_late_ ? kLateMoreS : kLateStandardS);
    member.cool_factor = std::exp(kCoolStandard * z[3]);
    member.drift.assign(z.begin() + kDraws, z.end());
    return member;
}

void AirAhead::add_cooling(std::vector<Corner>& corners, const AirOfMember& member, double until_s) const {
    const Corner from = corners.back();
    const double to_k = std::min(cool_to_k_, from.temperature_k);
    if (cool_rate_k_per_s_) {
        const double lasts_s = (from.temperature_k - to_k) / (*cool_rate_k_per_s_ * member.cool_factor);
        if (lasts_s > 0.0) corners.push_back({from.time_s + lasts_s, to_k});
    } else {
        for (double after_s = kAirStepS; from.time_s + after_s < until_s + kAirStepS; after_s += kAirStepS)
            corners.push_back({from.time_s + after_s,
                               to_k + (from.temperature_k - to_k) * std::exp(-after_s * member.cool_factor / cooling_s_)});
    }
    if (corners.back().time_s < until_s) corners.push_back({until_s, corners.back().temperature_k});
}

std::vector<AirAhead::Corner> AirAhead::set_ahead(const AirOfMember& member, std::optional<double> heat_off_s,
                                                  double until_s) const {
    std::vector<Corner> corners{{now_s_, set_now_k_}};
    const double on_until_s = cools_ ? now_s_ : std::min(heat_off_s.value_or(until_s), until_s);
    for (std::size_t i = 0; i < legs_.size() && corners.back().time_s < on_until_s; ++i) {
        const Leg& leg = legs_[i];
        const Corner from = corners.back();
        double lasts_s = std::max(0.0, leg.lasts_s.value_or(0.0));
        if (leg.rate_k_per_s)
            lasts_s = std::abs(leg.to_k - from.temperature_k) / (*leg.rate_k_per_s * member.rate_factor);
        else if (leg.kind != StageKind::hold)
            lasts_s += member.late_s;
        const bool is_last = i + 1 == legs_.size();
        double end_s = is_last && leg.kind == StageKind::hold ? on_until_s : from.time_s + lasts_s;
        double end_k = leg.to_k;
        if (end_s > on_until_s) {
            end_k = from.temperature_k + (leg.to_k - from.temperature_k) * (on_until_s - from.time_s) / (end_s - from.time_s);
            end_s = on_until_s;
        }
        if (end_s > from.time_s)
            corners.push_back({end_s, end_k});
        else
            corners.back().temperature_k = end_k;
    }
    if (corners.back().time_s < on_until_s) corners.push_back({on_until_s, corners.back().temperature_k});
    if (cools_ || heat_off_s) add_cooling(corners, member, until_s);
    return corners;
}

std::vector<double> AirAhead::steps_k(const AirOfMember& member, std::optional<double> heat_off_s, double until_s) const {
    const std::vector<Corner> corners = set_ahead(member, heat_off_s, until_s);
    const double keeps = std::exp(-kAirStepS / kAirFadesS), fresh_k = kDriftK * std::sqrt(1.0 - keeps * keeps);
    double off_k = now_k_ + member.offset_k - shape_k(set_now_k_, member.level_k);
    std::vector<double> steps;
    for (double time_s = now_s_; time_s <= until_s + 1e-6; time_s += kAirStepS) {
        if (!steps.empty()) {
            const std::size_t step = steps.size() - 1;
            off_k = off_k * keeps + (step < member.drift.size() ? fresh_k * member.drift[step] : 0.0);
        }
        steps.push_back(shape_k(on_corners(corners, time_s), member.level_k) + off_k - member.offset_k);
    }
    return steps;
}

Trace AirAhead::course(std::optional<double> heat_off_s, double until_s) const {
    const AirOfMember member = likeliest();
    const std::vector<Corner> corners = set_ahead(member, heat_off_s, until_s);
    std::vector<double> times_s;
    for (double time_s = now_s_; time_s <= until_s + 1e-6; time_s += kAirStepS) times_s.push_back(time_s);
    for (const Corner& corner : corners)
        if (corner.time_s <= until_s) times_s.push_back(corner.time_s);
    std::sort(times_s.begin(), times_s.end());
    Trace trace{air_.name, TraceRole::booth_air, {}, {}, {}};
    const double off_k = now_k_ - shape_k(set_now_k_, member.level_k);
    for (const double time_s : times_s) {
        if (!trace.time_s.empty() && time_s - trace.time_s.back() < 1.0) continue;
        trace.time_s.push_back(time_s);
        trace.temperature_k.push_back(shape_k(on_corners(corners, time_s), member.level_k) +
                                      off_k * std::exp(-(time_s - now_s_) / kAirFadesS));
    }
    return trace;
}

std::vector<bake::ResolvedStage> AirAhead::stages_ahead(std::optional<double> heat_off_s, double until_s) const {
    std::vector<bake::ResolvedStage> stages;
    const double off_s = cools_ ? now_s_ : std::min(heat_off_s.value_or(until_s), until_s);
    double from_s = now_s_, from_k = set_now_k_;
    for (std::size_t i = 0; i < legs_.size() && from_s < off_s; ++i) {
        const Leg& leg = legs_[i];
        double end_s = from_s + leg.lasts_s.value_or(leg.rate_k_per_s ? std::abs(leg.to_k - from_k) / *leg.rate_k_per_s : 0.0);
        if (i + 1 == legs_.size()) end_s = off_s;
        end_s = std::min(end_s, off_s);
        if (end_s > from_s) stages.push_back({leg.kind, from_s, end_s, from_k, leg.to_k, 0, 0.0});
        from_s = std::max(from_s, end_s), from_k = leg.to_k;
    }
    if (until_s > off_s) stages.push_back({StageKind::cool, off_s, until_s, from_k, cool_to_k_, 0, 0.0});
    return stages;
}

}  // namespace bakewright::tune
