#include <fmt/format.h>

#include "bakewright/profile/kind.hpp"
#include "bakewright/profile/write.hpp"
#include "learned.hpp"
#include "toml_writer.hpp"
#include "words.hpp"

namespace bakewright::profile {
namespace {

void add_spread(KeyValues& values, std::string_view key, const std::optional<bake::Spread>& spread, Dimension dimension) {
    if (!spread) return;
    KeyValues inner;
    inner.quantity("low", spread->low, dimension);
    inner.quantity("value", spread->value, dimension);
    inner.quantity("high", spread->high, dimension);
    values.table(key, inner);
}

void add_vertical_profile(KeyValues& values, const bake::Booth& booth) {
    std::vector<KeyValues> rows;
    for (const bake::VerticalOffset& offset : booth.vertical_profile) {
        KeyValues row;
        row.quantity("height", offset.height_m, Dimension::length);
        row.quantity("offset", offset.offset_k, Dimension::temperature_difference);
        rows.push_back(row);
    }
    if (!rows.empty()) values.tables("vertical_profile", rows);
    values.quantity("reference_rise", booth.reference_rise_k, Dimension::temperature_difference);
    values.quantity("reference_temperature", booth.reference_temperature_k, Dimension::temperature);
}

KeyValues top_values(const bake::Booth& booth) {
    KeyValues values = head(kind_name(Kind::booth), booth.id, booth.title);
    values.quantity("volume", booth.volume_m3, Dimension::volume);
    values.quantity("ambient", booth.ambient_k, Dimension::temperature);
    values.text("air", text_of(kAirWords, booth.air));
    add_spread(values, "film", booth.film_w_per_m2_k, Dimension::film_coefficient);
    add_spread(values, "air_speed", booth.air_speed_m_per_s, Dimension::speed);
    values.text("wall", text_of(kWallWords, booth.wall));
    values.quantity("wall_area", booth.wall_area_m2, Dimension::area);
    values.areal_heat_capacity("wall_heat_capacity", booth.wall_heat_capacity_j_per_m2_k);
    add_spread(values, "wall_loss", booth.wall_loss_w_per_m2_k, Dimension::film_coefficient);
    values.quantity("wall_offset", booth.wall_offset_k, Dimension::temperature_difference);
    add_vertical_profile(values, booth);
    values.quantity("largest_ramp", booth.largest_ramp_k_per_s, Dimension::heating_rate);
    values.quantity("highest_setpoint", booth.highest_setpoint_k, Dimension::temperature);
    values.quantity("high_limit", booth.high_limit_k, Dimension::temperature);
    values.quantity("purge", booth.purge_s, Dimension::time);
    if (booth.purges_by_itself) values.text("purge", kPurgesByItself);
    return values;
}

KeyValues burner_values(const bake::Booth& booth) {
    KeyValues values;
    values.quantity("power", booth.burner_power_w, Dimension::power);
    values.number("turndown", booth.burner_turndown);
    return values;
}

KeyValues controller_values(const bake::Controller& controller) {
    KeyValues values;
    values.text("kind", text_of(kControllerWords, controller.kind));
    values.quantity("gain", controller.gain_w_per_k, Dimension::conductance);
    values.quantity("integral_time", controller.integral_time_s, Dimension::time);
    values.quantity("band", controller.band_k, Dimension::temperature_difference);
    values.quantity("sensor_time_constant", controller.sensor_time_constant_s, Dimension::time);
    values.quantity("sensor_offset", controller.sensor_offset_k, Dimension::temperature_difference);
    return values;
}

KeyValues ventilation_values(const bake::Ventilation& ventilation) {
    KeyValues values;
    values.quantity("make_up", ventilation.make_up_m3_per_s, Dimension::volume_flow);
    values.number("film_factor", ventilation.film_factor);
    values.boolean("burner_may_fire", ventilation.burner_may_fire);
    return values;
}

}  // namespace

std::string to_toml(const bake::Booth& booth) {
    std::string text = top_values(booth).lines() + section("burner", burner_values(booth)) +
                       section("controller", controller_values(booth.controller));
    for (const Word<bake::FanMode>& word : kFanModeWords)
        text += section(fmt::format("ventilation.{}", word.text),
                        ventilation_values(booth.ventilation[static_cast<std::size_t>(word.value)]));
    return text + section("sources", sources_of(booth.sources)) + learned_text(booth.learned);
}

}  // namespace bakewright::profile
