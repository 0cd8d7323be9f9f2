#include "bakewright/bake/booth.hpp"

#include <algorithm>
#include <cmath>

#include "control_loop.hpp"
#include "range_check.hpp"

namespace bakewright::bake {

std::string_view fan_mode_name(FanMode mode) noexcept {
    static constexpr std::string_view kNames[kFanModeCount] = {"flash_off", "purge", "bake", "cool"};
    return kNames[static_cast<std::size_t>(mode)];
}

Spread film_coefficient_of(AirStrength strength) noexcept {
    switch (strength) {
        case AirStrength::gentle:
            return {2.0, 3.0, 4.0};
        case AirStrength::normal:
            return {3.0, 5.0, 8.0};
        case AirStrength::strong:
            return {5.0, 8.0, 12.0};
    }
    return {3.0, 5.0, 8.0};
}

Spread Booth::film_coefficient() const noexcept { return film_w_per_m2_k ? *film_w_per_m2_k : film_coefficient_of(air); }

double Booth::vertical_offset_k(double height_m) const noexcept {
    if (vertical_profile.empty()) return 0.0;
    if (height_m <= vertical_profile.front().height_m) return vertical_profile.front().offset_k;
    if (height_m >= vertical_profile.back().height_m) return vertical_profile.back().offset_k;
    const auto above = std::upper_bound(vertical_profile.begin(), vertical_profile.end(), height_m,
                                        [](double height, const VerticalOffset& row) { return height < row.height_m; });
    const VerticalOffset& high = *above;
    const VerticalOffset& low = *(above - 1);
    const double share = (height_m - low.height_m) / (high.height_m - low.height_m);
    return low.offset_k + share * (high.offset_k - low.offset_k);
}

double Booth::wall_offset_below_air_k() const noexcept {
    if (wall_offset_k) return *wall_offset_k;
    return wall == WallKind::insulated ? 5.0 : 18.0;
}

Spread Booth::wall_loss() const noexcept {
    if (wall_loss_w_per_m2_k) return *wall_loss_w_per_m2_k;
    // Inner face to outside. Insulated: 60 mm of mineral wool between sheets with the outside film of ISO 6946 (0.13 m2K/W); the
    // wool's thickness is common practice. Single skin: natural convection outside, about 3 W/m2K at 25 K (Churchill & Chu 1975),
    // and radiation of 1 (galvanised sheet) to 5 W/m2K (painted): from 2.5 in a lee to the 7.7 of ISO 6946 for a painted wall.
    return wall == WallKind::insulated ? Spread{0.4, 0.6, 1.0} : Spread{2.5, 4.0, 7.7};
}

namespace {

void check_air_and_walls(RangeCheck& check, const Booth& booth) {
    check.within("volume", booth.volume_m3, 0.01, 1e5, kCubicMetre);
    check.within("ambient", booth.ambient_k, -40.0, 50.0, kDegC);
    check.spread("film", booth.film_w_per_m2_k, 100.0, kFilm);
    check.spread("air_speed", booth.air_speed_m_per_s, 30.0, kMetrePerSecond);
    if (booth.film_w_per_m2_k && booth.air_speed_m_per_s)
        check.add("air_speed", "stands beside film: give one of the two, the film follows from a speed");
    check.within("wall_area", booth.wall_area_m2, 0.01, 1e5, kSquareMetre);
    check.within("wall_heat_capacity", booth.wall_heat_capacity_j_per_m2_k, 0.01, 1e4, kKilojoulePerSquareMetreKelvin);
    check.spread("wall_loss", booth.wall_loss_w_per_m2_k, 100.0, kFilm);
    if (booth.wall_offset_k) check.within("wall_offset", *booth.wall_offset_k, 0.0, 60.0, kKelvin);
}

/// What lies off the reference air grows from nothing at the ambient, and is never colder than that.
void check_offsets(RangeCheck& check, const Booth& booth) {
    const bool is_ambient_good = booth.ambient_k >= kDegC.si(-40.0) && booth.ambient_k <= kDegC.si(50.0);
    const bool is_good_so_far = check.found_none();
    check.within("reference_rise", booth.reference_rise_k, 1.0, 200.0, kKelvin);
    check.within("reference_temperature", booth.reference_temperature_k, -40.0, 60.0, kDegC);
    // Held against an ambient that is none they would only repeat its mistake.
    if (!is_ambient_good || is_good_so_far != check.found_none()) return;
    const double full_rise_k = booth.rise_of_full_offset_k();
    constexpr double kLeastRiseK = 5.0;
    if (full_rise_k < kLeastRiseK)
        return check.add(
            "reference_rise",
            fmt::format("is {:g} K over a reference temperature of {}: offsets would hold at {}, which must be {:g} K "
                        "or more above the ambient of {}",
                        booth.reference_rise_k, kDegC.text(booth.reference_temperature_k),
                        kDegC.text(booth.reference_temperature_k + booth.reference_rise_k), kLeastRiseK,
                        kDegC.text(booth.ambient_k)));
    const auto offset = [&](const std::string& key, double offset_k, const char* what) {
        if (std::abs(offset_k) <= full_rise_k * (1.0 + 1e-9)) return;
        check.add(key,
                  fmt::format("makes {} {:g} K {} than the reference air where that is {:g} K above the ambient; accepted is "
                              "up to that rise",
                              what, std::abs(offset_k), offset_k < 0.0 ? "colder" : "hotter", full_rise_k));
    };
    const double vertical = booth.learned.value(LearnedKind::vertical_profile);
    const double wall_k = booth.wall_offset_below_air_k() * booth.learned.value(LearnedKind::wall_offset);
    offset("wall_offset", -wall_k, "the walls");
    offset("controller.sensor_offset", booth.controller.sensor_offset_k - booth.learned.value(LearnedKind::air_offset),
           "what the sensor reads");
    for (std::size_t i = 0; i < booth.vertical_profile.size(); ++i) {
        const std::string prefix = "vertical_profile[" + std::to_string(i) + "]";
        const VerticalOffset& row = booth.vertical_profile[i];
        check.within(prefix + ".height", row.height_m, 0.0, 100.0, kMetre);
        check.within(prefix + ".offset", row.offset_k, -40.0, 40.0, kKelvin);
        if (i > 0 && row.height_m <= booth.vertical_profile[i - 1].height_m)
            check.add(prefix + ".height", "is not above the row before it: heights must rise from row to row");
        offset(prefix + ".offset", row.offset_k * vertical, "the air at this height");
        offset(prefix + ".offset", row.offset_k * booth.learned.value(LearnedKind::wall_offset) - wall_k,
               "the walls at this height");
    }
}

void check_burner(RangeCheck& check, const Booth& booth) {
    check.within("largest_ramp", booth.largest_ramp_k_per_s, 0.001, 60.0, kKelvinPerMinute);
    check.within("highest_setpoint", booth.highest_setpoint_k, 20.0, 250.0, kDegC);
    if (booth.purge_s) {
        check.within("purge", *booth.purge_s, 1.0, 24.0 * kSecondPerHour, kSecond);
        if (booth.purges_by_itself) check.add("purge", "is both a time and \"by itself\": give one of the two");
    }
    if (booth.high_limit_k) {
        check.within("high_limit", *booth.high_limit_k, 20.0, 500.0, kDegC);
        if (*booth.high_limit_k < booth.highest_setpoint_k)
            check.add("high_limit", "is under highest_setpoint: a high limit lies at or above the highest set point");
    }
    check.within("burner.power", booth.burner_power_w, 0.01, 1e5, kKilowatt);
    check.within("burner.turndown", booth.burner_turndown, 1.0, 100.0, kPlain);
    const Controller& controller = booth.controller;
    check.within("controller.gain", controller.gain_w_per_k, 0.1, 1e7, kWattPerKelvin);
    check.within("controller.integral_time", controller.integral_time_s, 1.0, 86400.0, kSecond);
    check.within("controller.band", controller.band_k, 0.05, 50.0, kKelvin);
    check.within("controller.sensor_time_constant", controller.sensor_time_constant_s, 0.1, 3600.0, kSecond);
    check.within("controller.sensor_offset", controller.sensor_offset_k, -50.0, 50.0, kKelvin);
}

}  // namespace

std::vector<Problem> problems_in(const Booth& booth) {
    RangeCheck check;
    check_air_and_walls(check, booth);
    check_burner(check, booth);
    if (check.found_none()) check_control_loop(check, booth);
    check_offsets(check, booth);
    for (std::size_t m = 0; m < kFanModeCount; ++m) {
        const std::string prefix = fmt::format("ventilation.{}", fan_mode_name(static_cast<FanMode>(m)));
        check.within(prefix + ".make_up", booth.ventilation[m].make_up_m3_per_s, 0.0, 1e3, kCubicMetrePerSecond);
        check.within(prefix + ".film_factor", booth.ventilation[m].film_factor, 0.01, 10.0, kPlain);
    }
    std::vector<Problem> problems = check.take();
    const std::vector<Problem> of_learned = problems_in(booth.learned, true);
    problems.insert(problems.end(), of_learned.begin(), of_learned.end());
    return problems;
}

}  // namespace bakewright::bake
