// SPDX-License-Identifier: Apache-2.0
#include "bakewright/thermal/air.hpp"

#include <math.h>  // pchip of Boost 1.74 calls isnan without a namespace

#include <boost/math/interpolators/pchip.hpp>
#include <cmath>
#include <utility>
#include <vector>

#include "bakewright/base/error.hpp"

namespace bakewright::thermal {
namespace {

constexpr double kTablePressurePa = 1.0e5;

/// A table column over temperature: monotone cubics inside, straight lines outside.
class Column {
public:
    explicit Column(std::vector<double> values)
        : first_(values.front()),
          last_(values.back()),
          inside_(std::vector<double>{250.0, 300.0, 350.0, 400.0, 450.0, 500.0}, std::move(values)),
          first_slope_(inside_.prime(kAirTableLowestK)),
          last_slope_(inside_.prime(kAirTableHighestK)) {}

    [[nodiscard]] double at(double temperature_k) const {
        if (temperature_k < kAirTableLowestK) return first_ + first_slope_ * (temperature_k - kAirTableLowestK);
        if (temperature_k > kAirTableHighestK) return last_ + last_slope_ * (temperature_k - kAirTableHighestK);
        return inside_(temperature_k);
    }

private:
    double first_, last_;
    boost::math::interpolators::pchip<std::vector<double>> inside_;
    double first_slope_, last_slope_;
};

/// The printed columns. Viscosity is kept as nu times rho, which does not depend on pressure.
struct AirTable {
    Column density_times_temperature{
        {1.3947 * 250.0, 1.1614 * 300.0, 0.9950 * 350.0, 0.8711 * 400.0, 0.7740 * 450.0, 0.6964 * 500.0}};
    Column specific_heat_j_per_kg_k{{1006.0, 1007.0, 1009.0, 1014.0, 1021.0, 1030.0}};
    Column dynamic_viscosity_pa_s{
        {11.44e-6 * 1.3947, 15.89e-6 * 1.1614, 20.92e-6 * 0.9950, 26.41e-6 * 0.8711, 32.39e-6 * 0.7740, 38.79e-6 * 0.6964}};
    Column conductivity_w_per_m_k{{22.3e-3, 26.3e-3, 30.0e-3, 33.8e-3, 37.3e-3, 40.7e-3}};
};

const AirTable& table() {
    static const AirTable loaded;
    return loaded;
}

}  // namespace

AirProperties air_properties(double film_k, double pressure_pa) {
    ensure(std::isfinite(film_k) && film_k > 0.0, "the film temperature of air is above 0 K");
    ensure(std::isfinite(pressure_pa) && pressure_pa > 0.0, "the pressure of air is above 0 Pa");
    AirProperties air;
    air.temperature_k = film_k;
    air.density_kg_per_m3 = table().density_times_temperature.at(film_k) / film_k * (pressure_pa / kTablePressurePa);
    air.specific_heat_j_per_kg_k = table().specific_heat_j_per_kg_k.at(film_k);
    air.dynamic_viscosity_pa_s = table().dynamic_viscosity_pa_s.at(film_k);
    air.conductivity_w_per_m_k = table().conductivity_w_per_m_k.at(film_k);
    air.kinematic_viscosity_m2_per_s = air.dynamic_viscosity_pa_s / air.density_kg_per_m3;
    air.diffusivity_m2_per_s = air.conductivity_w_per_m_k / (air.density_kg_per_m3 * air.specific_heat_j_per_kg_k);
    air.prandtl = air.kinematic_viscosity_m2_per_s / air.diffusivity_m2_per_s;
    air.expansion_per_k = 1.0 / film_k;
    return air;
}

}  // namespace bakewright::thermal
