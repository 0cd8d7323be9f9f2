// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/assumptions.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <utility>

namespace bakewright::plan {
namespace {

/// What one prediction says of cure and heat.
struct Outcome {
    std::optional<double> cured_s;  ///< when the last coated zone was; absent: never
    double peak_k = 0.0;
    std::string last_zone;
};

/// One assumption at one end of its range.
struct Varied {
    bake::Shell shell;
    bake::Booth booth;
    PlanOptions options;
};

class AssumptionTrial {
public:
    AssumptionTrial(const PlanTask& task, const PlanOptions& options, double setpoint_k)
        : task_(task), options_(options), setpoint_k_(setpoint_k), base_(outcome({task.shell, task.booth, options})) {}

    [[nodiscard]] const Outcome& base() const noexcept { return base_; }

    /// @param change  puts an assumption to so many times its value, or so many kelvins off
    void add(Assumed assumed, double low, double high, const std::function<void(Varied&, double)>& change) {
        AssumptionEffect effect{assumed, {}, {}, 0.0, 0.0};
        const auto at = [&](double end, std::optional<double>& later_s, double& hotter_k) {
            Varied varied{task_.shell, task_.booth, options_};
            change(varied, end);
            const Outcome found = outcome(varied);
            if (found.cured_s && base_.cured_s) later_s = *found.cured_s - *base_.cured_s;
            if (found.cured_s && !base_.cured_s) later_s = -std::numeric_limits<double>::infinity();  // then it cures at all
            if (!found.cured_s && !base_.cured_s) later_s = 0.0;                                      // neither ever does
            hotter_k = found.peak_k - base_.peak_k;
        };
        at(low, effect.later_at_low_s, effect.hotter_at_low_k);
        at(high, effect.later_at_high_s, effect.hotter_at_high_k);
        effects_.push_back(effect);
    }

    [[nodiscard]] std::vector<AssumptionEffect> strongest() {
        std::erase_if(effects_, [](const AssumptionEffect& one) { return strength(one) < 1.0; });
        std::ranges::stable_sort(effects_,
                                 [](const AssumptionEffect& a, const AssumptionEffect& b) { return strength(a) > strength(b); });
        if (effects_.size() > kAssumptionsTold) effects_.resize(kAssumptionsTold);
        return std::move(effects_);
    }

private:
    /// In units of what is worth settling; those by which it never cures come first, by what else they do.
    static double strength(const AssumptionEffect& effect) {
        constexpr double kNever = 1e3;
        double most = std::max(std::abs(effect.hotter_at_low_k), std::abs(effect.hotter_at_high_k)) / kLeastEffectK;
        for (const std::optional<double>& later_s : {effect.later_at_low_s, effect.later_at_high_s})
            most = std::max(most, later_s && std::isfinite(*later_s) ? std::abs(*later_s) / kLeastEffectS : kNever);
        return most;
    }

    [[nodiscard]] Outcome outcome(const Varied& varied) const {
        PlanOptions options = varied.options;
        options.confidence.reset();
        options.progress = {};
        const PlanTask task{varied.shell, varied.booth, task_.coating, task_.items, task_.so_far, task_.before};
        const TriedCycle tried = try_cycle(task, options, setpoint_k_, options.longest_hold_s);
        Outcome found;
        double last_s = 0.0;
        bool all_cure = true;
        for (const cure::ZoneVerdict& zone : tried.verdict.zones) {
            if (zone.why_not) continue;
            const double cured_s = zone.cured_at_s.value_or(std::numeric_limits<double>::infinity());
            all_cure = all_cure && std::isfinite(cured_s);
            if (cured_s > last_s || found.last_zone.empty()) {
                last_s = std::max(last_s, cured_s);
                found.last_zone = zone.zone;
            }
        }
        if (all_cure && !tried.verdict.zones.empty()) found.cured_s = last_s;
        for (const Trace& trace : tried.prediction.traces.traces)
            if (trace.role == TraceRole::zone || trace.role == TraceRole::item)
                for (const double temperature_k : trace.temperature_k) found.peak_k = std::max(found.peak_k, temperature_k);
        return found;
    }

