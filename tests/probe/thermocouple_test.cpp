// SPDX-License-Identifier: Apache-2.0
// Source of every number: NIST Monograph 175 (1993), tests/data/its90/SOURCE.md.
#include "bakewright/probe/thermocouple.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <sstream>
#include <vector>

#include "bakewright/base/units.hpp"
#include "log_text.hpp"

using namespace bakewright;
using namespace bakewright::probe;

namespace {

constexpr ThermocoupleType kTypes[] = {ThermocoupleType::b, ThermocoupleType::e, ThermocoupleType::j, ThermocoupleType::k,
                                       ThermocoupleType::n, ThermocoupleType::r, ThermocoupleType::s, ThermocoupleType::t};
constexpr double kHalfMicrovolt = 0.5e-6;

struct Point {
    ThermocoupleType type;
    double junction_k;
    double emf_v;
};

std::vector<std::vector<std::string>> csv_rows(const std::string& file) {
    std::istringstream lines(probe_test::file_text(std::string(BAKEWRIGHT_TEST_DATA) + "/its90/" + file));
    std::vector<std::vector<std::string>> rows;
    std::string line;
    std::getline(lines, line);
    while (std::getline(lines, line)) {
        std::vector<std::string> fields;
        std::istringstream stream(line);
        for (std::string field; std::getline(stream, field, ',');) fields.push_back(field);
        rows.push_back(std::move(fields));
    }
    return rows;
}

std::vector<Point> check_points() {
    std::vector<Point> points;
    for (const auto& row : csv_rows("checkpoints.csv"))
        points.push_back(
            {*value_of_word<ThermocoupleType>(row.at(0)), celsius_to_kelvin(std::stod(row.at(1))), std::stod(row.at(2)) * 1e-3});
    return points;
}

double slope_v_per_k(ThermocoupleType type, double junction_k) {
    const ThermocoupleRange range = emf_range(type);
    const double low_k = std::max(junction_k - 0.01, range.least_k), high_k = std::min(junction_k + 0.01, range.most_k);
    return (thermocouple_emf_v(type, high_k) - thermocouple_emf_v(type, low_k)) / (high_k - low_k);
}

}  // namespace

TEST_CASE("every published check point is met to the rounding of the print") {
    // Printed to 0.001 mV: half a microvolt, and 1e-12 V for the point that lies on the rounding.
    const std::vector<Point> points = check_points();
    REQUIRE(points.size() == 63);
    for (const Point& point : points) {
        CAPTURE(word_of(point.type));
        CAPTURE(kelvin_to_celsius(point.junction_k));
        CHECK(std::abs(thermocouple_emf_v(point.type, point.junction_k) - point.emf_v) <= kHalfMicrovolt + 1e-12);
    }
}

TEST_CASE("the inverse of every published check point is the point, to the rounding of its emf") {
    // Half a microvolt is worth 0.5e-6 / slope kelvin. Near the cold ends the slope itself changes over that span; 1.5 times
    // covers it.
    for (const Point& point : check_points()) {
        if (point.junction_k < inverse_range(point.type).least_k) continue;
        CAPTURE(word_of(point.type));
        CAPTURE(kelvin_to_celsius(point.junction_k));
        const double slope = slope_v_per_k(point.type, point.junction_k);
        CHECK(std::abs(thermocouple_junction_k(point.type, point.emf_v) - point.junction_k) <= 1.5 * kHalfMicrovolt / slope);
    }
}

TEST_CASE("there and back over the whole range of each type") {
    // At the cold ends the terms of the sum are 100 times the sum, so that it is good to 1e-14 mV, and the slope there
    // falls below 1e-3 mV/K: 1e-7 K. Seen: 2e-8 K at 5 K, 2e-9 K at 25 K.
    for (const ThermocoupleType type : kTypes) {
        CAPTURE(word_of(type));
        const ThermocoupleRange range = inverse_range(type);
        for (int i = 0; i <= 2000; ++i) {
            const double junction_k = range.least_k + (range.most_k - range.least_k) * i / 2000.0;
            CAPTURE(junction_k);
            CHECK(std::abs(thermocouple_junction_k(type, thermocouple_emf_v(type, junction_k)) - junction_k) <=
                  (junction_k < 30.0 ? 1e-7 : 1e-8));
        }
    }
}

TEST_CASE("the published inverse stays within its published error band") {
    // The band is of the polynomial against the exact function and is printed to one digit: half of that digit more is allowed.
    // Where the emf that is printed as the end of a type lies beyond the exact end, there is nothing to compare with.
    for (const auto& row : csv_rows("inverse-coefficients.csv")) {
        if (row.at(7) != "d0") continue;
        const ThermocoupleType type = *value_of_word<ThermocoupleType>(row.at(0));
        const double from_v = std::stod(row.at(3)) * 1e-3, to_v = std::stod(row.at(4)) * 1e-3;
        const double low_k = std::stod(row.at(5)), high_k = std::stod(row.at(6));
        CAPTURE(row.at(0));
        CAPTURE(from_v);
        for (int i = 0; i < 500; ++i) {
            const double emf_v = from_v + (to_v - from_v) * (i + 0.5) / 500.0;
            const double exact_k = thermocouple_junction_k(type, emf_v);
            const ThermocoupleRange range = inverse_range(type);
            if (emf_v < thermocouple_emf_v(type, range.least_k) || emf_v > thermocouple_emf_v(type, range.most_k)) continue;
            const double error_k = approximate_junction_k(type, emf_v) - exact_k;
            const double last_digit_k = std::pow(10.0, std::floor(std::log10(std::min(-low_k, high_k)) + 1e-9));
            const double slack_k = 0.5 * last_digit_k;
            CHECK(error_k >= low_k - slack_k);
            CHECK(error_k <= high_k + slack_k);
        }
    }
}

