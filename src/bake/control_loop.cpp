// SPDX-License-Identifier: Apache-2.0
#include "control_loop.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace bakewright::bake {
namespace {

constexpr double kShortestSwitchS = 10.0;
/// Largest gain times sensor lag over the air's heat capacity: at 10,000 the air swings some 30 times before it rests.
constexpr double kBusiestLoop = 1e4;
/// Least integral time over the sensor's lag. The loop C s (tau s + 1) s + K s + K / T is stable where T > tau (Routh); at twice
/// the lag its swings fall by e in four lags.
constexpr double kLeastIntegralTime = 2.0;

double air_j_per_k(const Booth& booth) noexcept { return kAirHeatCapacityJPerM3K * booth.volume_m3; }

std::string air_and_sensor(const Booth& booth) {
    return fmt::format("with {:g} m3 of air and a sensor of {:g} s", booth.volume_m3, booth.controller.sensor_time_constant_s);
}

void check_proportional_integral(FieldCheck& check, const Booth& booth) {
    const Controller& controller = booth.controller;
    const double lag_s = controller.sensor_time_constant_s;
    if (controller.integral_time_s < kLeastIntegralTime * lag_s * (1.0 - 1e-9))
        check.add("controller.integral_time",
                  fmt::format("is {:g} s: under twice the sensor's time constant of {:g} s the burner swings and hardly settles; "
                              "accepted with this sensor is {:g} s or more",
                              controller.integral_time_s, lag_s, kLeastIntegralTime * lag_s));
    const double most_w_per_k = kBusiestLoop * air_j_per_k(booth) / lag_s;
    if (controller.gain_w_per_k > most_w_per_k)
        check.add("controller.gain",
                  fmt::format("is {:g} kW/K: {} the burner would swing for minutes before it settles; accepted with these is up "
                              "to {:.3g} kW/K, with this gain and sensor {:.3g} m3 of air or more",
                              controller.gain_w_per_k / 1e3, air_and_sensor(booth), most_w_per_k / 1e3,
                              booth.volume_m3 * controller.gain_w_per_k / most_w_per_k));
}

void check_on_off(FieldCheck& check, const Booth& booth) {
    if (!switches_too_fast_to_follow(booth)) return;
    const double lag_s = booth.controller.sensor_time_constant_s;
    const double least_k = booth.burner_power_w * lag_s / (kBusiestLoop * air_j_per_k(booth));
    if (booth.controller.band_k < least_k)
        check.add("controller.band",
                  fmt::format("is {:g} K: {} a burner of {:g} kW would switch every {:.2g} s; accepted with these is {:.3g} K or "
                              "more, with this band, burner and sensor {:.3g} m3 of air or more",
                              booth.controller.band_k, air_and_sensor(booth), booth.burner_power_w / 1e3,
                              on_off_half_period_s(booth), least_k, booth.volume_m3 * least_k / booth.controller.band_k));
}

}  // namespace

double on_off_half_period_s(const Booth& booth) noexcept {
    const double swing_s = booth.controller.band_k * 2.0 * air_j_per_k(booth) / booth.burner_power_w;  // band / r
    const double lag_s = booth.controller.sensor_time_constant_s;
    // The left side grows with H from 0, and tanh is at most 1: H lies between 0 and the band's time and two lags.
    double low_s = 0.0, high_s = swing_s + 2.0 * lag_s;
    for (int halving = 0; halving < 100; ++halving) {
        const double middle_s = 0.5 * (low_s + high_s);
        (middle_s - 2.0 * lag_s * std::tanh(0.5 * middle_s / lag_s) < swing_s ? low_s : high_s) = middle_s;
    }
    return high_s;
}

bool switches_too_fast_to_follow(const Booth& booth) noexcept {
    return booth.controller.kind == Controller::Kind::on_off && on_off_half_period_s(booth) < kShortestSwitchS;
}

void check_control_loop(FieldCheck& check, const Booth& booth) {
    if (booth.controller.kind == Controller::Kind::proportional_integral) check_proportional_integral(check, booth);
    if (booth.controller.kind == Controller::Kind::on_off) check_on_off(check, booth);
}

}  // namespace bakewright::bake
