// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "draft.hpp"
#include "said.hpp"

namespace bakewright::builder {

/// Outer sizes of a body [m].
struct BodySize {
    double length_m = 0.0, width_m = 0.0, height_m = 0.0;
    double floor_m = 0.0;   ///< underside of the floor over the ground
    double lowest_m = 0.0;  ///< lowest painted edge over the ground
    [[nodiscard]] double body_m() const noexcept { return height_m - floor_m; }
};

/// A shape while it is made: where parts go, what was said.
struct Shape {
    Draft& draft;
    const Said& said;
    BodySize size;
    Heard leakage;  ///< of closed air
    Seam skin_fixing = Seam::spot_welded;
};

/// Layers of an answer, and whether somebody gave it.
struct SaidLayers {
    std::vector<HeardLayer> layers{};
    bool is_said = false;
};
[[nodiscard]] SaidLayers said_layers(const Shape& shape, std::string_view key, const UsualLayer& usual = {});
/// Layers that no question asks about.
[[nodiscard]] std::vector<HeardLayer> usual_layers(const Shape& shape, const std::string& text);
/// What stands behind skins: foam or a lining, as said.
void add_behind(const Shape& shape, std::vector<HeardLayer>& layers, double post_depth_m);

/// The frame a body stands on: rails, fixed to the cross members or sills above.
void add_chassis_rails(const Shape& shape, const std::string& above, double count);

/// Closed area of a box.
[[nodiscard]] double closed_m2(double length_m, double width_m, double height_m);
/// A floor over the whole width, and the air that stands on it.
void add_deck(Shape& shape, const char* name, double length_m, const UsualLayer& usual, const std::string& air, double air_share);

void make_box_van(Shape& shape);
void make_bus(Shape& shape);
void make_container(Shape& shape);
void make_tank(Shape& shape);
void make_panels(Shape& shape);
/// @param cab_m  its length; @param mounts  the part it stands on, or empty
void add_cab(Shape& shape, double cab_m, const std::string& mounts);

/// Everything that is loose in or on the shell.
void add_loose_things(Shape& shape);

}  // namespace bakewright::builder
