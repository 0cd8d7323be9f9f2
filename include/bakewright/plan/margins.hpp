// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/shell.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/plan/so_far.hpp"

namespace bakewright::plan {

/// No margin is looked for beyond this [K].
inline constexpr double kWidestMarginK = 100.0;

/// Kelvin to spare of a coated zone. Below 0: so much is lacking.
struct ZoneMargin {
    std::string zone;
    double cure_k = 0.0;               ///< so much colder the whole trace could be, and the zone were still cured
    std::optional<double> too_much_k;  ///< so much hotter it could be and not be over-baked; absent where the sheet has no limit
};

/// Kelvin to spare of an item: so much hotter its whole trace could be, and no limit were passed.
struct ItemMargin {
    std::string item;
    double spare_k = 0.0;
};

/// Kelvin to spare of an earlier coat on one zone: so much hotter the trace could be, and it were not over-baked.
struct CoatMargin {
    std::string coat, zone;
    double spare_k = 0.0;
};

/// What a cycle has to spare.
struct Margins {
    std::vector<ZoneMargin> zones;  ///< in the order asked
    std::vector<ItemMargin> items;
    std::vector<CoatMargin> coats;  ///< earlier ones that have a limit

    /// The smallest of all, and whose it is. kWidestMarginK where there is nothing to be judged.
    [[nodiscard]] double smallest_k() const noexcept;
    [[nodiscard]] std::string smallest_of() const;
};

/// The margins of a bake, found within 0.01 K by bracketing roots (Boost.Math, TOMS 748): a whole trace is shifted until the
/// answer turns. A schedule that means booth air is shifted with the booth air.
/// @param zones   coated zones; a zone or item without a trace is left out
/// @param so_far  what earlier coats and items had before; null: nothing
[[nodiscard]] Margins margins(const TraceSet& traces, const cure::Coating& coating,
                              const std::vector<cure::HeatSensitiveItem>& items, const std::vector<std::string>& zones,
                              const SoFar* so_far = nullptr);

/// Two zones that a bond joins.
struct BondedPair {
    std::string metal, laminate;
    bool operator==(const BondedPair&) const = default;
};

/// A material that is no metal counts as laminate with a density between these [kg/m3]: glass fibre in resin lies at 1500 to
/// 1900; wood, foam, rubber and acrylic are lighter, glass is heavier. Hard PVC counts too: where that is wrong the profile says
/// so.
inline constexpr double kLightestLaminate = 1300.0, kHeaviestLaminate = 2300.0;

/// The links of a shell whose two faces are metal on one side and laminate on the other, or that the profile marks as bonded; not
/// those it marks as not bonded. Of a marked link of two alike the first counts as the metal.
[[nodiscard]] std::vector<BondedPair> bonded_pairs(const bake::Shell& shell);

/// The largest difference across a bond: what reads through at the bond line.
struct LargestDifference {
    BondedPair pair;
    double metal_less_laminate_k = 0.0;  ///< its sign tells which leads
    double at_s = 0.0;

    [[nodiscard]] double size_k() const noexcept;
};

/// Over all pairs and moments, between the traces of the zones' coated faces; absent where no pair has both traces. Traces are
/// straight between samples, so that it lies at a sample.
[[nodiscard]] std::optional<LargestDifference> largest_difference(const TraceSet& traces, const std::vector<BondedPair>& pairs);

}  // namespace bakewright::plan
