#include "bakewright/thermal/film_model.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <numbers>

using namespace bakewright;
using namespace bakewright::thermal;

namespace {

using Lie = FilmModel::Lie;

FilmModel face(Lie lie) {
    FilmModel model;
    model.lie = lie;
    model.height_m = 2.0;
    model.area_over_perimeter_m = 0.8;
    return model;
}

FilmModel tilted(double tilt_rad) {
    FilmModel model = face(Lie::inclined);
    model.tilt_rad = tilt_rad;
    return model;
}

constexpr double kAirK = 333.15;

}  // namespace

TEST_CASE("a wall and a round bar do not care which side is warmer, at one film temperature") {
    for (const Lie lie : {Lie::vertical, Lie::cylinder_across}) {
        const FilmModel model = face(lie);
        CHECK(film_coefficient_w_per_m2_k(model, 323.15, 343.15) == film_coefficient_w_per_m2_k(model, 343.15, 323.15));
    }
}

TEST_CASE("a roof warmer than the air is an underside cooler than it") {
    CHECK(film_coefficient_w_per_m2_k(face(Lie::facing_up), 343.15, 323.15) ==
          film_coefficient_w_per_m2_k(face(Lie::facing_down), 323.15, 343.15));
    CHECK(film_coefficient_w_per_m2_k(face(Lie::facing_up), 323.15, 343.15) ==
          film_coefficient_w_per_m2_k(face(Lie::facing_down), 343.15, 323.15));
}

TEST_CASE("hot air over a cold roof heats it least, under a cold floor most") {
    const double roof = film_coefficient_w_per_m2_k(face(Lie::facing_up), 313.15, kAirK);
    const double wall = film_coefficient_w_per_m2_k(face(Lie::vertical), 313.15, kAirK);
    const double underside = film_coefficient_w_per_m2_k(face(Lie::facing_down), 313.15, kAirK);
    CHECK(roof < wall);
    CHECK(wall < underside);
}

TEST_CASE("room surfaces have the conventional coefficients of building practice, roughly") {
    // Source:    ISO 6946: R_si 0.10, 0.13, 0.17 m2K/W for heat flow up, level, down; less the radiative part of the standard,
    //            0.9 x 5.7 W/m2K at 20 degC: convection 4.9, 2.6, 0.75 (the standard states 5.0, 2.5, 0.7).
    // Tolerance: a factor of 1.7 either way: conventions for a room of any size against correlations for one face, 5 to 10 K.
    const double room_k = 293.15;
    struct Case {
        Lie lie;
        double sign, conventional;
    };
    for (const Case& c : {Case{Lie::facing_down, 1.0, 5.0}, Case{Lie::vertical, 1.0, 2.5}, Case{Lie::facing_up, 1.0, 0.7}}) {
        for (const double difference_k : {5.0, 7.0, 10.0}) {
            CAPTURE(c.conventional);
            CAPTURE(difference_k);
            const double h = film_coefficient_w_per_m2_k(face(c.lie), room_k - c.sign * difference_k, room_k);
            CHECK(h > c.conventional / 1.7);
            CHECK(h < c.conventional * 1.7);
        }
    }
}

TEST_CASE("with radiation the surface resistances fall in the range of the standard") {
    // Source:    ISO 6946, R_si 0.10 to 0.17 m2K/W, emissivity 0.9, 20 degC. Tolerance 25 %: plausibility, as above.
    const double radiative = 0.9 * 4.0 * kStefanBoltzmann * std::pow(293.15, 3);
    const auto resistance = [&](Lie lie) { return 1.0 / (radiative + film_coefficient_w_per_m2_k(face(lie), 288.15, 293.15)); };
    CHECK(std::abs(resistance(Lie::facing_down) / 0.10 - 1.0) <= 0.25);
    CHECK(std::abs(resistance(Lie::vertical) / 0.13 - 1.0) <= 0.25);
    CHECK(std::abs(resistance(Lie::facing_up) / 0.17 - 1.0) <= 0.25);
}

