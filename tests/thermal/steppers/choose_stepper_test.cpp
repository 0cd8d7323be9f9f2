#include "bakewright/thermal/steppers/choose_stepper.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "bakewright/base/error.hpp"
#include "thermal/steppers/test_systems.hpp"

namespace bakewright::thermal {

TEST_CASE("a booth with bodies in a chain is for the Rosenbrock stepper, at any size") {
    for (const std::uint32_t bodies : {1U, 34U, 300U, 1200U}) {
        const test::BoothChain<double> booth(bodies);
        CHECK(choose_stepper(booth.pattern(), 0.1, 10800.0) == StepperKind::rosenbrock);
    }
}

TEST_CASE("faces that all see each other are for the Chebyshev stepper, unless they are stiff") {
    const SparsityPattern pattern = test::dense_pattern(300);
    CHECK(choose_stepper(pattern, 0.01, 10800.0) == StepperKind::chebyshev);
    CHECK(choose_stepper(pattern, 100.0, 10800.0) == StepperKind::rosenbrock);
}

TEST_CASE("numbers outside their range are refused") {
    const SparsityPattern pattern = test::dense_pattern(2);
    CHECK_THROWS_AS(static_cast<void>(choose_stepper(pattern, -1.0, 10.0)), PromiseError);
    CHECK_THROWS_AS(static_cast<void>(choose_stepper(pattern, std::nan(""), 10.0)), PromiseError);
    CHECK_THROWS_AS(static_cast<void>(choose_stepper(pattern, 1.0, 0.0)), PromiseError);
    CHECK_THROWS_AS(static_cast<void>(tolerance_for_error(StepperKind::rosenbrock, 0.0)), PromiseError);
}

TEST_CASE("the Chebyshev stepper needs the finer tolerance for the same error") {
    CHECK(tolerance_for_error(StepperKind::rosenbrock, 0.01) == 0.02);
    CHECK(tolerance_for_error(StepperKind::chebyshev, 0.01) < 0.001);
}

}  // namespace bakewright::thermal
