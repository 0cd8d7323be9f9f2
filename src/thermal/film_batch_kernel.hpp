// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstring>

#include "film_arithmetic.hpp"
#include "film_batch.hpp"

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

/// The numbers of one film a lane.
template <std::size_t Bytes>
struct FilmPack {
    using Vector = typename BatchVectorOf<Bytes>::type;
    using Integer = typename table::VectorTraits<Vector>::Integer;
    table::NaturalFilm<Vector, Vector> natural;
    Vector surface_k, air_k, factor, sign, multiplier;
    Integer forced_row;
};

template <std::size_t Bytes>
[[gnu::always_inline]] inline void load_film_pack(const FilmBatchData& data, const FilmBatchArrays& arrays, std::size_t first,
                                                  FilmPack<Bytes>& pack) {
    const auto load = [first](const auto* from, auto& to) __attribute__((always_inline)) {
        std::memcpy(&to, from + first, Bytes);
    };
    pack.natural.curve_rows = data.curve_rows;
    pack.natural.air_rows = data.air_rows;
    load(data.warmer.data(), pack.natural.warmer);
    load(data.cooler.data(), pack.natural.cooler);
    load(data.air.data(), pack.natural.air);
    load(data.inverse_length_per_m.data(), pack.natural.inverse_length_per_m);
    load(data.buoyancy_factor.data(), pack.natural.buoyancy_factor);
    load(arrays.surface_k, pack.surface_k);
    load(arrays.air_k, pack.air_k);
    load(arrays.forced_factor, pack.factor);
    load(data.sign.data(), pack.sign);
    load(data.multiplier.data(), pack.multiplier);
    load(data.forced_rows.data(), pack.forced_row);
}

template <std::size_t Bytes, class Vector = typename FilmPack<Bytes>::Vector>
[[gnu::always_inline]] inline void forced_film(const FilmBatchData& data, const FilmPack<Bytes>& pack,
                                               const table::FilmPoint<Vector>& at, table::FilmValue<Vector>& out) {
    Vector c[4];
    table::Slope<Vector> curve;
    table::gather<Vector>(data.forced.front().data(), at.film_index + pack.forced_row, c);
    table::cubic(c, at.film_t, curve);
    out.coefficient_w_per_m2_k = curve.value * pack.factor;
    out.slope_surface = out.slope_air = curve.slope * pack.factor * (0.5 / table::kFilmStepK);
}

/// Count packs go side by side from one table to the next, for each is a chain in which every operation waits for the one before.
template <std::size_t Bytes, std::size_t Count, bool WithSlopes>
[[gnu::always_inline]] inline void evaluate_film_packs_abreast(const FilmBatchData& data, const FilmBatchArrays& arrays,
                                                               std::size_t first) {
    using Vector = typename FilmPack<Bytes>::Vector;
    constexpr std::size_t lanes = Bytes / sizeof(double);
    FilmPack<Bytes> pack[Count];
    table::FilmPoint<Vector> at[Count];
    table::FilmValue<Vector> value[Count], forced[Count];
    table::NaturalReading<Vector> read[Count];
#pragma GCC unroll 2
    for (std::size_t i = 0; i < Count; ++i) {
        load_film_pack(data, arrays, first + i * lanes, pack[i]);
        table::place_film(pack[i].surface_k, pack[i].air_k, at[i]);
        table::damp_film(at[i]);
    }
#pragma GCC unroll 2
    for (std::size_t i = 0; i < Count; ++i) pack[i].natural.read_air(at[i], read[i].conductivity, read[i].buoyancy);
#pragma GCC unroll 2
    for (std::size_t i = 0; i < Count; ++i) table::read_nusselt(pack[i].natural, at[i], read[i]);
#pragma GCC unroll 2
    for (std::size_t i = 0; i < Count; ++i) {
        table::natural_value(pack[i].natural, at[i], read[i], value[i]);
        forced_film(data, pack[i], at[i], forced[i]);
    }
#pragma GCC unroll 2
    for (std::size_t i = 0; i < Count; ++i) {
        table::combine_films(pack[i].sign, forced[i], value[i]);
        table::scale_film(pack[i].multiplier, value[i]);
        const std::size_t to = first + i * lanes;
        std::memcpy(arrays.coefficient_w_per_m2_k + to, &value[i].coefficient_w_per_m2_k, Bytes);
        if constexpr (!WithSlopes) continue;
        std::memcpy(arrays.slope_surface + to, &value[i].slope_surface, Bytes);
        std::memcpy(arrays.slope_air + to, &value[i].slope_air, Bytes);
    }
}

template <std::size_t Bytes, bool WithSlopes>
[[gnu::always_inline]] inline void evaluate_film_packs(const FilmBatchData& data, const FilmBatchArrays& arrays) {
    constexpr std::size_t lanes = Bytes / sizeof(double);
    std::size_t first = 0;
    for (; first + lanes < data.padded_count; first += 2 * lanes)
        evaluate_film_packs_abreast<Bytes, 2, WithSlopes>(data, arrays, first);
    if (first < data.padded_count) evaluate_film_packs_abreast<Bytes, 1, WithSlopes>(data, arrays, first);
}

template <std::size_t Bytes>
[[gnu::always_inline]] inline void evaluate_film_packs(const FilmBatchData& data, const FilmBatchArrays& arrays) {
    if (arrays.slope_surface == nullptr)
        evaluate_film_packs<Bytes, false>(data, arrays);
    else
        evaluate_film_packs<Bytes, true>(data, arrays);
}

}  // namespace bakewright::thermal
