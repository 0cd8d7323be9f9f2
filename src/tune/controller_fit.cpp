// SPDX-License-Identifier: Apache-2.0
#include "controller_fit.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>

#include "bakewright/bake/predict.hpp"
#include "bakewright/base/error.hpp"
#include "run_phases.hpp"

namespace bakewright::tune {
namespace {

using bake::Controller;

constexpr double kFastestKPerS = 0.95;
constexpr double kEveryS = 10.0;
/// Doubling a number costs as much as so many kelvins of misfit: what hardly moves the air stays where it was.
constexpr double kHeldK = 0.03;
/// A number is told where changing it half as much again either way makes the misfit larger by this much [K].
constexpr double kTellingK = 0.08;
constexpr double kSettlesS = 900.0;   // after the heater was turned down: later nothing shows but the setting
constexpr double kSwingsFromK = 1.0;  // of the air, from the 5 to the 95 % quantile, over noise and drift

double round_to(double value, double step) { return std::round(value / step) * step; }

/// Numbers of a controller that its course tells.
struct Knob {
    const char *key, *name;
    FieldUnit unit;
    double Controller::*member;
    const char* told_by;
    double step;  ///< to which it is rounded, in SI
};

std::vector<Knob> knobs_of(Controller::Kind kind) {
    if (kind == Controller::Kind::on_off)
        return {{"controller.band", "switching band", unit::k, &Controller::band_k, "the swing of the held air", 0.1},
                {"controller.sensor_time_constant", "sensor's lag", unit::s, &Controller::sensor_time_constant_s,
                 "swing and period of the held air", 1.0}};
    return {{"controller.gain", "controller's gain", unit::w_per_k, &Controller::gain_w_per_k,
             "how the air comes up to its setting", 100.0},
            {"controller.integral_time", "controller's integral time", unit::s, &Controller::integral_time_s,
             "how far the air overshoots and how soon it comes back", 5.0},
            {"controller.sensor_time_constant", "sensor's lag", unit::s, &Controller::sensor_time_constant_s,
             "how the air comes up to its setting", 1.0}};
}

/// The held air's swing and how often it rises through its mean.
struct Swing {
    double size_k = 0.0, period_s = 0.0;
};

Swing swing_of(const std::vector<double>& time_s, const std::vector<double>& kelvin) {
    if (kelvin.size() < 10) return {};
    std::vector<double> sorted = kelvin;
    std::ranges::sort(sorted);
    const double middle_k = 0.5 * (sorted[sorted.size() / 20] + sorted[sorted.size() - 1 - sorted.size() / 20]);
    Swing swing{sorted[sorted.size() - 1 - sorted.size() / 20] - sorted[sorted.size() / 20], 0.0};
    std::vector<double> rises_s;
    bool is_low = false;  // with some slack, so that noise is no swing
    for (std::size_t i = 0; i < kelvin.size(); ++i) {
        if (kelvin[i] < middle_k - 0.2 * swing.size_k) is_low = true;
        if (!is_low || kelvin[i] < middle_k + 0.2 * swing.size_k) continue;
        is_low = false;
        rises_s.push_back(time_s[i]);
    }
    if (rises_s.size() >= 3) swing.period_s = (rises_s.back() - rises_s.front()) / static_cast<double>(rises_s.size() - 1);
    return swing;
}

class Fitting {
public:
    Fitting(const bake::Booth& booth, const EmptyRun& run, const RunPhases& phases, double lag_s, double standard_k)
        : booth_(booth), run_(run), phases_(phases), lag_s_(lag_s), standard_k_(standard_k), panel_(run_panel(booth)) {
        const Course air = course_of(reference_air(run, booth).trace, kEveryS);
        from_s_ = std::max(phases.heat_on_s, phases.flat_out_until_s - 60.0);
        for (std::size_t i = 0; i < air.size(); ++i)
            if (air.time_s[i] >= from_s_ && air.time_s[i] <= phases.heat_off_s) {
                time_s_.push_back(air.time_s[i]);
                air_k_.push_back(air.kelvin[i]);
            }
        held_from_s_ = phases.heat_off_s - 0.67 * (phases.heat_off_s - phases.flat_out_until_s);
    }

