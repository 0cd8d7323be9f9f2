// SPDX-License-Identifier: Apache-2.0
#include "bakewright/probe/tolerance.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "bakewright/base/error.hpp"
#include "bakewright/base/units.hpp"

using namespace bakewright;
using namespace bakewright::probe;
using Type = ThermocoupleType;
using Class = ToleranceClass;

namespace {

double at(Type type, Class tolerance, double t_c) { return tolerance_k(type, tolerance, celsius_to_kelvin(t_c)).value(); }

}  // namespace

TEST_CASE("tolerances of IEC 60584-1 classes 1 and 2 are the greater of a constant and a share") {
    // Source: IEC 60584-1:2013 as published by several makers. Tolerance: rounding.
    CHECK(std::abs(at(Type::k, Class::iec_1, 180) - 1.5) <= 1e-9);
    CHECK(std::abs(at(Type::k, Class::iec_1, 400) - 1.6) <= 1e-9);
    CHECK(std::abs(at(Type::k, Class::iec_2, 180) - 2.5) <= 1e-9);
    CHECK(std::abs(at(Type::k, Class::iec_2, 400) - 3.0) <= 1e-9);
    CHECK(std::abs(at(Type::t, Class::iec_1, 180) - 0.72) <= 1e-9);
    CHECK(std::abs(at(Type::t, Class::iec_2, 60) - 1.0) <= 1e-9);
    CHECK(std::abs(at(Type::j, Class::iec_2, 60) - 2.5) <= 1e-9);
    CHECK(std::abs(at(Type::s, Class::iec_2, 1000) - 2.5) <= 1e-9);
    // Change-over of type K: 375 degC in class 1, 333.3 degC in class 2.
    CHECK(std::abs(at(Type::k, Class::iec_1, 375) - 1.5) <= 1e-9);
    CHECK(at(Type::k, Class::iec_1, 376) > 1.5);
    CHECK(std::abs(at(Type::n, Class::iec_2, 1000.0 / 3.0) - 2.5) <= 1e-6);
}

TEST_CASE("what was recalled of class 3, of platinum and of ASTM E230 (from memory)") {
    CHECK(std::abs(at(Type::k, Class::iec_3, -200) - 3.0) <= 1e-9);
    CHECK(std::abs(at(Type::t, Class::iec_3, -100) - 1.5) <= 1e-9);
    CHECK(std::abs(at(Type::r, Class::iec_1, 1100) - 1.0) <= 1e-9);
    CHECK(std::abs(at(Type::s, Class::iec_1, 1600) - 2.5) <= 1e-9);
    CHECK(std::abs(at(Type::k, Class::astm_standard, 60) - 2.2) <= 1e-9);
    CHECK(std::abs(at(Type::k, Class::astm_special, 60) - 1.1) <= 1e-9);
    CHECK(std::abs(at(Type::t, Class::astm_standard, 60) - 1.0) <= 1e-9);
    CHECK(std::abs(at(Type::j, Class::astm_standard, 400) - 3.0) <= 1e-9);
}

TEST_CASE("a class says nothing of a type or a temperature it does not cover") {
    CHECK(!tolerance_k(Type::j, Class::iec_3, celsius_to_kelvin(0)));
    CHECK(!tolerance_k(Type::b, Class::iec_2, celsius_to_kelvin(60)));
    CHECK(!tolerance_k(Type::t, Class::iec_1, celsius_to_kelvin(351)));
    CHECK(!tolerance_k(Type::k, Class::astm_standard, celsius_to_kelvin(-10)));
    CHECK(tolerance_k(Type::k, Class::iec_3, celsius_to_kelvin(40)));
    CHECK(!tolerance_k(Type::k, Class::iec_1, std::numeric_limits<double>::quiet_NaN()));
}

TEST_CASE("names of classes read back, in any case") {
    for (const Class one : {Class::iec_1, Class::iec_2, Class::iec_3, Class::astm_standard, Class::astm_special})
        CHECK(value_of_word<ToleranceClass>(word_of(one)) == one);
    CHECK(value_of_word<ToleranceClass>("iec 2") == Class::iec_2);
    CHECK(!value_of_word<ToleranceClass>("IEC 4"));
}

TEST_CASE("the standard uncertainty of a tolerance is that of a rectangular distribution") {
    CHECK(std::abs(standard_uncertainty_k(2.5) - 1.4433756729740645) <= 1e-15);
}

TEST_CASE("a calibration corrects by straight lines between its points and holds beyond them") {
    const Calibration calibration{{{celsius_to_kelvin(20), 0.2}, {celsius_to_kelvin(60), -0.6}}, 0.5, 2.0};
    CHECK(std::abs(calibration.correction_k(celsius_to_kelvin(40)) + 0.2) <= 1e-12);
    CHECK(calibration.correction_k(celsius_to_kelvin(0)) == 0.2);
    CHECK(calibration.correction_k(celsius_to_kelvin(90)) == -0.6);
    CHECK(calibration.standard_uncertainty_k() == 0.25);
    CHECK_THROWS_AS((void)Calibration{}.correction_k(300.0), PromiseError);
    Trace trace{.name = "roof",
                .role = TraceRole::zone,
                .time_s = {0, 1, 2},
                .temperature_k = {celsius_to_kelvin(60), std::nan(""), celsius_to_kelvin(20)},
                .quality = {}};
    const Trace better = corrected(trace, calibration);
    CHECK(std::abs(better.temperature_k[0] - celsius_to_kelvin(59.4)) <= 1e-9);
    CHECK(std::isnan(better.temperature_k[1]));
    CHECK(std::abs(better.temperature_k[2] - celsius_to_kelvin(20.2)) <= 1e-9);
}
