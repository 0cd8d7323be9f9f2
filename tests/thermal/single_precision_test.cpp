// SPDX-License-Identifier: Apache-2.0
// Packs of floats: film and gap tables in single precision, and ensembles solved in it.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <initializer_list>
#include <limits>
#include <vector>

#include "bakewright/thermal/ensemble.hpp"
#include "tabulated_lanes.hpp"
#include "thermal/ensemble_networks.hpp"

using namespace bakewright;
using namespace bakewright::thermal;

namespace {

using Lie = FilmModel::Lie;

/// Every lie, forced by number and by speed, both ways of combining, small and large.
std::vector<FilmModel> models_of_any_size() {
    std::vector<FilmModel> all;
    for (const Lie lie : {Lie::vertical, Lie::facing_up, Lie::facing_down, Lie::cylinder_across, Lie::inclined})
        for (const double size_m : {0.02, 0.4, 2.5}) {
            FilmModel model;
            model.lie = lie;
            model.tilt_rad = lie == Lie::inclined ? 0.6 : 0.0;
            model.height_m = model.area_over_perimeter_m = model.stream_length_m = size_m;
            all.push_back(model);
            model.forced_w_per_m2_k = 4.0;
            all.push_back(model);
            model.forced_w_per_m2_k.reset();
            model.speed_m_per_s = 0.6;
            all.push_back(model);
            model.combination = FlowCombination::opposing;
            all.push_back(model);
        }
    return all;
}

template <class Pack>
struct Temperatures {
    Pack surface, air, factor;
};
/// Lanes close together, as members of an ensemble are, or far apart: a table then is read in another way.
template <class Pack>
Temperatures<Pack> temperatures(double surface_k, double air_k, double apart_k) {
    Temperatures<Pack> made;
    for (std::size_t lane = 0; lane < Pack::width; ++lane) {
        const double shift_k = apart_k * (static_cast<double>(lane * 7 % Pack::width) / static_cast<double>(Pack::width) - 0.5);
        made.surface.set(lane, static_cast<float>(surface_k + shift_k));
        made.air.set(lane, static_cast<float>(air_k - 0.3 * shift_k));
        made.factor.set(lane, static_cast<float>(0.7 + 0.01 * static_cast<double>(lane)));
    }
    return made;
}

template <class Check>
void for_all_temperatures(Check&& check) {
    for (const double air_k : {260.0, 293.0, 333.0, 420.0})
        for (const double difference_k : {-80.0, -9.0, -0.4, -0.001, 0.0, 0.02, 2.0, 35.0})
            for (const double apart_k : {0.0, 3.0, 60.0}) check(air_k + difference_k, air_k, apart_k);
}

/// The largest difference between single and double precision over temperatures, as shares of h and of h over a kelvin.
struct Largest {
    double of_coefficient = 0.0, of_slope = 0.0;
    void add(double single, double exact, double scale, double& largest) const {
        largest = std::max(largest, std::abs(single - exact) / scale);
    }
};

template <class Pack>
Largest largest_difference(const FilmModel& model) {
    const TabulatedFilm film(model);
    Largest largest;
    for_all_temperatures([&](double surface_k, double air_k, double apart_k) {
        const auto at = temperatures<Pack>(surface_k, air_k, apart_k);
        TabulatedFilm::Value<Pack> value;
        evaluate(film, at.surface, at.air, at.factor, value);
        for (std::size_t lane = 0; lane < Pack::width; ++lane) {
            TabulatedFilm::Value<double> exact;
            film.evaluate(double{at.surface[lane]}, double{at.air[lane]}, double{at.factor[lane]}, exact);
            const double h = std::max(0.01, exact.coefficient_w_per_m2_k);
            largest.add(value.coefficient_w_per_m2_k[lane], exact.coefficient_w_per_m2_k, h, largest.of_coefficient);
            const double steepness = std::max({h, std::abs(exact.slope_surface), std::abs(exact.slope_air)});
            largest.add(value.slope_surface[lane], exact.slope_surface, steepness, largest.of_slope);
            largest.add(value.slope_air[lane], exact.slope_air, steepness, largest.of_slope);
        }
    });
    return largest;
}

bool same_bits(float one, float other) { return std::memcmp(&one, &other, sizeof(float)) == 0; }

template <class Pack>
void check_same_bits_as_lone_floats(const TabulatedFilm& film, const TabulatedGap& gap) {
    for_all_temperatures([&](double surface_k, double air_k, double apart_k) {
        const auto at = temperatures<Pack>(surface_k, air_k, apart_k);
        TabulatedFilm::Value<Pack> value;
        TabulatedGap::Value<Pack> across;
        evaluate(film, at.surface, at.air, at.factor, value);
        evaluate(gap, at.surface, at.air, across);
        bool all_same = true;
        for (std::size_t lane = 0; lane < Pack::width; ++lane) {
            TabulatedFilm::Value<float> lone;
            TabulatedGap::Value<float> lone_gap;
            film.evaluate(at.surface[lane], at.air[lane], at.factor[lane], lone);
            gap.evaluate(at.surface[lane], at.air[lane], lone_gap);
            all_same = all_same && same_bits(value.coefficient_w_per_m2_k[lane], lone.coefficient_w_per_m2_k) &&
                       same_bits(value.slope_surface[lane], lone.slope_surface) &&
                       same_bits(value.slope_air[lane], lone.slope_air) &&
                       same_bits(across.coefficient_w_per_m2_k[lane], lone_gap.coefficient_w_per_m2_k);
        }
        CHECK(all_same);
    });
}

EnsembleResult run(const test::SmallBooth& booth, const EnsembleOptions& options) {
    return solve_ensemble(
        booth.network, booth.segments, booth.watched,
        [](std::size_t index, EnsembleMember& member) { test::perturb(index, member); }, options);
}

}  // namespace