TEST_CASE("the emf rises with temperature wherever it is inverted, through every join of ranges") {
    for (const ThermocoupleType type : kTypes) {
        CAPTURE(word_of(type));
        const ThermocoupleRange range = inverse_range(type);
        double before_v = thermocouple_emf_v(type, range.least_k);
        for (double k = range.least_k + 0.05; k <= range.most_k; k += 0.05) {
            const double here_v = thermocouple_emf_v(type, k);
            if (!(here_v > before_v)) {
                CAPTURE(k);
                CHECK(here_v > before_v);
            }
            before_v = here_v;
        }
    }
}

TEST_CASE("ranges of a type join without a step") {
    // The published polynomials agree at their joins to 2e-9 mV by one side and the other; the slope adds 1e-9 K times 4e-5 V/K.
    struct Join {
        ThermocoupleType type;
        double t_c;
    };
    for (const Join& join : {Join{ThermocoupleType::k, 0.0}, Join{ThermocoupleType::j, 760.0}, Join{ThermocoupleType::e, 0.0},
                             Join{ThermocoupleType::n, 0.0}, Join{ThermocoupleType::t, 0.0}, Join{ThermocoupleType::b, 630.615},
                             Join{ThermocoupleType::r, 1064.18}, Join{ThermocoupleType::s, 1064.18},
                             Join{ThermocoupleType::r, 1664.5}, Join{ThermocoupleType::s, 1664.5}}) {
        CAPTURE(word_of(join.type));
        CAPTURE(join.t_c);
        const double below_v = thermocouple_emf_v(join.type, celsius_to_kelvin(join.t_c - 1e-6));
        const double above_v = thermocouple_emf_v(join.type, celsius_to_kelvin(join.t_c + 1e-6));
        CHECK(std::abs(above_v - below_v) <= 1e-9);
    }
}

TEST_CASE("a warm reference junction is put right by emf, not by degrees") {
    // Type K at 60 degC measured against 25 degC: 2.436 - 1.000 mV by the tables; the rounding of both is 1 microvolt, 0.025 K.
    const double reference_k = celsius_to_kelvin(25.0);
    CHECK(std::abs(thermocouple_junction_k(ThermocoupleType::k, 1.436e-3, reference_k) - celsius_to_kelvin(60.0)) <= 0.025);
    // Adding 25 degC to the temperature of 1.436 mV would miss by 0.5 K and more.
    CHECK(std::abs(thermocouple_junction_k(ThermocoupleType::k, 1.436e-3) + 25.0 - celsius_to_kelvin(60.0)) > 0.25);
    for (const ThermocoupleType type : {ThermocoupleType::k, ThermocoupleType::t, ThermocoupleType::j})
        CHECK(std::abs(thermocouple_junction_k(type, 0.0, reference_k) - reference_k) <= 1e-9);
}

TEST_CASE("outside of its range a thermocouple gives nothing") {
    for (const ThermocoupleType type : kTypes) {
        CAPTURE(word_of(type));
        const ThermocoupleRange range = emf_range(type);
        CHECK(std::isnan(thermocouple_emf_v(type, range.least_k - 0.1)));
        CHECK(std::isnan(thermocouple_emf_v(type, range.most_k + 0.1)));
        CHECK(std::isnan(thermocouple_emf_v(type, std::numeric_limits<double>::quiet_NaN())));
        for (const double emf_v : {-0.02, 0.2, std::numeric_limits<double>::infinity(), std::numeric_limits<double>::quiet_NaN()})
            CHECK(std::isnan(thermocouple_junction_k(type, emf_v)));
    }
    CHECK(std::isnan(thermocouple_junction_k(ThermocoupleType::b, 0.1e-3)));
    CHECK(std::isnan(thermocouple_junction_k(ThermocoupleType::k, 1e-3, 5000.0)));
}

TEST_CASE("types are named by their letters") {
    for (const ThermocoupleType type : kTypes) CHECK(value_of_word<ThermocoupleType>(word_of(type)) == type);
    CHECK(value_of_word<ThermocoupleType>("k") == ThermocoupleType::k);
    CHECK_FALSE(value_of_word<ThermocoupleType>("").has_value());
    CHECK_FALSE(value_of_word<ThermocoupleType>("C").has_value());
    CHECK_FALSE(value_of_word<ThermocoupleType>("KK").has_value());
}
