// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <optional>
#include <string_view>

namespace bakewright {

/// Which sheet gauge series a number such as "18 gauge" belongs to. The same number is a different thickness in each.
enum class GaugeSeries {
    none,              ///< the material is not sold by gauge: "18 gauge" is an input error
    steel,             ///< uncoated carbon steel, Manufacturers' Standard Gauge
    galvanised_steel,  ///< zinc-coated steel
    stainless_steel,   ///< US Standard Gauge, 15 U.S.C. 206
    aluminium          ///< Brown & Sharpe (ASTM B258)
};

/// Thickness of sheet of a gauge number [m]; nothing where the series has no such number.
///
/// Steel, galvanised and stainless come from the weight per area that US law gives to a gauge number (No. 18 is 32 oz/ft2):
/// stainless by the law's own 640 oz per ft2 and inch, steel by 41.82 lb per ft2 and inch, galvanised by the same
/// after adding 2.5 oz/ft2 of zinc. Aluminium: 0.005 in * 92^((36 - n)/39).
/// Range: 3 to 30 (galvanised 8 to 30, aluminium 0 to 40).
/// Source: 15 U.S.C. 206 (weights); 41.82 lb and 2.5 oz: from memory; ASTM B258 (formula), from memory.
[[nodiscard]] std::optional<double> gauge_thickness_m(GaugeSeries series, int number);

constexpr std::array<std::string_view, 5> words_of(GaugeSeries) noexcept {
    return {"none", "steel", "galvanised steel", "stainless steel", "aluminium"};
}

}  // namespace bakewright
