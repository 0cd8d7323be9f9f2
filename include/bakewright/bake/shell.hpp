// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/learned.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/thermal/material.hpp"

namespace bakewright::bake {

/// One layer of a zone's stack. An air gap has no material of its own: heat crosses it by conduction, convection and radiation.
struct Layer {
    enum class Kind { solid, air_gap };
    Kind kind = Kind::solid;
    thermal::Material material;                  ///< of a solid layer
    double thickness_m = 0.0;                    ///< > 0
    double contact_resistance_m2_k_per_w = 0.0;  ///< >= 0, towards the next layer inward (adhesive, tape, loose fit)

    bool operator==(const Layer&) const = default;
};

/// What a face looks at.
enum class FaceView { booth, cavity, nothing };
constexpr std::array<std::string_view, 3> words_of(FaceView) noexcept { return {"booth", "cavity", "nothing"}; }

/// What covers a face while it bakes: adds a still layer and changes the emissivity.
enum class Masking { none, paper, film };
constexpr std::array<std::string_view, 3> words_of(Masking) noexcept { return {"none", "paper", "film"}; }

/// One face of a zone.
struct Face {
    FaceView view = FaceView::nothing;
    std::string cavity;       ///< name of the cavity, where view is cavity
    double emissivity = 0.9;  ///< 0 to 1; painted surfaces about 0.9
    Masking masking = Masking::none;
    std::optional<double> film_w_per_m2_k;  ///< an expert's own film coefficient in place of the booth's, > 0

    bool operator==(const Face&) const = default;
};

/// How a zone lies; decides its natural-convection correlation.
enum class Orientation { vertical, faces_up, faces_down };
constexpr std::array<std::string_view, 3> words_of(Orientation) noexcept { return {"vertical", "faces_up", "faces_down"}; }

/// What kind of trace a zone gives.
enum class ZoneRole { shell, test_panel };
constexpr std::array<std::string_view, 2> words_of(ZoneRole) noexcept { return {"shell", "test_panel"}; }

/// Where a picture of the shell shows something: a side, an end, from above, from below, inside, or hung beside it.
enum class DrawnOn { left_side, right_side, sides, top, underside, front_end, rear_end, ends, inside, beside };
constexpr std::array<std::string_view, 10> words_of(DrawnOn) noexcept {
    return {"left_side", "right_side", "sides", "top", "underside", "front_end", "rear_end", "ends", "inside", "beside"};
}

/// A rectangle in a picture of the shell, in shares from 0 to 1; to > from, high > low. On sides, from above and from below,
/// `from` and `to` run from the front to the rear; on ends, inside and beside, from left to right as one looks at it. `low` and
/// `high` run from the ground up; from above and from below, from the right side to the left.
struct DrawnPlace {
    DrawnOn on = DrawnOn::sides;
    double from = 0.0;
    double to = 1.0;
    double low = 0.0;
    double high = 1.0;

    bool operator==(const DrawnPlace&) const = default;
};

/// Outer size of a shell, for its picture; all > 0.
struct ShellSize {
    double length_m = 0.0;
    double width_m = 0.0;
    double height_m = 0.0;

    bool operator==(const ShellSize&) const = default;
};

/// A part of the shell that is taken to have one temperature over its area: a stack of layers, outside first.
struct Zone {
    std::string name;   ///< unique in the shell
    std::string title;  ///< for people; the name where empty
    ZoneRole role = ZoneRole::shell;
    double area_m2 = 0.0;   ///< > 0
    double height_m = 1.0;  ///< of its middle above the booth floor, >= 0
    double length_m = 1.0;  ///< along the air stream, for film correlations, > 0
    /// Of a round bar or tube, or the side of a box section, that lies across the stream: its film is a cylinder's then, in place
    /// of a plate's. > 0
    std::optional<double> diameter_m{};
    Orientation orientation = Orientation::vertical;
    std::vector<Layer> layers;  ///< at least one; first and last are solid
    Face outer{.view = FaceView::booth, .cavity = {}, .emissivity = 0.9, .masking = Masking::none, .film_w_per_m2_k = {}};
    Face inner;
    bool coated = true;                         ///< false for bare metal: not judged for cure
    std::string film_group;                     ///< zones whose film coefficient is tuned together; the orientation's where empty
    double infrared_absorptance = 0.9;          ///< 0 to 1; by colour, used only where a cycle has infrared
    std::optional<double> start_temperature_k;  ///< where it differs from the shell's start
    std::vector<DrawnPlace> places{};           ///< in the picture of the shell; where empty, told by height, area and names
    thermal::HeatLimits limits{};               ///< of its outer face, in place of those of its materials
    std::string limit_source{};                 ///< where they come from; not empty where there are any

