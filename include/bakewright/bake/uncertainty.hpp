// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <utility>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/learned.hpp"

namespace bakewright::bake {

/// How far what goes into a prediction may be off. A spread s of a factor means: 90 % of the members lie between 1 / (1 + s) and
/// 1 + s times the profile's number (lognormal, median 1); a spread in kelvin: 90 % lie within so much either way (normal). Each
/// film group, zone, link, cavity and item has a draw of its own. What was learned from logs (Learned) is drawn with its
/// own standard error and correlations in place of that. The film coefficient itself takes the booth's own band (Spread)
/// for its 5 % and 95 % quantiles, the value for the median: lognormal on either side; a band of air speeds to the power 0.8, as
/// a turbulent plate's film follows it (Incropera & DeWitt, 6th ed., eq. (7.38)). Defaults are common practice unless a source
/// stands beside them.
struct Uncertainty {
    /// Films differ from zone to place beyond any correlation: each zone's own deviation from its group; a booth's learned spread
    /// in place of it. Six rods in one oven scatter by 9 % (standard deviation) about one coefficient (docs/real-logs.md).
    double zone_film = 0.15;
    double cavity_film = 0.25;      ///< a handbook's correlation is good to about 25 % (Incropera & DeWitt, 6th ed., ch. 7 and 9)
    double thickness = 0.10;        ///< hand-laid laminate; heat capacity goes with it, conductance through it against it
    double link = 0.5;              ///< welds and flanges taken from a drawing
    double leakage = 1.0;           ///< nobody measures it
    double contact = 1.0;           ///< handbook tables of contact resistances span more than a factor of two
    double emissivity = 0.05;       ///< paints lie at 0.85 to 0.95 (Incropera & DeWitt, 6th ed., table A.11)
    double vertical_profile = 0.3;  ///< from a hand-held thermometer at two heights
    double wall_offset = 0.5;
    double wall_loss = 0.2;  ///< of one stated as a number; else its band (Spread) counts, wide as booths are; 0: none
    /// Heat capacity of walls: follows from how they are built, and is not drawn unless it is asked for or was learned.
    double wall_capacity = 0.0;
    double floor = 0.6;  ///< dry screed to wet concrete; Incropera & DeWitt, 6th ed., table A.3 has k 0.7 to 1.4
    double make_up = 0.1;
    double doorway = 0.6;  ///< wind, air that the fans blow out, doors half open; common practice, no source
    double burner_power = 0.05;
    double air_k = 1.5;          ///< the booth's sensor: class 1 type K (IEC 60584-1:2013)
    double outside_air_k = 3.0;  ///< behind walls and ceiling, and of fresh air where the booth's air is solved for
    double start_k = 2.0;        ///< of the whole shell
    double surface_k = 2.5;      ///< of a probe on a wall, where walls were logged: class 2 type K (IEC 60584-1:2013)
    /// The model's own errors, as factors on discrepancy_sizes() (bake/members.hpp): each zone's own air, which grows with the
    /// air's rise, and the temperature of walls, ceiling and floor.
    double own_air = 1.0, surroundings = 1.0;
    double probe_k = 0.0;  ///< of every reading by itself: 1.5 where the question is what class 1 probes will show
    /// @throws InputError where a spread is not 0 to 10, or 0 to 50 K
    void check() const;
};

/// Standard deviations from the median to the 95 % quantile of a normal distribution.
inline constexpr double kDeviationsTo95 = 1.6448536269514722;

/// Standard deviations of the logarithm of a factor of the network, below and above its median; none for the film, which has the
/// booth's band, and for what follows another.
struct LogSpread {
    double low = 0.0, high = 0.0;
    [[nodiscard]] double mean() const noexcept { return 0.5 * (low + high); }
};
[[nodiscard]] LogSpread spread_of(FactorKind kind, const Booth& booth, const Uncertainty& uncertainty) noexcept;

/// Where the booth's film coefficient's band lies against its value, as factors: {5 %, 95 %}.
[[nodiscard]] std::pair<double, double> film_band(const Booth& booth) noexcept;

}  // namespace bakewright::bake
