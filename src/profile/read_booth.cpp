#include "bakewright/profile/read.hpp"
#include "document.hpp"
#include "learned.hpp"
#include "record_readers.hpp"

namespace bakewright::profile {
namespace {

std::optional<bake::Spread> read_spread(TableReader& reader, std::string_view key, Dimension dimension) {
    if (const auto triple = reader.read_triple(key, dimension)) return bake::Spread{triple->low, triple->value, triple->high};
    return std::nullopt;
}

void read_air(TableReader& reader, bake::Booth& booth) {
    reader.note_default("volume", "300 m3 is used (common practice for a booth that takes a bus)");
    reader.read_quantity("volume", Dimension::volume, booth.volume_m3);
    reader.read_quantity("ambient", Dimension::temperature, booth.ambient_k);
    reader.read_word("air", kAirWords, booth.air, Need::required);
    booth.film_w_per_m2_k = read_spread(reader, "film", Dimension::film_coefficient);
    booth.air_speed_m_per_s = read_spread(reader, "air_speed", Dimension::speed);
}

void read_walls(TableReader& reader, bake::Booth& booth) {
    reader.read_word("wall", kWallWords, booth.wall, Need::required);
    reader.note_default("wall_area", "250 m2 is used (common practice for a booth that takes a bus)");
    reader.read_quantity("wall_area", Dimension::area, booth.wall_area_m2);
    reader.read_areal_heat_capacity("wall_heat_capacity", booth.wall_heat_capacity_j_per_m2_k);
    booth.wall_loss_w_per_m2_k = read_spread(reader, "wall_loss", Dimension::film_coefficient);
    reader.read_quantity("wall_offset", Dimension::temperature_difference, booth.wall_offset_k);
}

void read_vertical_profile(TableReader& reader, bake::Booth& booth) {
    reader.note_default("vertical_profile", "the air is taken to be as warm at the floor as under the ceiling; few booths are");
    for (TableReader& entry : reader.tables("vertical_profile")) {
        bake::VerticalOffset offset;
        bool complete = entry.read_quantity("height", Dimension::length, offset.height_m, Need::required);
        complete &= entry.read_quantity("offset", Dimension::temperature_difference, offset.offset_k, Need::required);
        entry.finish();
        if (!complete) reader.collector().mark_unread("vertical_profile");
        booth.vertical_profile.push_back(offset);
    }
    reader.read_quantity("reference_rise", Dimension::temperature_difference, booth.reference_rise_k);
    reader.read_quantity("reference_temperature", Dimension::temperature, booth.reference_temperature_k);
}

/// @return whether the burner's power is stated
bool read_burner(TableReader& reader, bake::Booth& booth) {
    reader.read_quantity("largest_ramp", Dimension::heating_rate, booth.largest_ramp_k_per_s);
    reader.read_quantity("highest_setpoint", Dimension::temperature, booth.highest_setpoint_k);
    reader.read_quantity("high_limit", Dimension::temperature, booth.high_limit_k);
    bool is_stated = false;
    if (std::optional<TableReader> burner = reader.table("burner")) {
        is_stated = burner->read_quantity("power", Dimension::power, booth.burner_power_w);
        burner->read_number("turndown", booth.burner_turndown, "a number, 1 or more");
        burner->finish();
    }
    return is_stated;
}

/// A burner whose power is stated limits the air's rise, unless the profile says otherwise; that it then counts for nothing is
/// told.
void read_controller(TableReader& reader, bool has_power, bake::Controller& controller) {
    std::optional<TableReader> table = reader.table("controller");
    if (!table) {
        if (has_power) controller.kind = bake::Controller::Kind::burner_limited;
        return;
    }
    table->read_word("kind", kControllerWords, controller.kind, Need::required);
    table->read_quantity("gain", Dimension::conductance, controller.gain_w_per_k);
    table->read_quantity("integral_time", Dimension::time, controller.integral_time_s);
    table->read_quantity("band", Dimension::temperature_difference, controller.band_k);
    table->read_quantity("sensor_time_constant", Dimension::time, controller.sensor_time_constant_s);
    table->read_quantity("sensor_offset", Dimension::temperature_difference, controller.sensor_offset_k);
    table->finish();
    if (has_power && controller.kind == bake::Controller::Kind::ideal)
        reader.collector().note(
            "burner.power is not used: with controller.kind = \"ideal\" the air is where the set point is, "
            "whatever heat that takes; \"burner_limited\" holds it to this power");
}

void read_ventilation(TableReader& reader, bake::Booth& booth) {
    std::optional<TableReader> modes = reader.table("ventilation");
    if (!modes) return;
    for (const Word<bake::FanMode>& word : kFanModeWords) {
        bake::Ventilation& ventilation = booth.ventilation[static_cast<std::size_t>(word.value)];
        std::optional<TableReader> mode = modes->table(word.text);
        if (!mode) continue;
        mode->read_quantity("make_up", Dimension::volume_flow, ventilation.make_up_m3_per_s);
        mode->read_number("film_factor", ventilation.film_factor, "a number over 0");
        mode->read_boolean("burner_may_fire", ventilation.burner_may_fire);
        mode->finish();
    }
    modes->finish();
}

/// How long, or that the booth sees to it.
void read_purge(TableReader& reader, bake::Booth& booth) {
    reader.note_default(
        "purge", "four volumes of the booth by its purge flow (the common figure; NFPA 86 and the booth's maker overrule it)");
    booth.purges_by_itself = reader.holds_text("purge", kPurgesByItself);
    if (booth.purges_by_itself)
        reader.has("purge");
    else
        reader.read_quantity("purge", Dimension::time, booth.purge_s);
}

void read_booth_keys(TableReader& reader, bake::Booth& booth) {
    read_head(reader, Kind::booth, booth.id, booth.title);
    read_air(reader, booth);
    read_walls(reader, booth);
    read_vertical_profile(reader, booth);
    const bool has_power = read_burner(reader, booth);
    read_controller(reader, has_power, booth.controller);
    read_ventilation(reader, booth);
    read_purge(reader, booth);
    reader.read_sources(booth.sources);
    read_learned(reader, booth.learned);
    reader.finish();
}

}  // namespace

Located<bake::Booth> read_booth(std::string_view text, const std::string& file) {
    Collector collector(file);
    bake::Booth booth;
    if (const std::optional<toml::table> root = parse_document(text, collector)) {
        TableReader reader(*root, {}, collector);
        read_booth_keys(reader, booth);
        collector.add_of_record(problems_in(booth));
        collector.note_numbers_without_source({}, booth.sources);
    }
    return collector.finish(std::move(booth));
}

}  // namespace bakewright::profile