TEST_CASE("the coefficient grows with the temperature difference and is finite at none") {
    for (const Lie lie : {Lie::vertical, Lie::facing_up, Lie::facing_down, Lie::cylinder_across}) {
        for (const double sign : {-1.0, 1.0}) {
            double before = film_coefficient_w_per_m2_k(face(lie), kAirK, kAirK);
            CHECK(std::isfinite(before));
            CHECK(before < 0.1);
            for (double difference_k = 0.01; difference_k < 60.0; difference_k *= 1.5) {
                const double half = 0.5 * sign * difference_k;  // film temperature kept
                const double h = film_coefficient_w_per_m2_k(face(lie), kAirK + half, kAirK - half);
                CHECK(h > before);
                before = h;
            }
        }
    }
}

TEST_CASE("an inclined face runs from the wall to the roof and the underside without a jump") {
    for (const double surface_k : {313.15, 353.15}) {
        const auto at = [&](double tilt_rad) { return film_coefficient_w_per_m2_k(tilted(tilt_rad), surface_k, kAirK); };
        const double right_angle = 0.5 * std::numbers::pi;
        CHECK(std::abs(at(0.0) - film_coefficient_w_per_m2_k(face(Lie::vertical), surface_k, kAirK)) <= 1e-12);
        CHECK(std::abs(at(right_angle) - film_coefficient_w_per_m2_k(face(Lie::facing_up), surface_k, kAirK)) <= 1e-9);
        CHECK(std::abs(at(-right_angle) - film_coefficient_w_per_m2_k(face(Lie::facing_down), surface_k, kAirK)) <= 1e-9);
        for (double tilt = -right_angle; tilt < right_angle - 1e-3; tilt += 1e-3)
            CHECK(std::abs(at(tilt + 1e-3) / at(tilt) - 1.0) < 0.05);
    }
}

TEST_CASE("a fixed forced coefficient stands alone, combines, and takes the multiplier") {
    FilmModel model = face(Lie::vertical);
    model.forced_w_per_m2_k = 5.0;
    model.natural = false;
    CHECK(film_coefficient_w_per_m2_k(model, 300.0, kAirK) == doctest::Approx(5.0).epsilon(1e-14));
    model.natural = true;
    const double natural = natural_coefficient_w_per_m2_k(model, 300.0, kAirK);
    CHECK(std::abs(film_coefficient_w_per_m2_k(model, 300.0, kAirK) - std::cbrt(125.0 + std::pow(natural, 3))) <= 1e-12);
    const double plain = film_coefficient_w_per_m2_k(model, 300.0, kAirK);
    model.multiplier = 1.3;
    CHECK(std::abs(film_coefficient_w_per_m2_k(model, 300.0, kAirK) - 1.3 * plain) <= 1e-12);
}

TEST_CASE("problems name the field and what is allowed") {
    CHECK(problems_in(FilmModel{}).empty());
    FilmModel still;
    still.natural = false;
    REQUIRE(problems_in(still).size() == 1);
    CHECK(problems_in(still)[0].key == "natural");
    FilmModel wrong;
    wrong.height_m = 0.0;
    wrong.multiplier = -1.0;
    wrong.speed_m_per_s = std::nan("");
    const auto problems = problems_in(wrong);
    REQUIRE(problems.size() == 3);
    CHECK(problems[0].key == "height");
    CHECK(problems[0].message == "is 0, allowed 0.01 m and more");
    CHECK(problems[1].key == "speed");
    CHECK(problems[2].key == "multiplier");
}

TEST_CASE("leaving a published range is told in a sentence") {
    CHECK(range_warnings(face(Lie::vertical), 313.15, kAirK).empty());
    CHECK(range_warnings(face(Lie::vertical), 230.0, 240.0).size() == 1);
    FilmModel wide = face(Lie::facing_up);
    wide.area_over_perimeter_m = 2.0;
    const auto warnings = range_warnings(wide, 313.15, kAirK);  // hindered, Ra above 1e9
    REQUIRE(warnings.size() == 1);
    CHECK(warnings[0].find("1e4 to 1e9") != std::string::npos);
}