    ControllerFit run() {
        ControllerFit fit;
        settle_kind(fit);
        settle_offset(fit);
        search(knobs_of(booth_.controller.kind));
        // What is not told stays as it was, and the rest is sought once more beside it.
        std::vector<Knob> told_knobs;
        std::vector<BoothNumber> numbers;
        for (const Knob& knob : knobs_of(booth_.controller.kind)) {
            numbers.push_back(told(knob));
            if (numbers.back().is_told) told_knobs.push_back(knob);
        }
        for (const BoothNumber& number : numbers)
            for (const Knob& knob : knobs_of(booth_.controller.kind))
                if (number.key == knob.key && !number.is_told) booth_.controller.*knob.member = before_.*knob.member;
        search(told_knobs);
        for (BoothNumber& number : numbers) {
            for (const Knob& knob : told_knobs)
                if (number.key == knob.key) number = with_band(knob);
            fit.numbers.push_back(number);
        }
        fit.controller = booth_.controller;
        return fit;
    }

private:
    [[nodiscard]] Swing logged_swing() const {
        std::vector<double> time_s, kelvin;
        for (std::size_t i = 0; i < time_s_.size(); ++i)
            if (time_s_[i] >= held_from_s_) time_s.push_back(time_s_[i]), kelvin.push_back(air_k_[i]);
        return swing_of(time_s, kelvin);
    }

    /// Air that swings and swings again is switched on and off; a controller that is ideal becomes one that was seen.
    void settle_kind(ControllerFit& fit) {
        const Swing swing = logged_swing();
        const bool swings = swing.size_k >= kSwingsFromK && swing.period_s > 0.0;
        Controller& controller = booth_.controller;
        const Controller::Kind seen = swings ? Controller::Kind::on_off : Controller::Kind::proportional_integral;
        if (controller.kind != seen) {
            const bool was_of_none =
                controller.kind == Controller::Kind::ideal || controller.kind == Controller::Kind::burner_limited;
            if (seen == Controller::Kind::on_off)
                fit.remarks.push_back(
                    fmt::format("The held air swings by {:.1f} K every {:.1f} min: the burner clicks on and off.", swing.size_k,
                                swing.period_s / kSecondPerMinute));
            else if (!was_of_none)
                fit.remarks.push_back("The held air does not swing: the flame grows and shrinks.");
            controller.kind = seen;
            if (seen == Controller::Kind::proportional_integral)
                controller.gain_w_per_k = std::max(100.0, round_to(booth_.burner_power_w / 8.0, 100.0));
        }
        before_ = controller;
    }

    [[nodiscard]] std::optional<double> set_k() const {
        if (run_.setpoint) return course_of(*run_.setpoint, kCourseEveryS).mean_k(held_from_s_, phases_.heat_off_s);
        return run_.setpoint_k;
    }

    void settle_offset(ControllerFit& fit) {
        constexpr double kOddK = 25.0;
        BoothNumber number{"controller.sensor_offset", "controller's sensor against the air", unit::k, {}, {}, false, {}};
        const double before_k = booth_.controller.sensor_offset_k;
        number.before = {before_k - 4.0, before_k, before_k + 8.0};  // place not known; common practice
        number.now = number.before;
        number.told_by = "what was set: --set, or its channel";
        if (const std::optional<double> set = set_k()) {
            const double off_k = *set - phases_.hold_k;
            if (std::abs(off_k) > kOddK)
                throw InputError(
                    Problem{run_.name,
                            0,
                            {},
                            fmt::format("holds the air at {:.1f} °C, and the setting is said to be {:.1f} °C: is that "
                                        "the setting, in this unit?",
                                        kelvin_to_celsius(phases_.hold_k), kelvin_to_celsius(*set))});
            const double full = booth_.rise_of_full_offset_k() / (phases_.hold_k - booth_.ambient_k);
            booth_.controller.sensor_offset_k = before_.sensor_offset_k = round_to(off_k * full, 0.1);
            fit.tells_offset = true;
            fit.offset_standard_k = standard_k_ * full;
            const double band_k = 1.645 * fit.offset_standard_k, value_k = booth_.controller.sensor_offset_k;
            number.now = {value_k - band_k, value_k, value_k + band_k};
            number.is_told = true;
            number.told_by = "the held air against what was set";
        }
        fit.numbers.push_back(number);
    }

