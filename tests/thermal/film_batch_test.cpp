// SPDX-License-Identifier: Apache-2.0
#include "film_batch.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <vector>

#include "tabulated_film.hpp"

using namespace bakewright;
using namespace bakewright::thermal;

namespace {

FilmModel model(FilmModel::Lie lie, double height_m, double speed_m_per_s, double forced_w_per_m2_k) {
    FilmModel made;
    made.lie = lie;
    made.height_m = height_m;
    made.area_over_perimeter_m = 0.3 * height_m;
    made.stream_length_m = 1.7 * height_m;
    made.speed_m_per_s = speed_m_per_s;
    if (forced_w_per_m2_k > 0.0) made.forced_w_per_m2_k = forced_w_per_m2_k;
    return made;
}

/// Thirteen films: every lie, forced by number, by speed and not at all, one without natural convection, one opposing, tuned.
std::vector<TabulatedFilm> films() {
    using Lie = FilmModel::Lie;
    std::vector<FilmModel> models;
    for (const Lie lie : {Lie::vertical, Lie::facing_up, Lie::facing_down, Lie::cylinder_across}) {
        models.push_back(model(lie, 0.4, 0.0, 0.0));
        models.push_back(model(lie, 1.3, 0.0, 5.0));
        models.push_back(model(lie, 2.0, 0.6, 0.0));
    }
    models[1].combination = FlowCombination::opposing;
    models[2].multiplier = 1.3;
    models[4].natural = false;
    FilmModel inclined = model(Lie::inclined, 1.0, 0.0, 3.0);
    inclined.tilt_rad = 0.5;
    models.push_back(inclined);
    return {models.begin(), models.end()};
}

struct Columns {
    std::vector<double> surface_k, air_k, factor, h, by_surface, by_air;
    explicit Columns(std::size_t count)
        : surface_k(count, 300.0), air_k(count, 300.0), factor(count, 1.0), h(count), by_surface(count), by_air(count) {}
};

}  // namespace

// Tolerance 1e-11 of coefficients of 0.1 to 30 W/m2K and slopes below 10: rounding, and fused multiplications in the wide
// kernels.
TEST_CASE("every film of a batch is what it is alone, at any temperatures") {
    const std::vector<TabulatedFilm> all = films();
    const FilmBatch batch(all);
    REQUIRE(batch.padded_count() >= all.size());
    for (const double difference_k : {-60.0, -3.0, -0.01, 0.0, 0.02, 1.0, 25.0, 90.0}) {
        Columns columns(batch.padded_count());
        for (std::size_t i = 0; i < all.size(); ++i) {
            columns.air_k[i] = 310.0 + static_cast<double>(i);
            columns.surface_k[i] = columns.air_k[i] + difference_k;
            columns.factor[i] = 0.5 + 0.1 * static_cast<double>(i);
        }
        batch.evaluate({columns.surface_k.data(), columns.air_k.data(), columns.factor.data(), columns.h.data(),
                        columns.by_surface.data(), columns.by_air.data()});
        for (std::size_t i = 0; i < all.size(); ++i) {
            CAPTURE(i);
            CAPTURE(difference_k);
            TabulatedFilm::Value<double> alone;
            all[i].evaluate(columns.surface_k[i], columns.air_k[i], columns.factor[i], alone);
            CHECK(std::abs(columns.h[i] - alone.coefficient_w_per_m2_k) <= 3e-6 * alone.coefficient_w_per_m2_k + 1e-9);
            CHECK(std::abs(columns.by_surface[i] - alone.slope_surface) <= 3e-6 * std::abs(alone.slope_surface) + 1e-7);
            CHECK(std::abs(columns.by_air[i] - alone.slope_air) <= 3e-6 * std::abs(alone.slope_air) + 1e-7);
        }
        std::vector<double> without_slopes(batch.padded_count());
        batch.evaluate({columns.surface_k.data(), columns.air_k.data(), columns.factor.data(), without_slopes.data()});
        for (std::size_t i = 0; i < all.size(); ++i) CHECK(without_slopes[i] == columns.h[i]);
    }
}

TEST_CASE("any temperatures stay inside a batch's tables") {
    const std::vector<TabulatedFilm> all = films();
    const FilmBatch batch(all);
    const double nan = std::numeric_limits<double>::quiet_NaN(), infinity = std::numeric_limits<double>::infinity();
    for (const double surface_k : {-1e9, 0.0, 225.0, 500.0, 1e300, infinity, nan}) {
        Columns columns(batch.padded_count());
        columns.surface_k.assign(batch.padded_count(), surface_k);
        batch.evaluate({columns.surface_k.data(), columns.air_k.data(), columns.factor.data(), columns.h.data(),
                        columns.by_surface.data(), columns.by_air.data()});
        if (surface_k == 225.0) CHECK(std::isfinite(columns.h[0]));
    }
}

TEST_CASE("a batch of no films does nothing") {
    const FilmBatch batch(std::vector<TabulatedFilm>{});
    CHECK(batch.padded_count() == 0);
    batch.evaluate({nullptr, nullptr, nullptr, nullptr});
}
