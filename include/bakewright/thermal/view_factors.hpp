// SPDX-License-Identifier: Apache-2.0
#pragma once

/// View factors between rectangles: the share of what leaves one surface, evenly in all directions (diffuse), that reaches
/// another. Source: J. R. Howell, A Catalog of Radiation Heat Transfer Configuration Factors, 3rd ed. Lengths in metres, all
/// finite.
namespace bakewright::thermal {

/// From a rectangle to its equal that lies opposite it. Catalogue C-11.
/// @param length_m, width_m  of both, > 0  @param distance_m  between their planes, > 0
[[nodiscard]] double view_factor_of_opposite_rectangles(double length_m, double width_m, double distance_m) noexcept;

/// From one of two rectangles that stand at right angles on a common edge to the other. Catalogue C-14.
/// @param edge_m  the common edge, > 0  @param from_m, to_m  how far either reaches from it, > 0
[[nodiscard]] double view_factor_of_rectangles_on_an_edge(double edge_m, double from_m, double to_m) noexcept;

/// From a small plane element to a rectangle parallel to it, one corner of which lies on the element's normal. Catalogue B-3.
/// @param length_m, width_m  of the rectangle, >= 0  @param distance_m  along the normal, > 0
[[nodiscard]] double view_factor_to_parallel_corner(double length_m, double width_m, double distance_m) noexcept;

/// From a small plane element to a rectangle at right angles to it that begins in the element's plane: one corner lies straight
/// beneath the element. Catalogue B-4.
/// @param depth_m  how far the rectangle reaches out before the element, >= 0  @param breadth_m  how far to one side, >= 0
/// @param height_m  of the element over the rectangle's plane, > 0
[[nodiscard]] double view_factor_to_perpendicular_corner(double depth_m, double breadth_m, double height_m) noexcept;

}  // namespace bakewright::thermal
