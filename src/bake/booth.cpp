#include "bakewright/bake/booth.hpp"

#include <algorithm>
#include <cmath>

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

std::vector<Problem> problems_in(const Booth& booth) {
    RangeCheck check;
    check.positive("volume", booth.volume_m3, "a volume above 0 m3");
    check.within("ambient", booth.ambient_k, celsius_to_kelvin(-40.0), celsius_to_kelvin(50.0), "-40 to 50 degC");
    check.spread("film", booth.film_w_per_m2_k, 100.0, "low <= value <= high, above 0 and at most 100 W/m2K");
    check.spread("air_speed", booth.air_speed_m_per_s, 30.0, "low <= value <= high, above 0 and at most 30 m/s");
    if (booth.film_w_per_m2_k && booth.air_speed_m_per_s)
        check.add("air_speed", "stands beside film: give one of the two, the film follows from a speed");
    check.positive("wall_area", booth.wall_area_m2, "an area above 0 m2");
    check.positive("wall_heat_capacity", booth.wall_heat_capacity_j_per_m2_k, "a number above 0 J/m2K");
    check.spread("wall_loss", booth.wall_loss_w_per_m2_k, 100.0, "low <= value <= high, above 0 and at most 100 W/m2K");
    if (booth.wall_offset_k) check.within("wall_offset", *booth.wall_offset_k, 0.0, 60.0, "0 to 60 K");
    check.positive("reference_rise", booth.reference_rise_k, "a difference above 0 K");
    check.within("reference_temperature", booth.reference_temperature_k, celsius_to_kelvin(-40.0), celsius_to_kelvin(60.0),
                 "-40 to 60 degC");
    check.within("largest_ramp", booth.largest_ramp_k_per_s, 0.001 / 60.0, 60.0 / 60.0, "0.001 to 60 K/min");
    check.within("highest_setpoint", booth.highest_setpoint_k, celsius_to_kelvin(20.0), celsius_to_kelvin(250.0),
                 "20 to 250 degC");
    if (booth.high_limit_k && *booth.high_limit_k < booth.highest_setpoint_k)
        check.add("high_limit", "is under highest_setpoint: a high limit lies at or above the highest set point");
    check.positive("burner.power", booth.burner_power_w, "a power above 0 kW");
    check.within("burner.turndown", booth.burner_turndown, 1.0, 100.0, "1 to 100");
    check.positive("controller.gain", booth.controller.gain_w_per_k, "a number above 0 W/K");
    check.positive("controller.integral_time", booth.controller.integral_time_s, "a time above 0 s");
    check.positive("controller.band", booth.controller.band_k, "a difference above 0 K");
    check.positive("controller.sensor_time_constant", booth.controller.sensor_time_constant_s, "a time above 0 s");
    check.within("controller.sensor_offset", booth.controller.sensor_offset_k, -50.0, 50.0, "-50 to 50 K");
    if (booth.purge_s) check.within("purge", *booth.purge_s, 1.0, 24.0 * kSecondPerHour, "1 s to 24 h, or \"by itself\"");
    if (booth.purge_s && booth.purges_by_itself) check.add("purge", "is both a time and \"by itself\": give one of the two");
    for (std::size_t m = 0; m < kFanModeCount; ++m) {
        const std::string prefix = fmt::format("ventilation.{}", fan_mode_name(static_cast<FanMode>(m)));
        check.not_negative(prefix + ".make_up", booth.ventilation[m].make_up_m3_per_s, "a flow of 0 m3/s or more");
        check.within(prefix + ".film_factor", booth.ventilation[m].film_factor, 0.01, 10.0, "0.01 to 10");
    }
    for (std::size_t i = 0; i < booth.vertical_profile.size(); ++i) {
        const std::string prefix = "vertical_profile[" + std::to_string(i) + "]";
        const VerticalOffset& row = booth.vertical_profile[i];
        check.not_negative(prefix + ".height", row.height_m, "a height of 0 m or more");
        check.within(prefix + ".offset", row.offset_k, -40.0, 40.0, "-40 to 40 K");
        if (i > 0 && row.height_m <= booth.vertical_profile[i - 1].height_m)
            check.add(prefix + ".height", "is not above the row before it: heights must rise from row to row");
    }
    std::vector<Problem> problems = check.take();
    const std::vector<Problem> of_learned = problems_in(booth.learned, true);
    problems.insert(problems.end(), of_learned.begin(), of_learned.end());
    return problems;
}

}  // namespace bakewright::bake