    const PlanTask& task_;
    const PlanOptions& options_;
    double setpoint_k_;
    Outcome base_;
    std::vector<AssumptionEffect> effects_;
};

/// A factor's ends of 90 %, as bake::Uncertainty has them and the booth's record scales them.
std::pair<double, double> ends(double spread, double scale) {
    const double high = std::pow(1.0 + spread, scale);
    return {1.0 / high, high};
}

std::pair<double, double> scaled(std::pair<double, double> factors, double scale) {
    return {std::pow(factors.first, scale), std::pow(factors.second, scale)};
}

void try_booth(AssumptionTrial& trial, const bake::Booth& booth, const bake::Uncertainty& uncertainty) {
    const double scale = bake::spread_scale(booth.record, true);
    const auto film = scaled(bake::film_band(booth), scale);
    trial.add(Assumed::air_strength, film.first, film.second,
              [](Varied& varied, double factor) { varied.options.predict.film_factor *= factor; });
    const auto by = [&](Assumed assumed, double spread, const std::function<void(Varied&, double)>& change) {
        trial.add(assumed, ends(spread, scale).first, ends(spread, scale).second, change);
    };
    if (!booth.vertical_profile.empty())
        by(Assumed::air_by_height, uncertainty.vertical_profile, [](Varied& varied, double factor) {
            for (bake::VerticalOffset& row : varied.booth.vertical_profile) row.offset_k *= factor;
        });
    by(Assumed::wall_offset, uncertainty.wall_offset,
       [](Varied& varied, double factor) { varied.booth.wall_offset_k = varied.booth.wall_offset_below_air_k() * factor; });
    if (booth.controller.kind == bake::Controller::Kind::ideal) return;
    const Spread loss = booth.wall_loss();
    const auto [low, high] = scaled({loss.low / loss.value, loss.high / loss.value}, scale);
    trial.add(Assumed::wall_loss, loss.value * low, loss.value * high, [](Varied& varied, double value) {
        varied.booth.wall_loss_w_per_m2_k = Spread{value, value, value};
    });
    by(Assumed::fresh_air, uncertainty.make_up, [](Varied& varied, double factor) {
        varied.booth.ventilation[static_cast<std::size_t>(bake::FanMode::bake)].make_up_m3_per_s *= factor;
    });
    by(Assumed::heater, uncertainty.burner_power, [](Varied& varied, double factor) { varied.booth.burner_power_w *= factor; });
    trial.add(Assumed::sensor, -scale * uncertainty.outside_air_k, scale * uncertainty.outside_air_k,
              [](Varied& varied, double offset_k) { varied.booth.controller.sensor_offset_k += offset_k; });
}

void try_shell(AssumptionTrial& trial, const bake::Shell& shell, const bake::Uncertainty& uncertainty, double scale) {
    const auto by = [&](Assumed assumed, double spread, const std::function<void(Varied&, double)>& change) {
        trial.add(assumed, ends(spread, scale).first, ends(spread, scale).second, change);
    };
    by(Assumed::thickness, uncertainty.thickness, [](Varied& varied, double factor) {
        for (bake::Zone& zone : varied.shell.zones)
            for (bake::Layer& layer : zone.layers) layer.thickness_m *= factor;
    });
    if (!shell.links.empty())
        by(Assumed::seams, uncertainty.link, [](Varied& varied, double factor) {
            for (bake::Link& link : varied.shell.links) link.conductance_w_per_k *= factor;
        });
    if (!shell.cavities.empty())
        by(Assumed::leakage, uncertainty.leakage, [](Varied& varied, double factor) {
            for (bake::Cavity& cavity : varied.shell.cavities) cavity.leakage_per_s *= factor;
        });
}

/// Which of what was tried comes nearest.
const Candidate* nearest(const Plan& plan) {
    if (plan.surest) return &plan.candidates[*plan.surest];
    if (plan.coolest_that_cures) return &plan.candidates[*plan.coolest_that_cures];
    return plan.candidates.empty() ? nullptr : &plan.candidates.back();
}

}  // namespace

std::optional<LikeliestCycle> likeliest_cycle(const PlanTask& task, const PlanOptions& options, const Plan& plan) {
    const Candidate* const candidate = nearest(plan);
    if (plan.feasible || candidate == nullptr || !options.confidence) return std::nullopt;
    LikeliestCycle found;
    found.setpoint_k = candidate->setpoint_k;
    found.hold_s = candidate->hold_s.value_or(options.longest_hold_s);
    PlanOptions quiet = options;
    quiet.progress = {};
    quiet.ramp_k_per_s = candidate->ramp_k_per_s;
    quiet.slowest_ramp_k_per_s.reset();
    found.chance = try_cycle(task, quiet, found.setpoint_k, found.hold_s).verdict.chance.value_or(0.0);
    AssumptionTrial trial(task, quiet, found.setpoint_k);
    found.last_zone = trial.base().last_zone;
    try_booth(trial, task.booth, options.confidence->uncertainty);
    try_shell(trial, task.shell, options.confidence->uncertainty, bake::spread_scale(task.booth.record, false));
    found.assumptions = trial.strongest();
    return found;
}

}  // namespace bakewright::plan
