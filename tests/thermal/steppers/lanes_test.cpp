// SPDX-License-Identifier: Apache-2.0
#include "steppers/lanes.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

namespace bakewright::thermal {
namespace {

template <class Pack>
Pack ramp(double first, double step) {
    Pack pack;
    for (std::size_t i = 0; i < Pack::width; ++i)
        pack.set(i, static_cast<typename Pack::scalar_type>(first + step * static_cast<double>(i)));
    return pack;
}

}  // namespace

TEST_CASE_TEMPLATE("a pack does in every lane what a number does", Pack, Lanes<double, 1>, Lanes<double, 2>, Lanes<double, 8>,
                   Lanes<double, 16, isa::Avx2>, Lanes<double, 8, isa::Avx512>, Lanes<float, 4>, Lanes<float, 32, isa::Avx512>) {
    using Scalar = typename Pack::scalar_type;
    const Pack a = ramp<Pack>(-2.5, 1.25);
    const Pack b = ramp<Pack>(3.0, -0.75);
    const Pack sum = a + b, difference = a - b, product = a * b, quotient = a / (b * b + 1.0), negative = -a;
    const Pack mixed = 2.0 * a + 1;
    const Pack root = sqrt(a * a), magnitude = abs(a), larger = max(a, b), smaller = min(a, b),
               chosen = select(a < b, a, Pack(7.0));
    for (std::size_t i = 0; i < Pack::width; ++i) {
        const Scalar x = a[i], y = b[i];
        CHECK(sum[i] == x + y);
        CHECK(difference[i] == x - y);
        CHECK(product[i] == x * y);
        CHECK(quotient[i] == x / (y * y + 1));
        CHECK(negative[i] == -x);
        CHECK(mixed[i] == 2 * x + 1);
        CHECK(root[i] == std::sqrt(x * x));
        CHECK(magnitude[i] == std::abs(x));
        CHECK(larger[i] == std::max(x, y));
        CHECK(smaller[i] == std::min(x, y));
        CHECK(chosen[i] == (x < y ? x : Scalar(7)));
        CHECK((a <= b)[i] == (x <= y));
        CHECK((a > b)[i] == (x > y));
        CHECK((a >= b)[i] == (x >= y));
        CHECK((a == a)[i]);
    }
}

TEST_CASE("the largest lane is found wherever it stands, and a lane that is not a number is not passed over") {
    for (std::size_t place = 0; place < 8; ++place) {
        Lanes<double, 8> pack = ramp<Lanes<double, 8>>(0.0, 0.1);
        pack.set(place, 5.0);
        CHECK(largest_lane(pack) == 5.0);
        pack.set(place, std::numeric_limits<double>::quiet_NaN());
        CHECK(std::isnan(largest_lane(pack)));
    }
    CHECK(largest_lane(3.0) == 3.0);
}

TEST_CASE("a pack starts at zero and takes a number into every lane") {
    const Lanes<float, 8> zero, three(3.0);
    for (std::size_t i = 0; i < 8; ++i) {
        CHECK(zero[i] == 0.0F);
        CHECK(three[i] == 3.0F);
    }
}

}  // namespace bakewright::thermal
