// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/bake/learned.hpp"
#include "bakewright/bake/track_record.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/base/fields.hpp"
#include "bakewright/base/units.hpp"

namespace bakewright::bake {

/// How the booth's fans run.
enum class FanMode { flash_off, purge, bake, cool };
inline constexpr std::size_t kFanModeCount = 4;
constexpr std::array<std::string_view, kFanModeCount> words_of(FanMode) noexcept {
    return {"flash_off", "purge", "bake", "cool"};
}

/// How strong the air moves along the shell while baking; what a painter can answer.
enum class AirStrength { gentle, normal, strong };
constexpr std::array<std::string_view, 3> words_of(AirStrength) noexcept { return {"gentle", "normal", "strong"}; }
/// How the booth's walls are built.
enum class WallKind { insulated, single_skin };
constexpr std::array<std::string_view, 2> words_of(WallKind) noexcept { return {"insulated", "single_skin"}; }
/// What the booth stands on.
enum class FloorKind { concrete, panel };
constexpr std::array<std::string_view, 2> words_of(FloorKind) noexcept { return {"concrete", "panel"}; }

/// What a shell sees of its booth: surfaces with a temperature of their own.
enum class BoothSurface { walls, ceiling, floor };
inline constexpr std::size_t kBoothSurfaceCount = 3;
/// Their names in logs and predictions.
constexpr std::array<std::string_view, kBoothSurfaceCount> words_of(BoothSurface) noexcept {
    return {"booth wall", "booth ceiling", "booth floor"};
}
/// One number a surface, by BoothSurface.
using BySurface = std::array<double, kBoothSurfaceCount>;

/// Inner size of a booth; all > 0.
struct BoothSize {
    double length_m = 0.0;
    double width_m = 0.0;
    double height_m = 0.0;

    [[nodiscard]] double volume_m3() const noexcept { return length_m * width_m * height_m; }
    /// Walls, ceiling and floor of the box.
    [[nodiscard]] BySurface areas_m2() const noexcept {
        return {2.0 * (length_m + width_m) * height_m, length_m * width_m, length_m * width_m};
    }
    [[nodiscard]] double area_m2() const noexcept { return 2.0 * ((length_m + width_m) * height_m + length_m * width_m); }
    bool operator==(const BoothSize&) const = default;
};

/// A mode of a network beside the fan modes: doors are open, the fans as in bake mode, the burner out (interlocked).
inline constexpr std::size_t kDoorsOpenMode = kFanModeCount;

/// What stands open when a booth's doors do; both > 0.
struct DoorSize {
    double width_m = 0.0, height_m = 0.0;
    bool operator==(const DoorSize&) const = default;
};

using bakewright::Spread;

/// Film coefficient of the air that the fans move along the shell in bake mode [W/(m2 K)], natural convection not in it: gentle 3
/// (2 to 4), normal 5 (3 to 8), strong 8 (5 to 12). Common practice: measured booths scatter so; to be tuned from the first probe
/// log.
[[nodiscard]] Spread film_coefficient_of(AirStrength strength) noexcept;

/// Local air against the booth's reference air, at a height: the full offset where the reference air is at the reference rise
/// over the reference temperature, nothing where it is at the booth's ambient, in a straight line through both.
struct VerticalOffset {
    double height_m = 0.0;  ///< 0 to 100
    double offset_k = 0.0;  ///< in full
    bool operator==(const VerticalOffset&) const = default;
};

/// Fresh and recirculated air of one fan mode.
struct Ventilation {
    double make_up_m3_per_s = 0.0;  ///< outside air brought in, and exhausted, >= 0
    double film_factor = 1.0;       ///< what the fans do for the film coefficient, against bake mode, > 0
    bool burner_may_fire = true;
    bool operator==(const Ventilation&) const = default;
};

/// How the burner is controlled; its loop comes to rest.
struct Controller {
    enum class Kind {
        ideal,           ///< the air is where the set point is, whatever heat that takes: the burner's power is not used
        burner_limited,  ///< the air is where the set point is as long as the burner's power brings it there
        proportional_integral,
        on_off
    } kind = Kind::ideal;
    double gain_w_per_k = 20e3;            ///< proportional_integral: power for one kelvin of error
    double integral_time_s = 300.0;        ///< proportional_integral
    double band_k = 2.0;                   ///< on_off: full width of the switching band
    double sensor_time_constant_s = 30.0;  ///< first-order lag of the control sensor
    double sensor_offset_k =
        0.0;  ///< what the sensor reads above the reference air (plenum against booth), in full as VerticalOffset
    bool operator==(const Controller&) const = default;
};
constexpr std::array<std::string_view, 4> words_of(Controller::Kind) noexcept {
    return {"ideal", "burner_limited", "proportional_integral", "on_off"};
}

/// Heat capacity of air by volume [J/(m3 K)] at 40 degC and 1.000 bar: 1.112 kg/m3 * 1007.5 J/kgK.
/// Source: Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, 6th ed., Table A.4, between 300 and 350 K.
inline constexpr double kAirHeatCapacityJPerM3K = 1.12e3;

/// A heated spray booth.
struct Booth {
    std::string id;
    std::string title;
    double volume_m3 = 300.0;                    ///< > 0
    double ambient_k = celsius_to_kelvin(20.0);  ///< outside the booth, and of the make-up air
    AirStrength air = AirStrength::normal;
    /// An expert's own numbers in place of the one for air; at most one of the two. The film coefficient is the whole of it,
    /// natural convection included; a speed is that along the shell in bake mode, from which the film follows by the length of
    /// each zone.
    std::optional<Spread> film_w_per_m2_k;
    std::optional<Spread> air_speed_m_per_s;
    WallKind wall = WallKind::insulated;
    FloorKind floor = FloorKind::concrete;
    std::optional<BoothSize> size{};             ///< inside; told by the volume where absent, see inside()
    std::optional<DoorSize> door{};              ///< see doorway()
    double wall_area_m2 = 250.0;                 ///< walls, ceiling and floor, > 0
    double wall_heat_capacity_j_per_m2_k = 8e3;  ///< of walls and ceiling, and of a floor of panels: inner skin and what heats
                                                 ///< with it, > 0
    std::optional<Spread> wall_loss_w_per_m2_k;  ///< their inner face to outside; by wall kind where absent
    /// Ideal booth: all that the shell sees lies so far below the local air at the reference rise, in place of the balances of
    /// walls, ceiling and floor.
    std::optional<double> wall_offset_k;
    std::vector<VerticalOffset> vertical_profile;  ///< rising heights; straight lines between, ends held
    /// Offsets of air, walls and sensor are stated for air at this rise over this temperature: the ambient when they were
    /// measured.
    double reference_rise_k = 45.0;
    double reference_temperature_k = celsius_to_kelvin(20.0);
    double largest_ramp_k_per_s = 3.0 / 60.0;  ///< > 0
    double highest_setpoint_k = celsius_to_kelvin(80.0);
    std::optional<double> high_limit_k;  ///< of the reference air; trips the burner for the rest of the bake
    double burner_power_w = 300e3;       ///< > 0
    double burner_turndown = 10.0;       ///< full over least steady power, >= 1; below that the burner pulses
    Controller controller;
    std::array<Ventilation, kFanModeCount> ventilation;  ///< by FanMode
    std::map<std::string, std::string> sources;
    Learned learned{};  ///< from logged bakes, of this booth
    /// How the vapour is purged before the burner may light: so long, over 0 up to 24 h; or by the booth's own controller, so
    /// that nobody has to plan it. Where neither is said four volumes of the booth are planned, see plan::purge_time_s().
    std::optional<double> purge_s{};
    bool purges_by_itself = false;
    /// What its maker was asked and said, by the key of the question, where questions made it (builder/questions.hpp).
    std::map<std::string, std::string> answers{};
    /// What the book says of earlier predictions in it, put there by who looks the booth up; absent: nobody looked.
    std::optional<TrackRecord> record{};

