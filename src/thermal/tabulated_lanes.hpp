// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstring>
#include <type_traits>

#include "steppers/lanes.hpp"
#include "tabulated_film.hpp"

/// TabulatedFilm and TabulatedGap on the packs of the ensemble, a vector at a time. The baseline's vectors of two doubles go lane
/// by lane, which is faster there.
namespace bakewright::thermal {

namespace table {

/// A piece of so many numbers. Spelled out, because the compiler drops the attribute of a vector type whose size depends on a
/// template.
template <class Scalar, std::size_t Count>
struct PieceOf;
template <class Scalar>
struct PieceOf<Scalar, 1> {
    using type = Scalar;
};
template <>
struct PieceOf<double, 4> {
    using type [[gnu::vector_size(32)]] = double;
};
template <>
struct PieceOf<double, 8> {
    using type [[gnu::vector_size(64)]] = double;
};
template <>
struct PieceOf<float, 4> {
    using type = Floats4;
};
template <>
struct PieceOf<float, 8> {
    using type = Floats8;
};
template <>
struct PieceOf<float, 16> {
    using type = Floats16;
};

/// How a pack is cut into pieces that the tables take.
template <class Pack>
struct Pieces;
template <class Scalar, std::size_t Width, class Isa>
struct Pieces<Lanes<Scalar, Width, Isa>> {
    using Pack = Lanes<Scalar, Width, Isa>;
    static constexpr std::size_t vector_width = Isa::vector_bytes / sizeof(Scalar);
    static constexpr bool by_vector = vector_width >= 4 && Width % vector_width == 0;
    static constexpr std::size_t width = by_vector ? vector_width : 1;
    static constexpr std::size_t bytes = width * sizeof(Scalar);
    static constexpr std::size_t count = Width / width;
    using Piece = typename PieceOf<Scalar, width>::type;
    static_assert(sizeof(Piece) == bytes);

    [[gnu::always_inline]] static void load(const Pack& pack, std::size_t index, Piece& piece) {
        if constexpr (by_vector)
            std::memcpy(&piece, reinterpret_cast<const char*>(&pack) + index * bytes, bytes);
        else
            piece = pack[index];
    }
    [[gnu::always_inline]] static void store(const Piece& piece, std::size_t index, Pack& pack) {
        if constexpr (by_vector)
            std::memcpy(reinterpret_cast<char*>(&pack) + index * bytes, &piece, bytes);
        else
            pack.set(index, piece);
    }
};

}  // namespace table

/// As TabulatedFilm::evaluate(), for every lane.
template <class Scalar, std::size_t Width, class Isa, class Pack = Lanes<Scalar, Width, Isa>>
[[gnu::always_inline]] inline void evaluate(const TabulatedFilm& film, const Lanes<Scalar, Width, Isa>& surface_k,
                                            const Pack& air_k, const Pack& forced_factor, TabulatedFilm::Value<Pack>& out) {
    using Cut = table::Pieces<Pack>;
    constexpr std::size_t abreast = Cut::count % 2 == 0 ? 2 : 1;
#pragma GCC unroll 2
    for (std::size_t first = 0; first < Cut::count; first += abreast) {
        typename Cut::Piece surface[abreast], air[abreast], factor[abreast];
        TabulatedFilm::Value<typename Cut::Piece> value[abreast];
#pragma GCC unroll 2
        for (std::size_t i = 0; i < abreast; ++i) {
            Cut::load(surface_k, first + i, surface[i]);
            Cut::load(air_k, first + i, air[i]);
            Cut::load(forced_factor, first + i, factor[i]);
        }
        film.evaluate(surface, air, factor, value);
#pragma GCC unroll 2
        for (std::size_t i = 0; i < abreast; ++i) {
            Cut::store(value[i].coefficient_w_per_m2_k, first + i, out.coefficient_w_per_m2_k);
            Cut::store(value[i].slope_surface, first + i, out.slope_surface);
            Cut::store(value[i].slope_air, first + i, out.slope_air);
        }
    }
}
[[gnu::always_inline]] inline void evaluate(const TabulatedFilm& film, double surface_k, double air_k, double forced_factor,
                                            TabulatedFilm::Value<double>& out) {
    film.evaluate(surface_k, air_k, forced_factor, out);
}

/// As TabulatedGap::evaluate(), for every lane.
template <class Scalar, std::size_t Width, class Isa, class Pack = Lanes<Scalar, Width, Isa>>
[[gnu::always_inline]] inline void evaluate(const TabulatedGap& gap, const Lanes<Scalar, Width, Isa>& outer_k,
                                            const Pack& inner_k, TabulatedGap::Value<Pack>& out) {
    using Cut = table::Pieces<Pack>;
#pragma GCC unroll 2
    for (std::size_t i = 0; i < Cut::count; ++i) {
        typename Cut::Piece outer, inner;
        Cut::load(outer_k, i, outer);
        Cut::load(inner_k, i, inner);
        TabulatedGap::Value<typename Cut::Piece> value;
        gap.evaluate(outer, inner, value);
        Cut::store(value.coefficient_w_per_m2_k, i, out.coefficient_w_per_m2_k);
        Cut::store(value.slope_outer, i, out.slope_outer);
        Cut::store(value.slope_inner, i, out.slope_inner);
    }
}
[[gnu::always_inline]] inline void evaluate(const TabulatedGap& gap, double outer_k, double inner_k,
                                            TabulatedGap::Value<double>& out) {
    gap.evaluate(outer_k, inner_k, out);
}

}  // namespace bakewright::thermal