    bool operator==(const Zone&) const = default;
};

/// Heat conduction between two zones: a conductance, or a contact of an area over a length of a material.
struct Link {
    std::string from;
    std::string to;
    double conductance_w_per_k = 0.0;                                                 ///< > 0
    enum class Side { outer, inner } from_side = Side::inner, to_side = Side::inner;  ///< which face of a split stack it joins
    /// Whether it is a bond that temperature differences strain, laminate on metal; absent: told by the materials, see
    /// plan::bonded_pairs().
    std::optional<bool> bonded{};
    std::optional<double> seam_m{};        ///< length of the line along which the two touch, > 0; absent: see cold_places()
    std::optional<double> seam_width_m{};  ///< of what touches along it, > 0; absent: kUsualContactWidthM

    bool operator==(const Link&) const = default;
};
constexpr std::array<std::string_view, 2> words_of(Link::Side) noexcept { return {"outer", "inner"}; }

/// Closed air inside the shell, heated only through its linings and by leakage.
struct Cavity {
    std::string name;
    double volume_m3 = 0.0;                       ///< > 0
    double leakage_per_s = 0.0;                   ///< air changes with the booth [1/s], >= 0
    double contents_heat_capacity_j_per_k = 0.0;  ///< furniture and fittings that follow the air, >= 0
    double contents_conductance_w_per_k = 0.0;    ///< between the air and those contents, > 0 where they have capacity
    std::optional<double> start_temperature_k;
    thermal::HeatLimits contents_limits{};  ///< of what is in it, by its air
    std::string contents_limit_source{};    ///< where they come from; not empty where there are any

    bool operator==(const Cavity&) const = default;
};

/// A heat-sensitive item's thermal side. Its limits are a cure::HeatSensitiveItem of the same name.
struct Item {
    std::string name;
    std::string title;
    enum class Place { zone, cavity, booth } place = Place::cavity;
    std::string where;                   ///< name of the zone or cavity
    double heat_capacity_j_per_k = 0.0;  ///< > 0
    double conductance_w_per_k = 0.0;    ///< to its place: contact to a zone, or film times area to air; > 0
    std::optional<double> start_temperature_k;
    /// Of an item at a zone: id of the material of the zone whose limits it stands in for; empty: of every material.
    std::string instead_of{};

    bool operator==(const Item&) const = default;
};

/// A shell as it stands in the booth for one bake.
struct Shell {
    std::string id;
    std::string title;
    std::vector<Zone> zones;  ///< at least one
    std::vector<Link> links;
    std::vector<Cavity> cavities;
    std::vector<Item> items;
    Learned learned{};                ///< from logged bakes, of this shell
    std::optional<ShellSize> size{};  ///< for the picture; in proportion 3 : 1 : 1 where absent
    /// What its maker was asked and said, by the key of the question, where questions made it (builder/questions.hpp).
    std::map<std::string, std::string> answers{};

    [[nodiscard]] const Zone* find_zone(const std::string& name) const noexcept;
    [[nodiscard]] std::vector<std::string> coated_zone_names() const;
    /// What is judged for cure: coated zones, the test panel, and the strips of zones over parts that lag (cold_places()).
    [[nodiscard]] std::vector<std::string> coated_place_names() const;

    bool operator==(const Shell&) const = default;
};

/// The fields of a shell's parts, with their ranges.
void visit_fields(ShellSize& size, Fields& see);
void visit_fields(Layer& layer, Fields& see);
void visit_fields(Face& face, Fields& see);
void visit_fields(DrawnPlace& place, Fields& see);
void visit_fields(Zone& zone, Fields& see);
void visit_fields(Link& link, Fields& see);
void visit_fields(Cavity& cavity, Fields& see);
void visit_fields(Item& item, Fields& see);
/// Those of a shell below its id and title. @param rest_of_item  visits what else a file says of the item of an index
void visit_fields(Shell& shell, Fields& see, const std::function<void(std::size_t)>& rest_of_item);
inline void visit_fields(Shell& shell, Fields& see) {
    visit_fields(shell, see, [](std::size_t) {});
}

/// Everything wrong with a shell; keys are paths as in the profile, such as "zone[2].layers[0].thickness"; file and line are
/// empty.
[[nodiscard]] std::vector<Problem> problems_in(const Shell& shell);

}  // namespace bakewright::bake