    [[nodiscard]] Spread film_coefficient() const noexcept;
    [[nodiscard]] double vertical_offset_k(double height_m) const noexcept;  ///< in full
    /// In full, >= 0; where it is not stated, about where a balance puts walls of this kind: insulated 5 K, single skin 18 K.
    [[nodiscard]] double wall_offset_below_air_k() const noexcept;
    /// Whether what the shell sees follows the air at a stated or learned distance, in place of balances of its own.
    [[nodiscard]] bool states_wall_offset() const noexcept;
    /// Its inner size; where not stated, 3 : 1 : 1 of its volume, about the shape of a booth that takes a bus (common practice).
    [[nodiscard]] BoothSize inside() const noexcept;
    /// What its doors leave open; where not stated four fifths of the booth's width and height, at most 4.5 m of either: doors
    /// that a vehicle passes (common practice).
    [[nodiscard]] DoorSize doorway() const noexcept;
    /// Areas of the surfaces: in proportion to inside(), wall_area_m2 in all.
    [[nodiscard]] BySurface surface_areas_m2() const noexcept;
    /// How far the air is over the ambient where offsets hold in full [K]; they grow with the rise over the ambient, from
    /// nothing.
    [[nodiscard]] double rise_of_full_offset_k() const noexcept { return reference_temperature_k + reference_rise_k - ambient_k; }
    [[nodiscard]] Spread wall_loss() const noexcept;

    bool operator==(const Booth&) const = default;
};

/// The fields of a booth below its id and title, with their ranges.
void visit_fields(VerticalOffset& row, Fields& see);
void visit_fields(Ventilation& ventilation, Fields& see);
void visit_fields(Controller& controller, Fields& see);
void visit_fields(BoothSize& size, Fields& see);
void visit_fields(DoorSize& door, Fields& see);
void visit_fields(Booth& booth, Fields& see);

/// Everything wrong with a booth; keys are paths as in the profile.
[[nodiscard]] std::vector<Problem> problems_in(const Booth& booth);

}  // namespace bakewright::bake
