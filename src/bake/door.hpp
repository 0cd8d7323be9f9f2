// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/bake/booth.hpp"

namespace bakewright::bake {

/// Air that a doorway between a warm booth and the colder room lets through each way [m3/s]: hot air leaves at the top, as much
/// cold air comes in below.
///
///     Q = K / 3 A sqrt(g H (T_in - T_out) / T_mean),   K = 0.40 + 0.0045 (T_in - T_out) / K
///
/// Holds for:   a doorway in still air, its height the booth's scale; T_in - T_out up to some 50 K.
/// Leaves out:  wind, and booth air that is blown out by its own fans.
/// Source: Kiel & Wilson 1989 (K, also ASHRAE Fundamentals 1997, ch. 25, eq. (38)); Brown & Solvason 1962 (the form).
/// @param inside_k, outside_k  > 0; nothing flows where inside is not warmer
[[nodiscard]] double doorway_flow_m3_per_s(double width_m, double height_m, double inside_k, double outside_k) noexcept;

/// What the air takes from walls, ceiling and floor while cold air comes in: natural convection with the fans still on. Common
/// practice, no source.
inline constexpr double kDoorsOpenWallFilmWPerM2K = 6.0;

/// The heat that the exchange takes from the booth's air, over the rise of that air above the room [W/K], its mean while the
/// doors stand open: from air at opening_k down towards where the walls, which stay warm, hold it.
[[nodiscard]] double doorway_loss_at_w_per_k(const Booth& booth, double opening_k) noexcept;

}  // namespace bakewright::bake
