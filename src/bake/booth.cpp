// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/booth.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "control_loop.hpp"
#include "learned_rules.hpp"

namespace bakewright::bake {

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

bool Booth::states_wall_offset() const noexcept {
    return wall_offset_k.has_value() || learned.find(LearnedKind::wall_offset, {}) != nullptr;
}

BoothSize Booth::inside() const noexcept {
    if (size) return *size;
    const double across_m = std::cbrt(volume_m3 / 3.0);
    return {3.0 * across_m, across_m, across_m};
}

DoorSize Booth::doorway() const noexcept {
    constexpr double kShare = 0.8, kMostM = 4.5;
    if (door) return *door;
    const BoothSize box = inside();
    return {std::min(kShare * box.width_m, kMostM), std::min(kShare * box.height_m, kMostM)};
}

BySurface Booth::surface_areas_m2() const noexcept {
    BySurface areas_m2 = inside().areas_m2();
    const double scale = wall_area_m2 / inside().area_m2();
    for (double& area_m2 : areas_m2) area_m2 *= scale;
    return areas_m2;
}

Spread Booth::wall_loss() const noexcept {
    if (wall_loss_w_per_m2_k) return *wall_loss_w_per_m2_k;
    // Inner face to outside. Insulated: 60 mm of mineral wool between sheets with the outside film of ISO 6946 (0.13 m2K/W) are
    // 0.6; frames, joints, lights and doors bridge it, up to four times that in an old booth (common practice). Single skin:
    // natural convection outside, about 3 W/m2K at 25 K (Churchill & Chu 1975), and radiation of 1 (galvanised sheet) to 5 W/m2K
    // (painted): from 2.5 in a lee to the 7.7 of ISO 6946 for a painted wall.
    return wall == WallKind::insulated ? Spread{0.4, 0.8, 2.5} : Spread{2.5, 4.0, 7.7};
}

void visit_fields(BoothSize& size, Fields& see) {
    constexpr Range kLength{0.1, 200.0};
    see({.key = "length", .unit = unit::m, .range = kLength, .need = Need::required, .what = "length"}, size.length_m);
    see({.key = "width", .unit = unit::m, .range = kLength, .need = Need::required, .what = "width"}, size.width_m);
    see({.key = "height", .unit = unit::m, .range = kLength, .need = Need::required, .what = "height"}, size.height_m);
}

void visit_fields(DoorSize& door, Fields& see) {
    constexpr Range kLength{0.1, 50.0};
    see({.key = "width", .unit = unit::m, .range = kLength, .need = Need::required, .what = "width"}, door.width_m);
    see({.key = "height", .unit = unit::m, .range = kLength, .need = Need::required, .what = "height"}, door.height_m);
}

void visit_fields(VerticalOffset& row, Fields& see) {
    see({.key = "height",
         .unit = unit::m,
         .range = {0.0, 100.0},
         .need = Need::required,
         .what = "length above the floor",
         .rule = "rising from row to row"},
        row.height_m);
    see({.key = "offset",
         .unit = unit::k,
         .range = {-40.0, 40.0},
         .need = Need::required,
         .what = "temperature difference: local air against the reference air, in full where that is at `reference_rise` over "
                 "`reference_temperature`, nothing where it is at `ambient` ([the booth](booth.md))",
         .rule = "up to the rise over the ambient at which it holds"},
        row.offset_k);
}

void visit_fields(Ventilation& ventilation, Fields& see) {
    see({.key = "make_up", .unit = unit::m3_per_s, .range = {0.0, 1e3}, .what = "volume flow of outside air"},
        ventilation.make_up_m3_per_s);
    see({.key = "film_factor",
         .range = {0.01, 10.0},
         .what = "number: what the fans do for the film coefficient, against bake mode"},
        ventilation.film_factor);
    see({.key = "burner_may_fire", .what = "whether the booth lets its burner fire"}, ventilation.burner_may_fire);
}

void visit_fields(Controller& controller, Fields& see) {
    see({.key = "kind",
         .need = Need::required,
         .what = "`\"ideal\"`: the burner's power is not used",
         .needed = "with `controller`",
         .otherwise = "`\"ideal\"`; `\"burner_limited\"` where `burner.power` is given"},
        controller.kind);
    see({.key = "gain",
         .unit = unit::w_per_k,
         .range = {0.1, 1e7},
         .what = "conductance: power for one kelvin of error",
         .rule = "and a loop that comes to rest ([the booth](booth.md))",
         .source = "common practice"},
        controller.gain_w_per_k);
    see({.key = "integral_time",
         .unit = unit::s,
         .range = {1.0, 86400.0},
         .what = "time",
         .rule = "twice `sensor_time_constant` or more",
         .source = "common practice"},
        controller.integral_time_s);
    see({.key = "band",
         .unit = unit::k,
         .range = {0.05, 50.0},
         .what = "temperature difference: full width of the switching band",
         .rule = "and a loop that comes to rest",
         .source = "common practice"},
        controller.band_k);
    see({.key = "sensor_time_constant", .unit = unit::s, .range = {0.1, 3600.0}, .what = "time", .source = "common practice"},
        controller.sensor_time_constant_s);
    see({.key = "sensor_offset",
         .unit = unit::k,
         .range = {-50.0, 50.0},
         .what = "temperature difference: sensor above reference air, in full as `vertical_profile`",
         .rule = "up to the rise at which it holds"},
        controller.sensor_offset_k);
}

namespace {

void visit_air_and_walls(Booth& booth, Fields& see) {
    const bool has_size = see.table({.key = "size",
                                     .what = "inner size, below; volume and wall area follow from it where they are not stated",
                                     .otherwise = "3 : 1 : 1 of the volume, common practice for a booth that takes a bus"},
                                    booth.size);
    see.table({.key = "door",
               .what = "what its doors leave open when they are",
               .rule = "no larger than the booth",
               .otherwise = "0.8 of the booth's width and height, up to 4.5 m"},
              booth.door);
    const bool is_volume_stated = see({.key = "volume",
                                       .unit = unit::m3,
                                       .range = {0.01, 1e5},
                                       .what = "volume",
                                       .otherwise = has_size ? "that of `size`; without one 300 m3" : "",
                                       .source = "common practice",
                                       .note = has_size ? "" : "300 m3 is used (common practice for a booth that takes a bus)"},
                                      booth.volume_m3);
    if (has_size && !is_volume_stated) booth.volume_m3 = booth.size->volume_m3();
    see({.key = "ambient",
         .unit = unit::deg_c,
         .range = {-40.0, 50.0},
         .what = "temperature outside and of the make-up air",
         .source = "common practice"},
        booth.ambient_k);
    see({.key = "air",
         .need = Need::required,
         .what = "what the fans do for the film coefficient, 3, 5, 8 W/m2K (2 to 4, 3 to 8, 5 to 12), common practice; natural "
                 "convection joins it"},
        booth.air);
    see.spread({.key = "film",
                .unit = unit::w_per_m2k,
                .range = {0.0, 100.0, true},
                .what = "for experts: the whole film coefficient, natural convection included",
                .otherwise = "by `air`"},
               booth.film_w_per_m2_k);
    see.spread(
        {.key = "air_speed",
         .unit = unit::m_per_s,
         .range = {0.0, 30.0, true},
         .what = "for experts, in place of `film`: speed of the air along the shell while baking; the film follows from it "
                 "and the length of each zone",
         .otherwise = "by `air`"},
        booth.air_speed_m_per_s);
    see({.key = "wall", .need = Need::required, .what = "how walls and ceiling are built"}, booth.wall);
    see({.key = "floor",
         .what = "what the booth stands on: a concrete floor of a hall, or `panel`, built as the walls",
         .source = "common practice"},
        booth.floor);
    const bool is_area_stated = see({.key = "wall_area",
                                     .unit = unit::m2,
                                     .range = {0.01, 1e5},
                                     .what = "area of walls, ceiling and floor",
                                     .otherwise = has_size ? "that of `size`; without one 250 m2" : "",
                                     .source = "common practice",
                                     .note = has_size ? "" : "250 m2 is used (common practice for a booth that takes a bus)"},
                                    booth.wall_area_m2);
    if (has_size && !is_area_stated) booth.wall_area_m2 = booth.size->area_m2();
    see({.key = "wall_heat_capacity",
         .unit = unit::kj_per_m2k,
         .range = {0.01, 1e4},
         .what = "heat capacity of a square metre",
         .source = "common practice (1 mm sheet is 3.7)"},
        booth.wall_heat_capacity_j_per_m2_k);
    see.spread(
        {.key = "wall_loss",
         .unit = unit::w_per_m2k,
         .range = {0.0, 100.0, true},
         .what = "film coefficient, inner face to outside",
         .otherwise = "by `wall`: insulated 0.8 (0.4 to 2.5), 60 mm of mineral wool with the joints, lights and doors in it; "
                      "single skin 4.0 (2.5 to 7.7), natural convection and radiation outside"},
        booth.wall_loss_w_per_m2_k);
    see({.key = "wall_offset",
         .unit = unit::k,
         .range = {0.0, 60.0},
         .what = "temperature difference: all that the shell sees below the local air, in full as `vertical_profile`, where it "
                 "was measured; in place of balances of walls, ceiling and floor",
         .rule = "up to the rise at which it holds",
         .otherwise = "balances of walls, ceiling and floor ([the booth](booth.md))"},
        booth.wall_offset_k);
}

void visit_offsets(Booth& booth, Fields& see) {
    see.list({.key = "vertical_profile",
              .what = "how the air differs with the height, rows from the floor up",
              .otherwise = "none: air the same at all heights",
              .note = "the air is taken to be as warm at the floor as under the ceiling; few booths are",
              .rows_compare = true},
             booth.vertical_profile);
    see({.key = "reference_rise",
         .unit = unit::k,
         .range = {1.0, 200.0},
         .what = "temperature difference: the rise for which the offsets were measured",
         .rule = "with `reference_temperature` 5 K or more above `ambient`",
         .source = "from 20 to 65 °C"},
        booth.reference_rise_k);
    see({.key = "reference_temperature",
         .unit = unit::deg_c,
         .range = {-40.0, 60.0},
         .what = "temperature the rise counts from: the ambient when they were measured"},
        booth.reference_temperature_k);
}

void visit_limits(Booth& booth, Fields& see) {
    see({.key = "largest_ramp",
         .unit = unit::k_per_min,
         .range = {0.001, 60.0},
         .what = "heating rate of the air",
         .source = "common practice, 1 to 3 in large booths"},
        booth.largest_ramp_k_per_s);
    see({.key = "highest_setpoint",
         .unit = unit::deg_c,
         .range = {20.0, 250.0},
         .what = "temperature",
         .source = "common practice"},
        booth.highest_setpoint_k);
    see({.key = "high_limit",
         .unit = unit::deg_c,
         .range = {20.0, 500.0},
         .what = "temperature at which the burner trips",
         .rule = "`highest_setpoint` or more"},
        booth.high_limit_k);
    const Field purge{.key = "purge",
                      .unit = unit::s,
                      .range = {1.0, 86400.0},
                      .what =
                          "how the vapour is purged before the burner may light: a time, or `\"by itself\"` where the booth's "
                          "own controller sees to it",
                      .otherwise = "four volumes of the booth by its purge flow",
                      .source = "the common figure; NFPA 86 and the booth's maker overrule it",
                      .note =
                          "four volumes of the booth by its purge flow (the common figure; NFPA 86 and the booth's maker "
                          "overrule it)"};
    if (!see.instead(purge, "by itself", booth.purges_by_itself)) see(purge, booth.purge_s);
}

/// A burner whose power is stated limits the air's rise, unless the profile says otherwise; that it then counts for nothing is
/// told.
void visit_burner(Booth& booth, Fields& see) {
    bool has_power = false;
    see.table({.key = "burner", .what = "the burner", .is_section = true}, [&] {
        has_power = see({.key = "power",
                         .unit = unit::kw,
                         .range = {0.01, 1e5},
                         .what = "power; without `[controller]` the air rises no faster than it allows (`\"burner_limited\"`)",
                         .source = "from memory, 0.3 to 1 MW for large booths"},
                        booth.burner_power_w);
        see({.key = "turndown",
             .range = {1.0, 100.0},
             .what = "number: full power over least power",
             .source = "common practice"},
            booth.burner_turndown);
    });
    const bool has_controller =
        see.table({.key = "controller", .what = "how the burner is controlled", .is_section = true}, booth.controller);
    if (has_power && !has_controller) booth.controller.kind = Controller::Kind::burner_limited;
    if (has_power && has_controller && booth.controller.kind == Controller::Kind::ideal)
        see.remark(
            "burner.power is not used: with controller.kind = \"ideal\" the air is where the set point is, "
            "whatever heat that takes; \"burner_limited\" holds it to this power");
}

/// What lies off the reference air grows from nothing at the ambient, and is never colder than that.
void check_offsets(FieldCheck& check, const Booth& booth) {
    const double full_rise_k = booth.rise_of_full_offset_k();
    constexpr double kLeastRiseK = 5.0;
    if (full_rise_k < kLeastRiseK)
        return check.add(
            "reference_rise",
            fmt::format("is {:g} K over a reference temperature of {}: offsets would hold at {}, which must be {:g} K "
                        "or more above the ambient of {}",
                        booth.reference_rise_k, unit::deg_c.text(booth.reference_temperature_k),
                        unit::deg_c.text(booth.reference_temperature_k + booth.reference_rise_k), kLeastRiseK,
                        unit::deg_c.text(booth.ambient_k)));
    const auto offset = [&](const std::string& key, double offset_k, const char* what) {
        if (std::abs(offset_k) <= full_rise_k * (1.0 + 1e-9)) return;
        check.add(key,
                  fmt::format("makes {} {:g} K {} than the reference air where that is {:g} K above the ambient; accepted is "
                              "up to that rise",
                              what, std::abs(offset_k), offset_k < 0.0 ? "colder" : "hotter", full_rise_k));
    };
    const double vertical = booth.learned.value(LearnedKind::vertical_profile);
    const double wall_k = booth.wall_offset_below_air_k() * booth.learned.value(LearnedKind::wall_offset);
    if (booth.states_wall_offset()) offset("wall_offset", -wall_k, "the walls");
    offset("controller.sensor_offset", booth.controller.sensor_offset_k - booth.learned.value(LearnedKind::air_offset),
           "what the sensor reads");
    for (std::size_t i = 0; i < booth.vertical_profile.size(); ++i) {
        const std::string key = fmt::format("vertical_profile[{}].offset", i);
        const double offset_k = booth.vertical_profile[i].offset_k;
        offset(key, offset_k * vertical, "the air at this height");
        if (booth.states_wall_offset())
            offset(key, offset_k * booth.learned.value(LearnedKind::wall_offset) - wall_k, "the walls at this height");
    }
}

void check_across(FieldCheck& check, const Booth& booth) {
    if (booth.film_w_per_m2_k && booth.air_speed_m_per_s)
        check.add("air_speed", "stands beside film: give one of the two, the film follows from a speed");
    const BoothSize box = booth.inside();
    if (booth.door && booth.door->width_m > std::max(box.width_m, box.length_m))
        check.add("door.width", fmt::format("is {:g} m, the booth is {:.1f} m long and {:.1f} m wide", booth.door->width_m,
                                            box.length_m, box.width_m));
    if (booth.door && booth.door->height_m > box.height_m)
        check.add("door.height", fmt::format("is {:g} m, the booth is {:.1f} m high", booth.door->height_m, box.height_m));
    if (booth.purge_s && booth.purges_by_itself) check.add("purge", "is both a time and \"by itself\": give one of the two");
    if (booth.high_limit_k && *booth.high_limit_k < booth.highest_setpoint_k)
        check.add("high_limit", "is under highest_setpoint: a high limit lies at or above the highest set point");
    for (std::size_t i = 1; i < booth.vertical_profile.size(); ++i)
        if (booth.vertical_profile[i].height_m <= booth.vertical_profile[i - 1].height_m)
            check.add(fmt::format("vertical_profile[{}].height", i),
                      "is not above the row before it: heights must rise from row to row");
    // Held against what is wrong itself they would only repeat its mistake.
    if (check.is_fine("volume") && check.is_fine("burner") && check.is_fine("controller")) check_control_loop(check, booth);
    if (check.is_fine("ambient") && check.is_fine("reference_rise") && check.is_fine("reference_temperature"))
        check_offsets(check, booth);
}

}  // namespace

void visit_fields(Booth& booth, Fields& see) {
    visit_air_and_walls(booth, see);
    visit_offsets(booth, see);
    visit_limits(booth, see);
    visit_burner(booth, see);
    see.table({.key = "ventilation", .what = "fresh air by fan mode", .is_section = true}, [&] {
        for (std::size_t mode = 0; mode < kFanModeCount; ++mode)
            see.table({.key = word_of(static_cast<FanMode>(mode)), .what = "one fan mode", .is_section = true},
                      booth.ventilation[mode]);
    });
    see.sources(booth.sources);
    see.texts({.key = "answers", .what = "what was asked and answered, where questions made the profile"}, booth.answers);
    visit_fields(booth.learned, see);
}

std::vector<Problem> problems_in(const Booth& booth) {
    FieldCheck check;
    check.check(booth);
    check_across(check, booth);
    check_learned(check, booth.learned, true);
    return check.take();
}

}  // namespace bakewright::bake
