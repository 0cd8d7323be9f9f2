// SPDX-License-Identifier: Apache-2.0
#include "convection_table.hpp"

#include <cmath>
#include <mutex>
#include <vector>

#include "bakewright/base/units.hpp"
#include "bakewright/thermal/air.hpp"
#include "bakewright/thermal/films.hpp"

namespace bakewright::thermal::table {
namespace {

constexpr std::size_t kCurveCount = static_cast<std::size_t>(Curve::none) + 1;

/// Nusselt number over the Rayleigh number that has the Prandtl-number function in it already.
double nusselt_of(Curve curve, double rayleigh) noexcept {
    constexpr double huge_prandtl = 1e300;  // makes the function one
    switch (curve) {
        case Curve::vertical_plate:
            return vertical_plate_nusselt(rayleigh, huge_prandtl);
        case Curve::horizontal_driving:
            return horizontal_driving_nusselt(rayleigh);
        case Curve::horizontal_hindering:
            return horizontal_hindering_nusselt(rayleigh);
        case Curve::horizontal_cylinder:
            return horizontal_cylinder_nusselt(rayleigh, huge_prandtl);
        case Curve::gap_vertical:
            return vertical_gap_nusselt(rayleigh);
        case Curve::gap_aspect:
            return aspect_gap_nusselt(rayleigh, 1.0);
        case Curve::gap_driving:
            return horizontal_gap_nusselt(rayleigh);
        case Curve::gap_hindering:
            return 1.0;
        case Curve::none:
            break;
    }
    return 0.0;
}

double prandtl_factor(Buoyancy buoyancy, double prandtl) noexcept {
    if (buoyancy == Buoyancy::plain) return 1.0;
    const double limit = buoyancy == Buoyancy::vertical_plate ? 0.492 : 0.559;
    return std::pow(1.0 + std::pow(limit / prandtl, 9.0 / 16.0), -16.0 / 9.0);
}

double buoyancy_at(Buoyancy buoyancy, double film_k) {
    const AirProperties air = air_properties(film_k);
    const double rayleigh = rayleigh_number(air, 1.0, 1.0) * prandtl_factor(buoyancy, air.prandtl);
    return rayleigh * rayleigh;
}

/// A function over an interval as one cubic row; slopes by central differences.
template <class Function>
CubicRow row_of(Function function, double begin, double width, double step) {
    const auto slope = [&](double x) { return (function(x + step) - function(x - step)) / (2.0 * step); };
    return hermite_row(function(begin), slope(begin), function(begin + width), slope(begin + width), width);
}

void fill_curve(Curve curve, CubicRow* rows) {
    const int segments_an_octave = 1 << kSegmentBits;
    const double width = 1.0 / segments_an_octave;
    for (int octave = 0; octave < kOctaves; ++octave) {
        const auto by_mantissa = [&](double m) { return nusselt_of(curve, std::sqrt(std::ldexp(m, kLowestOctave + octave))); };
        for (int s = 0; s < segments_an_octave; ++s) *rows++ = row_of(by_mantissa, 1.0 + s * width, width, 1e-5);
    }
}

/// All curves' rows, and in single precision by row and by column as well. A curve not filled in yet is never read.
struct CurveStore {
    static constexpr std::size_t kRows = kCurveCount * kCurveSegments;
    std::vector<CubicRow> rows = std::vector<CubicRow>(kRows);
    std::vector<float> single_rows = std::vector<float>(4 * kRows);
    std::vector<float> single_columns = std::vector<float>(4 * kColumn);
    SingleTable single{single_rows.data(), {column(0), column(1), column(2), column(3)}};
    std::array<std::once_flag, kCurveCount> filled;

    void fill(Curve curve) {
        const std::size_t begin = static_cast<std::size_t>(curve) * kCurveSegments;
        fill_curve(curve, rows.data() + begin);
        for (std::size_t row = begin; row < begin + kCurveSegments; ++row)
            for (std::size_t j = 0; j < 4; ++j) column(j)[row] = single_rows[4 * row + j] = static_cast<float>(rows[row][j]);
    }

private:
    static constexpr std::size_t kColumn = kRows + 2 * SingleTable::kMargin;
    [[nodiscard]] float* column(std::size_t j) { return single_columns.data() + j * kColumn + SingleTable::kMargin; }
};

/// The store, with a curve filled in.
CurveStore& curve_store(Curve curve) {
    static CurveStore store;
    std::call_once(store.filled[static_cast<std::size_t>(curve)], [&] { store.fill(curve); });
    return store;
}

SingleAir make_single_air(Buoyancy buoyancy) {
    std::array<CubicRow, kFilmSegments> conductivity, squared;
    for (std::size_t s = 0; s < kFilmSegments; ++s) {
        conductivity[s] = air_rows(buoyancy)[s].conductivity_w_per_m_k;
        squared[s] = air_rows(buoyancy)[s].buoyancy;
    }
    return {single_columns(conductivity), single_columns(squared)};
}

std::array<AirRow, kFilmSegments> make_air_rows(Buoyancy buoyancy) {
    std::array<AirRow, kFilmSegments> rows;
    for (std::size_t s = 0; s < kFilmSegments; ++s) {
        const double begin = static_cast<double>(s);
        const auto kelvin = [](double x) { return kLowestFilmK + kFilmStepK * x; };
        rows[s].conductivity_w_per_m_k =
            row_of([&](double x) { return air_properties(kelvin(x)).conductivity_w_per_m_k; }, begin, 1.0, 1e-4);
        rows[s].buoyancy = row_of([&](double x) { return buoyancy_at(buoyancy, kelvin(x)); }, begin, 1.0, 1e-4);
    }
    return rows;
}

}  // namespace

CubicRow hermite_row(double begin, double begin_slope, double end, double end_slope, double width) noexcept {
    const double chord = (end - begin) / width;
    return {begin, begin_slope, (3.0 * chord - 2.0 * begin_slope - end_slope) / width,
            (begin_slope + end_slope - 2.0 * chord) / (width * width)};
}

SingleColumns single_columns(const std::array<CubicRow, kFilmSegments>& rows) noexcept {
    SingleColumns columns;
    for (std::size_t s = 0; s < kFilmSegments; ++s)
        for (std::size_t j = 0; j < 4; ++j) columns.c[j][s] = static_cast<float>(rows[s][j]);
    return columns;
}

const CubicRow* curve_rows(Curve curve) { return curve_store(curve).rows.data() + first_row(curve); }
const SingleTable& single_curves(Curve curve) { return curve_store(curve).single; }

const AirRow* air_rows(Buoyancy buoyancy) {
    static const std::array<std::array<AirRow, kFilmSegments>, 3> rows{
        make_air_rows(Buoyancy::plain), make_air_rows(Buoyancy::vertical_plate), make_air_rows(Buoyancy::cylinder)};
    return rows[static_cast<std::size_t>(buoyancy)].data();
}

const SingleAir& single_air(Buoyancy buoyancy) {
    static const std::array<SingleAir, 3> airs{make_single_air(Buoyancy::plain), make_single_air(Buoyancy::vertical_plate),
                                               make_single_air(Buoyancy::cylinder)};
    return airs[static_cast<std::size_t>(buoyancy)];
}

Buoyancy buoyancy_of(Curve curve) noexcept {
    if (curve == Curve::vertical_plate) return Buoyancy::vertical_plate;
    if (curve == Curve::horizontal_cylinder) return Buoyancy::cylinder;
    return Buoyancy::plain;
}

}  // namespace bakewright::thermal::table
