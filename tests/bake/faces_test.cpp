// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "bakewright/bake/build_network.hpp"
#include "bakewright/bake/built_network.hpp"
#include "bakewright/bake/predict.hpp"
#include "example_records.hpp"
#include "zone_stack.hpp"

using namespace bakewright;
using namespace bakewright::bake;
using namespace bakewright::example;

// How a zone's faces meet the booth and a cavity. Shells and booths are invented.

namespace {

using Lie = thermal::FilmModel::Lie;

/// One zone over a cavity.
Shell lined(Orientation orientation) {
    Shell shell;
    shell.id = "lined";
    Cavity cavity;
    cavity.name = "inside";
    cavity.volume_m3 = 1.0;
    shell.cavities = {cavity};
    Zone zone = square("panel", steel(), 1e-3, 1.5);
    zone.orientation = orientation;
    zone.inner.view = FaceView::cavity;
    zone.inner.cavity = "inside";
    shell.zones = {zone};
    return shell;
}

Booth plain_booth() {
    Booth booth;
    booth.id = "plain";
    booth.wall_offset_k = 5.0;
    return booth;
}

BuiltNetwork built(const Shell& shell, const Booth& booth) {
    return build_network(shell, booth, {}, BoothAir::given, celsius_to_kelvin(20.0));
}

double hottest_c(const Shell& shell, const Booth& booth, double minutes) {
    const Prediction prediction = predict(shell, booth, hour_at_65());
    return kelvin_to_celsius(temperature_at_k(*prediction.traces.find("panel"), minutes_to_seconds(minutes)));
}

}  // namespace

TEST_CASE("a roof's outer face looks up and its inner one down, a floor's the other way round, a wall's neither") {
    const auto lies = [](Orientation orientation) {
        const BuiltNetwork network = built(lined(orientation), plain_booth());
        const auto& films = network.network.convections();
        REQUIRE(films.size() == 2);
        return std::pair{films[0].film.lie, films[1].film.lie};
    };
    CHECK(lies(Orientation::faces_up) == std::pair{Lie::facing_up, Lie::facing_down});
    CHECK(lies(Orientation::faces_down) == std::pair{Lie::facing_down, Lie::facing_up});
    CHECK(lies(Orientation::vertical) == std::pair{Lie::vertical, Lie::vertical});
}

TEST_CASE("fans move the booth's faces and not the cavity's; what the fans do changes with the mode") {
    Booth booth = plain_booth();
    booth.air = AirStrength::strong;
    booth.ventilation[static_cast<std::size_t>(FanMode::flash_off)].film_factor = 0.4;
    const BuiltNetwork network = built(lined(Orientation::vertical), booth);
    const auto& films = network.network.convections();
    REQUIRE(films.size() == 2);
    CHECK(films[0].film.forced_w_per_m2_k == 8.0);
    CHECK(films[0].film.natural);
    CHECK(films[0].forced_factor[static_cast<std::size_t>(FanMode::flash_off)] == 0.4);
    CHECK_FALSE(films[1].film.forced_w_per_m2_k.has_value());
    CHECK(films[1].film.speed_m_per_s == 0.0);
}

TEST_CASE("an expert's coefficient is the whole film, a speed is the forced part of it") {
    Booth by_number = plain_booth();
    by_number.film_w_per_m2_k = Spread{6.0, 6.0, 6.0};
    const BuiltNetwork fixed = built(lined(Orientation::vertical), by_number);
    REQUIRE(fixed.network.films().size() == 1);
    CHECK(std::abs(fixed.network.films().front().conductance_w_per_k - 6.0) <= 1e-12);
    Booth by_speed = plain_booth();
    by_speed.air_speed_m_per_s = Spread{0.3, 0.5, 0.8};
    const BuiltNetwork moving = built(lined(Orientation::vertical), by_speed);
    REQUIRE(moving.network.convections().size() == 2);
    CHECK(moving.network.convections().front().film.speed_m_per_s == 0.5);
    CHECK_FALSE(moving.network.convections().front().film.forced_w_per_m2_k.has_value());
    Booth both = by_speed;
    both.film_w_per_m2_k = Spread{6.0, 6.0, 6.0};
    CHECK_FALSE(problems_in(both).empty());
}

TEST_CASE("a mask is a light node behind still air, and keeps the face under it cool") {
    // Source: unventilated air layer of 5 mm, 0.11 m2K/W: ISO 6946:2017, table of air layers. The zone is one square metre.
    Shell masked = lined(Orientation::vertical);
    masked.zones.front().outer.masking = Masking::paper;
    const BuiltNetwork network = built(masked, plain_booth());
    const auto& nodes = network.network.nodes();
    CHECK(std::any_of(nodes.begin(), nodes.end(), [](const auto& node) { return node.name == "panel mask"; }));
    REQUIRE(network.network.conductions().size() == 1);
    CHECK(std::abs(network.network.conductions().front().conductance_w_per_k - 1.0 / 0.11) <= 1e-12);
    CHECK(hottest_c(masked, plain_booth(), 15.0) < hottest_c(lined(Orientation::vertical), plain_booth(), 15.0) - 2.0);
    Shell film = masked;
    film.zones.front().outer.masking = Masking::film;
    CHECK(hottest_c(film, plain_booth(), 15.0) > hottest_c(masked, plain_booth(), 15.0) + 0.5);
}

TEST_CASE("a tube across the stream has the film of a cylinder, stronger than that of a side of the vehicle") {
    // Source: Churchill & Bernstein 1977 by way of thermal::cylinder_forced_nusselt(), which the tests of films hold to IDBL
    // example 7.4. Normal air, 5 W/m2K along 1.5 m of side, is 0.037 Re^0.8 Pr^(1/3) k / L at 0.92 m/s (IDBL 7.2.2, air at
    // 327 K: nu 18.6e-6 m2/s, k 0.0283 W/mK, Pr 0.703): Re 7.4e4, Nu 262, 4.9 W/m2K. A 50 mm tube there has Re 2470, Nu 25.5,
    // 14.4 W/m2K. By hand to 3 %.
    const double speed_m_per_s = speed_of_coefficient(5.0);
    CHECK(std::abs(speed_m_per_s - 0.92) <= 0.03);
    Shell tube = lined(Orientation::vertical);
    tube.zones.front().diameter_m = 0.05;
    const BuiltNetwork network = built(tube, plain_booth());
    const auto& film = network.network.convections().front().film;
    CHECK(film.lie == Lie::cylinder_across);
    CHECK(film.height_m == 0.05);
    CHECK(film.speed_m_per_s == speed_m_per_s);
    CHECK(network.network.convections()[1].film.lie == Lie::vertical);
    CHECK(std::abs(thermal::forced_coefficient_w_per_m2_k(film, 327.0) - 14.4) <= 0.45);
    CHECK(hottest_c(tube, plain_booth(), 15.0) > hottest_c(lined(Orientation::vertical), plain_booth(), 15.0) + 2.0);
    // A coefficient that an expert states is that of any shape.
    Booth fixed = plain_booth();
    fixed.film_w_per_m2_k = Spread{6.0, 6.0, 6.0};
    CHECK(std::abs(built(tube, fixed).network.films().front().conductance_w_per_k - 6.0) <= 1e-12);
}