    /// As it was set: at once, or as its channel has it.
    [[nodiscard]] bake::Cycle cycle() const {
        bake::Cycle cycle;
        cycle.id = "empty run";
        cycle.start_k = std::max(phases_.start_k, booth_.ambient_k);
        const auto add = [&](double setpoint_k, double duration_s) {
            cycle.stages.push_back({.kind = bake::StageKind::hold,
                                    .setpoint_k = std::max(setpoint_k, booth_.ambient_k),
                                    .duration_s = std::max(duration_s, 1.0),
                                    .rate_k_per_s = {},
                                    .infrared = {}});
        };
        const double hold_s = phases_.heat_off_s - phases_.heat_on_s;
        if (run_.setpoint) {
            const Course set = course_of(*run_.setpoint, std::max(kCourseEveryS, hold_s / 500.0));
            double now_s = phases_.heat_on_s, now_k = *cycle.start_k;
            for (std::size_t i = 0; i < set.size(); ++i) {
                if (set.time_s[i] <= now_s + 1.0 || set.time_s[i] > phases_.heat_off_s) continue;
                now_k = std::min(set.kelvin[i], now_k + kFastestKPerS * (set.time_s[i] - now_s));
                add(now_k, set.time_s[i] - now_s);
                now_s = set.time_s[i];
            }
            if (phases_.heat_off_s > now_s + 1.0) add(now_k, phases_.heat_off_s - now_s);
            return cycle;
        }
        const double share = booth_.controller.sensor_offset_k / booth_.rise_of_full_offset_k();
        const double setpoint_k = set_k().value_or(phases_.hold_k + share * (phases_.hold_k - booth_.ambient_k));
        const double up_s = std::max(1.0, (setpoint_k - *cycle.start_k) / kFastestKPerS);
        add(setpoint_k, up_s);
        add(setpoint_k, hold_s - up_s);
        return cycle;
    }

    /// The air as its probe would have read it, at the log's times.
    [[nodiscard]] std::vector<double> predicted_k(const Controller& controller) const {
        bake::Booth booth = booth_;
        booth.controller = controller;
        bake::PredictOptions options{.start_temperature_k = std::max(phases_.start_k, booth.ambient_k)};
        const bake::Prediction made = bake::predict(panel_, booth, cycle(), options);
        const Trace& air = *made.traces.first(TraceRole::booth_air);
        std::vector<double> read = air.temperature_k;
        for (std::size_t i = 1; i < read.size(); ++i) {
            const double decay = std::exp(-(air.time_s[i] - air.time_s[i - 1]) / std::max(lag_s_, 0.1));
            read[i] = air.temperature_k[i] + (read[i - 1] - air.temperature_k[i]) * decay;
        }
        Trace lagged = air;
        lagged.temperature_k = std::move(read);
        std::vector<double> at;
        for (const double time_s : time_s_) {
            const double since_s = std::min(time_s - phases_.heat_on_s, lagged.time_s.back());
            at.push_back(temperature_at_k(lagged, since_s));
        }
        return at;
    }

    /// Misfit in kelvins: of the course itself, or of swing and period, since the moments of switching drift.
    [[nodiscard]] double misfit_k(const Controller& controller) const {
        bake::Booth booth = booth_;
        booth.controller = controller;
        if (!bake::problems_in(booth).empty()) return std::numeric_limits<double>::infinity();
        const std::vector<double> predicted = predicted_k(controller);
        if (controller.kind == Controller::Kind::on_off) {
            std::vector<double> time_s, kelvin;
            for (std::size_t i = 0; i < time_s_.size(); ++i)
                if (time_s_[i] >= held_from_s_) time_s.push_back(time_s_[i]), kelvin.push_back(predicted[i]);
            const Swing now = swing_of(time_s, kelvin), wanted = logged_swing();
            const double size_k = now.size_k - wanted.size_k;
            const double period_k =
                now.period_s > 0.0 ? wanted.size_k * std::log(now.period_s / wanted.period_s) : 2.0 * wanted.size_k;
            return std::hypot(size_k, period_k);
        }
        double squares = 0.0, count = 0.0;
        for (std::size_t i = 0; i < predicted.size() && time_s_[i] <= phases_.flat_out_until_s + kSettlesS; ++i)
            squares += std::pow(predicted[i] - air_k_[i], 2), count += 1.0;
        return std::sqrt(squares / std::max(count, 1.0));
    }