TEST_CASE("a film in single precision is the one in double precision, rounded") {
    // Rounding is 6e-8 a step; film temperature within its segment is good to 1e-6 of it, in which buoyancy changes by a third.
    // Tolerance: h to 1e-5 of itself (seen: 8e-6); slopes to 5e-5 of h a kelvin, or of the steepest where that is more (close to
    // equality).
    for (const FilmModel& model : models_of_any_size()) {
        const Largest largest = largest_difference<Lanes<float, 32, isa::Avx512>>(model);
        CAPTURE(static_cast<int>(model.lie));
        CAPTURE(model.height_m);
        CHECK(largest.of_coefficient <= 1e-5);
        CHECK(largest.of_slope <= 5e-5);
    }
}

TEST_CASE("lanes of floats give the same bits in every pack, close together or far apart") {
    const TabulatedGap gap(GapModel{.lie = GapModel::Lie::vertical, .width_m = 0.03});
    for (const FilmModel& model : models_of_any_size()) {
        const TabulatedFilm film(model);
        check_same_bits_as_lone_floats<Lanes<float, 32, isa::Avx512>>(film, gap);  // their code, without their instructions
        check_same_bits_as_lone_floats<Lanes<float, 32, isa::Avx2>>(film, gap);
        check_same_bits_as_lone_floats<Lanes<float, 16, isa::Baseline>>(film, gap);
    }
}

TEST_CASE("any pair of temperatures stays inside the tables of single precision") {
    using Pack = Lanes<float, 16, isa::Avx512>;
    constexpr float infinity = std::numeric_limits<float>::infinity();
    constexpr float nan = std::numeric_limits<float>::quiet_NaN();
    for (const FilmModel& model : models_of_any_size()) {
        const TabulatedFilm film(model);
        for (const float surface_k : {-1e9F, 0.0F, 1.0F, 225.0F, 500.0F, 1e4F, 1e30F, infinity, -infinity, nan})
            for (const float air_k : {-5.0F, 300.0F, 1e9F, infinity, nan}) {
                TabulatedFilm::Value<Pack> value;
                Pack mixed(surface_k);
                mixed.set(3, 300.0F);
                evaluate(film, mixed, Pack(air_k), Pack(1.0F), value);
                if (std::abs(surface_k) < 1e5F && air_k == 300.0F) CHECK(std::isfinite(value.coefficient_w_per_m2_k[0]));
            }
    }
}

TEST_CASE("an ensemble is solved in single precision where that is enough, and in double where more is asked for") {
    const test::SmallBooth booth = test::small_booth();
    EnsembleOptions options;
    options.member_count = 3;
    CHECK(run(booth, options).statistics.precision == Precision::in_singles);
    options.largest_error_k = 0.9 * kSinglePrecisionErrorK;
    CHECK(run(booth, options).statistics.precision == Precision::in_doubles);
    options.precision = Precision::in_singles;
    CHECK(run(booth, options).statistics.precision == Precision::in_singles);
}

TEST_CASE("members in single precision have the readings of double precision within the stated rounding") {
    // Tolerance: 5e-4 K; a stay moves by that over the slowest crossing, 0.005 K/s; the integral, of a rate whose slope is at
    // most 0.4 per K second, by that times 0.4 times 7200 s; a heating rate by twice the spacing of floats over 10 s.
    const test::SmallBooth booth = test::small_booth();
    EnsembleOptions options;
    options.member_count = 64;
    options.precision = Precision::in_doubles;
    const EnsembleResult doubles = run(booth, options);
    options.precision = Precision::in_singles;
    const EnsembleResult singles = run(booth, options);
    REQUIRE(doubles.statistics.members_by_plan == singles.statistics.members_by_plan);
    const std::vector<double> tolerance{5e-4, 0.1, 0.1, 1.5, 1e-5, 0.1};
    std::vector<double> largest(tolerance.size());
    for (std::size_t m = 0; m < 64; ++m)
        for (std::size_t place = 0; place < 2; ++place)
            for (std::size_t r = 0; r < tolerance.size(); ++r) {
                const std::size_t column = doubles.first_column[place] + r;
                largest[r] = std::max(largest[r], std::abs(doubles.row(m)[column] - singles.row(m)[column]));
            }
    for (std::size_t r = 0; r < tolerance.size(); ++r) {
        CAPTURE(r);
        CAPTURE(largest[r]);
        CHECK(largest[r] <= tolerance[r]);
        CHECK(largest[r] > 0.0);  // another arithmetic indeed
    }
}

TEST_CASE("in either precision members are the same to the bit on any instruction set, number of threads and in any company") {
    const test::SmallBooth booth = test::small_booth();
    for (const Precision precision : {Precision::in_singles, Precision::in_doubles}) {
        EnsembleOptions options;
        options.precision = precision;
        options.member_count = 75;
        options.thread_count = 1;
        options.widest = InstructionSet::baseline;
        const EnsembleResult one = run(booth, options);
        for (const InstructionSet set : instruction_sets()) {
            options.widest = set;
            options.thread_count = 3;
            options.member_count = 75;
            const EnsembleResult other = run(booth, options);
            CHECK(other.rows == one.rows);
            CHECK(other.quantiles.temperature_k == one.quantiles.temperature_k);
            options.member_count = 9;
            const EnsembleResult fewer = run(booth, options);
            CHECK(std::equal(fewer.rows.begin(), fewer.rows.end(), one.rows.begin()));
        }
    }
}
