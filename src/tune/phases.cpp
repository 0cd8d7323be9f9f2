// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/phases.hpp"

#include <algorithm>
#include <cmath>

namespace bakewright::tune {
namespace {

using bake::StageKind;

constexpr double kEveryStepS = 30.0;
constexpr double kNearSetK = 4.0, kAtSetK = 1.0, kFallenK = 3.0, kRisenK = 2.0, kRisenAgainK = 3.0;
constexpr double kMeanOverS = 60.0;

/// Index of the nth stage of a kind among the stages; nothing where there are not so many.
std::optional<std::size_t> nth_stage(const std::vector<bake::ResolvedStage>& stages, StageKind kind, std::size_t nth) {
    for (std::size_t i = 0; i < stages.size(); ++i)
        if (stages[i].kind == kind && nth-- == 0) return i;
    return std::nullopt;
}

/// The air from the moment the heat came on, read step by step.
class HeatedAir {
public:
    HeatedAir(const Trace& air, const std::vector<bake::ResolvedStage>& stages, std::vector<PhaseSpan>& spans)
        : air_(air), stages_(stages), spans_(spans) {}

    void read(double from_s, double until_s) {
        begin(StageKind::ramp, from_s);
        for (double time_s = from_s + kEveryStepS; time_s <= until_s; time_s += kEveryStepS) {
            const auto slope = slope_before(air_, time_s, kPhaseSlopeOverS);
            const auto level = mean_before(air_, time_s, kMeanOverS);
            if (slope && level) step(time_s, *slope, *level);
        }
        spans_.back().until_s = std::max(spans_.back().from_s, until_s);
    }

private:
    void step(double time_s, double slope, double level_k) {
        highest_k_ = std::max(highest_k_, level_k);
        lowest_k_ = std::min(lowest_k_, level_k);
        const StageKind kind = spans_.back().kind;
        const bool is_level = std::abs(slope) <= kLevelKPerS, falls = slope<-kLevelKPerS, rises = slope> kLevelKPerS;
        const std::optional<double> set_k = set();
        if (kind == StageKind::ramp) {
            const bool is_there = set_k && level_k >= *set_k - kAtSetK;
            const bool is_near = !set_k || level_k >= *set_k - kNearSetK;
            if (is_there)
                begin(StageKind::hold, time_s);
            else if (is_level && is_near && time_s - spans_.back().from_s > kPhaseSlopeOverS)
                begin(StageKind::hold, std::max(spans_.back().from_s, time_s - kPhaseSlopeOverS));
            else if (falls && level_k < highest_k_ - kFallenK)
                begin(StageKind::cool, time_s - kPhaseSlopeOverS);
        } else if (kind == StageKind::hold) {
            const double held_k = set_k.value_or(hold_k(time_s));
            if (falls && level_k < held_k - kFallenK)
                begin(StageKind::cool, time_s - kPhaseSlopeOverS);
            else if (rises && level_k > held_k + kRisenK && (stages_.empty() || nth_stage(stages_, StageKind::ramp, ramps_)))
                begin(StageKind::ramp, time_s - kPhaseSlopeOverS);
        } else if (rises && level_k > lowest_k_ + kRisenAgainK) {
            --ramps_, --holds_;  // the same one again
            begin(StageKind::ramp, time_s - kPhaseSlopeOverS);
        }
    }

    void begin(StageKind kind, double from_s) {
        if (!spans_.empty()) {
            from_s = std::max(from_s, spans_.back().from_s);
            spans_.back().until_s = from_s;
        }
        std::size_t& count = kind == StageKind::ramp ? ramps_ : kind == StageKind::hold ? holds_ : cools_;
        if (kind == StageKind::cool && holds_ < ramps_) ++holds_;  // it fell before it was held
        spans_.push_back({kind, from_s, from_s, nth_stage(stages_, kind, kind == StageKind::cool ? 0 : count)});
        ++count;
        highest_k_ = -1e9;
        lowest_k_ = 1e9;
    }