    [[nodiscard]] double cost(const Controller& controller) const {
        double held = 0.0;
        for (const Knob& knob : knobs_of(controller.kind))
            held += std::pow(std::log2(controller.*knob.member / (before_.*knob.member)), 2);
        const double off_k = misfit_k(controller);
        return off_k * off_k + kHeldK * kHeldK * held;
    }

    /// From number to number, each by a share up or down, in shares that are halved where none helps.
    void search(const std::vector<Knob>& knobs) {
        double best = cost(booth_.controller);
        for (double share = 1.0; share > 0.05; share *= 0.5)
            for (bool moved = true; moved;) {
                moved = false;
                for (const Knob& knob : knobs)
                    for (const double factor : {1.0 + share, 1.0 / (1.0 + share)}) {
                        Controller tried = booth_.controller;
                        tried.*knob.member *= factor;
                        const double now = cost(tried);
                        if (!(now < best * (1.0 - 1e-3))) continue;
                        best = now;
                        booth_.controller = tried;
                        moved = true;
                        break;
                    }
            }
        Controller rounded = booth_.controller;
        for (const Knob& knob : knobs) rounded.*knob.member = std::max(knob.step, round_to(rounded.*knob.member, knob.step));
        if (std::isfinite(misfit_k(rounded))) booth_.controller = rounded;
    }

    [[nodiscard]] BoothNumber told(const Knob& knob) const {
        BoothNumber number = with_band(knob);
        if (!number.is_told) {
            number.now = number.before;
            number.told_by = fmt::format("a log in which {} shows: a quicker logger, a longer hold", knob.told_by);
        }
        return number;
    }

    [[nodiscard]] BoothNumber with_band(const Knob& knob) const {
        const double value = booth_.controller.*knob.member, was = before_.*knob.member;
        BoothNumber number{knob.key, knob.name,   knob.unit, {0.5 * was, was, 2.0 * was}, {value, value, value},
                           true,     knob.told_by};
        const double best_k = misfit_k(booth_.controller);
        const auto is_worse = [&](double factor) {
            Controller tried = booth_.controller;
            tried.*knob.member *= factor;
            return !(misfit_k(tried) < best_k + kTellingK);
        };
        for (double* end : {&number.now.low, &number.now.high}) {
            double factor = 1.0;
            for (const double next : {1.1, 1.25, 1.5, 2.0}) {
                factor = end == &number.now.low ? 1.0 / next : next;
                if (is_worse(factor)) break;
                if (next == 2.0) number.is_told = false;
            }
            *end = factor * value;
        }
        return number;
    }

    bake::Booth booth_;
    const EmptyRun& run_;
    const RunPhases& phases_;
    double lag_s_, standard_k_, from_s_ = 0.0, held_from_s_ = 0.0;
    bake::Shell panel_;
    Controller before_;
    std::vector<double> time_s_, air_k_;
};

}  // namespace

bake::Shell run_panel(const bake::Booth& booth) {
    bake::Shell shell;
    shell.id = "empty";
    bake::Zone panel;
    panel.name = std::string(kRunPanel);
    panel.role = bake::ZoneRole::test_panel;
    panel.area_m2 = 0.05;
    panel.height_m = 0.5 * booth.inside().height_m;
    panel.length_m = 0.3;
    bake::Layer steel;
    steel.material.id = "mild_steel";
    steel.material.density_kg_per_m3 = 7850.0;
    steel.material.specific_heat_j_per_kg_k = 470.0;
    steel.material.conductivity_w_per_m_k = 50.0;
    steel.material.emissivity = 0.9;
    steel.thickness_m = 0.0008;
    panel.layers = {steel};
    panel.inner = panel.outer;
    shell.zones = {panel};
    return shell;
}

bake::Booth as_logged(bake::Booth booth, double outside_k) {
    constexpr double kHighestK = celsius_to_kelvin(250.0), kLargestRampKPerS = 1.0;
    booth.ambient_k = outside_k;
    booth.highest_setpoint_k = kHighestK;
    booth.largest_ramp_k_per_s = kLargestRampKPerS;
    booth.high_limit_k.reset();
    booth.wall_offset_k.reset();
    booth.record.reset();
    return booth;
}

ControllerFit fit_controller(const bake::Booth& booth, const EmptyRun& run, const RunPhases& phases, double air_lag_s,
                             double air_standard_k) {
    return Fitting(booth, run, phases, air_lag_s, air_standard_k).run();
}

}  // namespace bakewright::tune
