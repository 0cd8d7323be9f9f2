// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

namespace bakewright::builder {

/// A metal section: what of it is heated, and how much metal there is behind that.
struct Section {
    double perimeter_m = 0.0;  ///< heated outline: a tube's outside, an open section's developed width (one face of it)
    double area_m2 = 0.0;      ///< of metal
    double depth_m = 0.0;      ///< its larger outer size, along the air
    bool is_closed = false;    ///< a tube, whose inside sees no air that moves
    /// Thickness of a sheet of this outline with as much metal [m], so that both face and mass are right.
    [[nodiscard]] double layer_m() const noexcept { return area_m2 / perimeter_m; }
};

/// Rectangular tube. Outer corners of radius 2 t (up to 6 mm of wall), inner of t:
///     outline = 2 (B + H) - 2 (4 - pi) r_o,   metal = 2 t (B + H - 2 t) - (4 - pi) (r_o^2 - r_i^2)
/// Source: EN 10219-2 (corner radii from memory).
[[nodiscard]] Section hollow_section(double width_m, double height_m, double thickness_m) noexcept;
/// Channel with square corners, heated on both faces: developed width H + 2 B - 2 t.
[[nodiscard]] Section channel(double height_m, double flange_m, double thickness_m) noexcept;
/// Angle: developed width B + H - t.
[[nodiscard]] Section angle_section(double width_m, double height_m, double thickness_m) noexcept;
/// Round bar: outline pi D, layer D / 4.
[[nodiscard]] Section round_bar(double diameter_m) noexcept;

/// Developed length over pitch of trapezoidal sheet. @param slope_m  run of a slope along the pitch
[[nodiscard]] double developed_factor(double outer_m, double inner_m, double slope_m, double depth_m) noexcept;

/// A section as somebody said it.
struct HeardSection {
    Section section{};
    double spacing_m = 0.0;  ///< "every 600 mm"; 0 where none was said
    std::string written{};   ///< "40 x 40 x 2.5 mm tube"
};

/// "40x40x2.5", "40 mm square tube every 600 mm", "180 x 60 x 5 channel", "1-1/2\" tube at 24\"". A wall that is not said is 2.5
/// mm up to 50 mm of tube, else 3 mm (common practice). @throws NotUnderstood
[[nodiscard]] HeardSection heard_section(std::string_view text);

}  // namespace bakewright::builder
