// SPDX-License-Identifier: Apache-2.0
#include "bakewright/base/gauge.hpp"

#include <array>
#include <cmath>

#include "bakewright/base/units.hpp"

namespace bakewright {
namespace {

constexpr int kFirstWeight = 3;
constexpr int kLastWeight = 30;
/// Weight of sheet iron and steel by gauge number, 3 to 30 [oz/ft2]. Source: 15 U.S.C. 206.
constexpr std::array<double, kLastWeight - kFirstWeight + 1> kWeightOzPerFt2 = {
    160, 150, 140, 130, 120, 110, 100, 90, 80, 70, 60, 50, 45, 40, 36, 32, 28, 24, 22, 20, 18, 16, 14, 12, 11, 10, 9, 8};

constexpr double kOuncePerPound = 16.0;
/// Weight per area of sheet one inch thick [oz/ft2].
constexpr double kSteelOzPerFt2PerInch = 41.82 * kOuncePerPound;  // Manufacturers' Standard Gauge, from memory
constexpr double kStainlessOzPerFt2PerInch = 640.0;               // 15 U.S.C. 206: wrought iron, 480 lb/ft3
constexpr double kZincOzPerFt2 = 2.5;                             // both faces together, from memory
constexpr int kFirstGalvanised = 8;

std::optional<double> weight_oz_per_ft2(int number) {
    if (number < kFirstWeight || number > kLastWeight) return std::nullopt;
    return kWeightOzPerFt2.at(static_cast<std::size_t>(number - kFirstWeight));
}

std::optional<double> thickness_from_weight_m(int number, double added_oz_per_ft2, double oz_per_ft2_per_inch) {
    const std::optional<double> weight = weight_oz_per_ft2(number);
    if (!weight) return std::nullopt;
    return (*weight + added_oz_per_ft2) / oz_per_ft2_per_inch * kMetrePerInch;
}

/// Brown & Sharpe: a geometric series between 0.005 in (No. 36) and 0.46 in (No. 0000), 39 steps apart.
std::optional<double> brown_and_sharpe_m(int number) {
    if (number < 0 || number > 40) return std::nullopt;
    return 0.005 * std::pow(92.0, (36.0 - number) / 39.0) * kMetrePerInch;
}

}  // namespace

std::optional<double> gauge_thickness_m(GaugeSeries series, int number) {
    switch (series) {
        case GaugeSeries::none:
            return std::nullopt;
        case GaugeSeries::steel:
            return thickness_from_weight_m(number, 0.0, kSteelOzPerFt2PerInch);
        case GaugeSeries::galvanised_steel:
            if (number < kFirstGalvanised) return std::nullopt;
            return thickness_from_weight_m(number, kZincOzPerFt2, kSteelOzPerFt2PerInch);
        case GaugeSeries::stainless_steel:
            return thickness_from_weight_m(number, 0.0, kStainlessOzPerFt2PerInch);
        case GaugeSeries::aluminium:
            return brown_and_sharpe_m(number);
    }
    return std::nullopt;
}

}  // namespace bakewright
