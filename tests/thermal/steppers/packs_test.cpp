// SPDX-License-Identifier: Apache-2.0
// The steppers over packs: every lane a member of an ensemble.
#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "steppers/dense_output_stepper.hpp"
#include "thermal/steppers/test_systems.hpp"

namespace bakewright::thermal {
namespace {

constexpr std::uint32_t kBodies = 12;

/// Member m has films scaled by a number of its own.
double film_factor(std::size_t member, std::size_t body) {
    return 1.0 + 0.1 * std::sin(1.0 + 3.0 * static_cast<double>(member + body));
}

template <class Real>
test::BoothChain<Real> booth_of(std::size_t first_member) {
    test::BoothChain<Real> booth(kBodies);
    for (std::size_t body = 0; body < kBodies; ++body) {
        Real factor{};
        for (std::size_t l = 0; l < lane_count_v<Real>; ++l)
            set_lane(factor, l, static_cast<lane_scalar_t<Real>>(film_factor(first_member + l, body)));
        booth.scale_film(body, factor);
    }
    return booth;
}

template <class Real, template <class> class Stepper>
std::vector<Real> run(std::size_t first_member, double tolerance, const SegmentOptions& options = {}) {
    StepOptions steps;
    steps.absolute_tolerance = tolerance;
    DenseOutputStepper<Stepper<Real>> stepper(steps);
    const auto booth = booth_of<Real>(first_member);
    auto y = booth.start();
    integrate_segment(stepper, booth, std::span<Real>(y), 0.0, 3600.0, options);
    return y;
}

template <class Real>
using Rosenbrock = RosenbrockStepper<Real>;

/// Largest difference between the lanes of a pack and members run one by one.
template <class Real, template <class> class Stepper>
double difference_from_singles(double tolerance, std::span<const double> plan = {}) {
    SegmentOptions options;
    options.plan_s = plan;
    const auto pack = run<Real, Stepper>(0, tolerance, options);
    double largest = 0.0;
    for (std::size_t l = 0; l < lane_count_v<Real>; ++l) {
        const auto single = run<double, Stepper>(l, plan.empty() ? 1e-8 : tolerance, options);
        for (std::size_t i = 0; i < single.size(); ++i)
            largest = std::max(largest, std::abs(static_cast<double>(lane(pack[i], l)) - single[i]));
    }
    return largest;
}

}  // namespace

TEST_CASE_TEMPLATE_DEFINE("the lanes of a pack are the members run one by one, within the tolerance of the steps", Pack,
                          lanes_are_members) {
    CHECK(difference_from_singles<Pack, Rosenbrock>(1e-3) <= 5e-3);
}

TEST_CASE_TEMPLATE_DEFINE("single precision loses nothing at a hundredth of a kelvin", Pack, single_precision) {
    CHECK(difference_from_singles<Pack, Rosenbrock>(1e-2) <= 1e-2);
}

TEST_CASE_TEMPLATE_DEFINE("with planned steps a member is the same in any company and any width, to rounding", Pack, any_width) {
    // Tolerance: 1e-9 K, should the compiler fuse multiplication and addition in one width and not in another: some hundred
    // roundings of 6e-14 K at 400 K, times coefficients up to 25. Seen: 0.
    std::vector<double> plan;
    run<double, Rosenbrock>(100, 1e-3, {.record_s = &plan});
    CHECK(difference_from_singles<Pack, Rosenbrock>(1e-3, plan) <= 1e-9);
}

// Every pack is the same templates again, and each costs the compiler several seconds, some times more under a sanitizer. There
// one pack of a single vector and packs of several parts have every access watched; numbers in the other widths are for the plain
// build.
TEST_CASE_TEMPLATE_INVOKE(lanes_are_members, Lanes<double, 2>, Lanes<double, 8>);
TEST_CASE_TEMPLATE_INVOKE(single_precision, Lanes<float, 8>);
TEST_CASE_TEMPLATE_INVOKE(any_width, Lanes<double, 2>, Lanes<double, 8>);
#ifndef __SANITIZE_ADDRESS__
TEST_CASE_TEMPLATE_INVOKE(lanes_are_members, Lanes<double, 16, isa::Avx512>, Lanes<double, 8, isa::Avx2>);
TEST_CASE_TEMPLATE_INVOKE(single_precision, Lanes<float, 32, isa::Avx512>);
TEST_CASE_TEMPLATE_INVOKE(any_width, Lanes<double, 1>, Lanes<double, 4>, Lanes<double, 16>, Lanes<double, 32, isa::Avx2>);
#endif

TEST_CASE("one lane that is not a number stops the whole pack") {
    using Pack = Lanes<double, 8>;
    auto booth = booth_of<Pack>(0);
    Pack factor{1.0};
    factor.set(5, std::numeric_limits<double>::quiet_NaN());
    booth.scale_film(3, factor);
    auto y = booth.start();
    DenseOutputStepper<RosenbrockStepper<Pack>> rosenbrock;
    CHECK_THROWS_AS(integrate_segment(rosenbrock, booth, std::span<Pack>(y), 0.0, 3600.0), SolveError);
}

}  // namespace bakewright::thermal
