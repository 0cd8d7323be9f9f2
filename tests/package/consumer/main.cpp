// SPDX-License-Identifier: Apache-2.0
// A program that knows bakewright only as an installed package. Exit status 0 where the libraries answer as they should.

#include <cmath>
#include <iostream>

#include "bakewright/base/format.hpp"
#include "bakewright/base/quantity.hpp"

#ifdef CONSUMER_PREDICTS
bool prediction_is_plausible();
#endif

int main() {
    const double setpoint_k = bakewright::parse_quantity("140 degF", bakewright::Dimension::temperature);
    std::cout << bakewright::format_temperature(setpoint_k, {}) << '\n';
    if (std::abs(setpoint_k - 333.15) > 1e-9) return 1;
#ifdef CONSUMER_PREDICTS
    if (!prediction_is_plausible()) return 1;
#endif
    return 0;
}
