#pragma once

#include <cstddef>
#include <cstring>

#include "bakewright/thermal/film_arithmetic.hpp"
#include "bakewright/thermal/film_batch.hpp"

/// The kernel of a film batch for vectors of so many bytes. Included by one source file an instruction set; everything is inlined
/// into that file's one function, so that the files share none.
namespace bakewright::thermal {

/// Spelled out, because the compiler drops the attribute of a vector type whose size depends on a template.
template <std::size_t Bytes>
struct BatchVectorOf;
template <>
struct BatchVectorOf<32> {
    using type [[gnu::vector_size(32)]] = double;
};
template <>
struct BatchVectorOf<64> {
    using type [[gnu::vector_size(64)]] = double;
};

template <std::size_t Bytes, bool WithSlopes>
[[gnu::always_inline]] inline void evaluate_film_pack(const FilmBatchData& data, const FilmBatchArrays& arrays,
                                                      std::size_t first) {
    using Vector = typename BatchVectorOf<Bytes>::type;
    using Integer = typename table::VectorTraits<Vector>::Integer;
    const auto load = [first](const double* from, Vector& to) __attribute__((always_inline)) {
        std::memcpy(&to, from + first, Bytes);
    };
    const auto load_index = [first](const std::vector<std::int64_t>& from, Integer& to) __attribute__((always_inline)) {
        std::memcpy(&to, from.data() + first, Bytes);
    };
    table::NaturalFilm<Vector, Vector> natural;
    natural.curve_rows = data.curve_rows;
    natural.air_rows = data.air_rows;
    load_index(data.warmer, natural.warmer);
    load_index(data.cooler, natural.cooler);
    load_index(data.air, natural.air);
    load(data.inverse_length_per_m.data(), natural.inverse_length_per_m);
    load(data.buoyancy_factor.data(), natural.buoyancy_factor);
    Vector surface_k, air_k, factor, sign, multiplier;
    load(arrays.surface_k, surface_k);
    load(arrays.air_k, air_k);
    load(arrays.forced_factor, factor);
    load(data.sign.data(), sign);
    load(data.multiplier.data(), multiplier);

    table::FilmPoint<Vector> points[1];
    table::FilmPoint<Vector>& at = points[0];
    table::place_film(surface_k, air_k, at);
    table::damp_film(at);
    table::FilmValue<Vector> values[1], forced;
    table::FilmValue<Vector>& value = values[0];
    table::natural_film(natural, points, values);
    Integer forced_row;
    load_index(data.forced_rows, forced_row);
    Vector c[4];
    table::Slope<Vector> curve;
    table::gather<Vector>(data.forced.front().data(), at.film_index + forced_row, c);
    table::cubic(c, at.film_t, curve);
    forced.coefficient_w_per_m2_k = curve.value * factor;
    forced.slope_surface = forced.slope_air = curve.slope * factor * (0.5 / table::kFilmStepK);
    table::combine_films(sign, forced, value);
    table::scale_film(multiplier, value);

    std::memcpy(arrays.coefficient_w_per_m2_k + first, &value.coefficient_w_per_m2_k, Bytes);
    if constexpr (!WithSlopes) return;
    std::memcpy(arrays.slope_surface + first, &value.slope_surface, Bytes);
    std::memcpy(arrays.slope_air + first, &value.slope_air, Bytes);
}

template <std::size_t Bytes>
[[gnu::always_inline]] inline void evaluate_film_packs(const FilmBatchData& data, const FilmBatchArrays& arrays) {
    constexpr std::size_t lanes = Bytes / sizeof(double);
    if (arrays.slope_surface == nullptr)
        for (std::size_t first = 0; first < data.padded_count; first += lanes)
            evaluate_film_pack<Bytes, false>(data, arrays, first);
    else
        for (std::size_t first = 0; first < data.padded_count; first += lanes) evaluate_film_pack<Bytes, true>(data, arrays, first);
}

void evaluate_film_batch_avx2(const FilmBatchData& data, const FilmBatchArrays& arrays);
void evaluate_film_batch_avx512(const FilmBatchData& data, const FilmBatchArrays& arrays);

}  // namespace bakewright::thermal
