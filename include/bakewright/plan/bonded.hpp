#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/shell.hpp"
#include "bakewright/base/trace.hpp"

namespace bakewright::plan {

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
