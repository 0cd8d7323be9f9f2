#pragma once

#include <array>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/predict.hpp"
#include "bakewright/bake/shell.hpp"

namespace bakewright::bake {

/// Heat capacity of air by volume [J/(m3 K)] at 40 degC and 1.000 bar: 1.112 kg/m3 * 1007.5 J/kgK.
/// Source: Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, 6th ed., Table A.4, between 300 and 350 K.
inline constexpr double kAirHeatCapacityJPerM3K = 1.12e3;

/// How one face exchanges heat with what it looks at, per area.
struct FaceExchange {
    double film_w_per_m2_k = 0.0;
    double emissivity = 0.0;                                    ///< effective, 0 to 1
    std::array<double, kFanModeCount> mode_factor{1, 1, 1, 1};  ///< by FanMode
};

/// Film coefficient and effective emissivity of a face that looks at the booth or a cavity; masking taken into account.
[[nodiscard]] FaceExchange face_exchange(const Zone& zone, const Face& face, const Booth& booth, const PredictOptions& options);

}  // namespace bakewright::bake