    /// What the cycle sets at the end of the present phase.
    [[nodiscard]] std::optional<double> set() const {
        const PhaseSpan& now = spans_.back();
        return now.stage ? std::optional(stages_[*now.stage].end_k) : std::nullopt;
    }
    /// The air at which it is held, where no cycle says.
    [[nodiscard]] double hold_k(double time_s) const {
        return mean_before(air_, std::min(time_s, spans_.back().from_s + 2.0 * kPhaseSlopeOverS), kPhaseSlopeOverS)
            .value_or(highest_k_);
    }

    const Trace& air_;
    const std::vector<bake::ResolvedStage>& stages_;
    std::vector<PhaseSpan>& spans_;
    std::size_t ramps_ = 0, holds_ = 0, cools_ = 0;
    double highest_k_ = -1e9, lowest_k_ = 1e9;
};

/// What comes before the heat, by the cycle's stages up to its first ramp.
void add_unheated(std::vector<PhaseSpan>& spans, const std::vector<bake::ResolvedStage>& stages, double from_s, double until_s,
                  bool heat_came) {
    const auto ramp = nth_stage(stages, StageKind::ramp, 0);
    const std::size_t before = ramp.value_or(0);
    if (before == 0) {
        spans.push_back({StageKind::flash_off, from_s, until_s, {}});
        return;
    }
    const double shift_s = heat_came ? until_s - stages[before - 1].end_s : from_s;
    for (std::size_t i = 0; i < before; ++i) {
        const double begin_s = i == 0 ? from_s : std::clamp(stages[i].begin_s + shift_s, from_s, until_s);
        const double end_s = i + 1 == before ? until_s : std::clamp(stages[i].end_s + shift_s, from_s, until_s);
        if (end_s > begin_s || (spans.empty() && i + 1 == before)) spans.push_back({stages[i].kind, begin_s, end_s, i});
    }
}

}  // namespace

std::optional<double> slope_before(const Trace& trace, double time_s, double over_s) {
    double count = 0.0, sum_t = 0.0, sum_k = 0.0, sum_tt = 0.0, sum_tk = 0.0;
    const auto after = std::upper_bound(trace.time_s.begin(), trace.time_s.end(), time_s + 1e-9);
    for (auto at = after; at != trace.time_s.begin() && *(at - 1) >= time_s - over_s - 1e-9; --at) {
        const auto i = static_cast<std::size_t>(at - 1 - trace.time_s.begin());
        if (!trace.usable(i)) continue;
        const double t = trace.time_s[i] - time_s, kelvin = trace.temperature_k[i];
        count += 1.0, sum_t += t, sum_k += kelvin, sum_tt += t * t, sum_tk += t * kelvin;
    }
    const double spread = count * sum_tt - sum_t * sum_t;
    if (count < 3.0 || spread <= 0.0) return std::nullopt;
    return (count * sum_tk - sum_t * sum_k) / spread;
}

std::optional<double> mean_before(const Trace& trace, double time_s, double over_s) {
    double count = 0.0, sum_k = 0.0;
    const auto after = std::upper_bound(trace.time_s.begin(), trace.time_s.end(), time_s + 1e-9);
    for (auto at = after; at != trace.time_s.begin() && *(at - 1) >= time_s - over_s - 1e-9; --at) {
        const auto i = static_cast<std::size_t>(at - 1 - trace.time_s.begin());
        if (trace.usable(i)) count += 1.0, sum_k += trace.temperature_k[i];
    }
    return count > 0.0 ? std::optional(sum_k / count) : std::nullopt;
}

std::vector<PhaseSpan> recognise_phases(const Trace& air, std::optional<double> heat_on_s,
                                        const std::vector<bake::ResolvedStage>& stages) {
    std::vector<PhaseSpan> spans;
    const Trace usable = air.usable_samples();
    if (usable.size() < 2) return spans;
    const double from_s = usable.time_s.front(), until_s = usable.time_s.back();
    const double on_s = std::clamp(heat_on_s.value_or(until_s), from_s, until_s);
    if (on_s > from_s || !heat_on_s) add_unheated(spans, stages, from_s, on_s, heat_on_s.has_value());
    if (heat_on_s) HeatedAir(usable, stages, spans).read(on_s, until_s);
    return spans;
}

}  // namespace bakewright::tune
