// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <immintrin.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <concepts>
#include <cstddef>
#include <cstdint>
#include <type_traits>
#include <utility>

#if defined(__SSE2__)
#endif
namespace bakewright::thermal {

/// Instruction sets a pack may be compiled for. Each is a type of its own, so that the same template, compiled once in a source
/// file with -mavx512f and once in one without, gives two functions of two names: the linker never takes one for the other.
/// A source file compiled for an instruction set uses packs of that tag alone, and instantiates no stepper over plain double.
namespace isa {
struct Baseline {
    static constexpr std::size_t vector_bytes = 16;
};  ///< SSE2, NEON: what every 64-bit machine has
struct Avx2 {
    static constexpr std::size_t vector_bytes = 32;
};  ///< compile with -mavx2 -mfma
struct Avx512 {
    static constexpr std::size_t vector_bytes = 64;
};  ///< compile with -mavx512f -mavx512dq -mavx512vl -mfma
}  // namespace isa

/// A pack of Width numbers that go through the same arithmetic side by side, one a lane. Meant to stand where a double stands.
/// Width: a power of two. Numbers of type double convert to a pack with that number in every lane.
template <class Scalar, std::size_t Width, class Isa = isa::Baseline>
class alignas(std::min(Width * sizeof(Scalar), Isa::vector_bytes)) Lanes {
    static_assert(std::floating_point<Scalar> && Width > 0 && (Width & (Width - 1)) == 0);
    static constexpr std::size_t kBytes = std::min(Width * sizeof(Scalar), Isa::vector_bytes);
    static constexpr std::size_t kParts = Width * sizeof(Scalar) / kBytes;
    using Integer = std::conditional_t<sizeof(Scalar) == 8, std::int64_t, std::int32_t>;
    using Vector [[gnu::vector_size(kBytes)]] = Scalar;
    using IntegerVector [[gnu::vector_size(kBytes)]] = Integer;
    using Parts = std::make_index_sequence<kParts>;

public:
    using scalar_type = Scalar;
    static constexpr std::size_t width = Width;

    /// The answer of a comparison, lane by lane.
    struct Mask {
        IntegerVector part[kParts];
        [[nodiscard]] bool operator[](std::size_t lane) const { return part[lane / kLanesAPart][lane % kLanesAPart] != 0; }
    };

    [[gnu::always_inline]] Lanes() : part_{} {}
    template <class Number>
    requires std::is_arithmetic_v<Number>
    [[gnu::always_inline]] Lanes(Number value) {  // NOLINT: implicit, as from int to double
        fill(static_cast<Scalar>(value), Parts{});
    }

    [[nodiscard]] Scalar operator[](std::size_t lane) const { return part_[lane / kLanesAPart][lane % kLanesAPart]; }
    void set(std::size_t lane, Scalar value) { part_[lane / kLanesAPart][lane % kLanesAPart] = value; }

#define BAKEWRIGHT_LANES_OPERATOR(op)                                                                          \
    [[gnu::always_inline]] friend Lanes operator op(const Lanes& a, const Lanes& b) {                          \
        return each([&](Vector& out, std::size_t i) { out = static_cast<Vector>(a.part_[i] op b.part_[i]); }); \
    }                                                                                                          \
    [[gnu::always_inline]] Lanes& operator op##=(const Lanes& b) { return *this = *this op b; }
    BAKEWRIGHT_LANES_OPERATOR(+)
    BAKEWRIGHT_LANES_OPERATOR(-)
    BAKEWRIGHT_LANES_OPERATOR(*)
    BAKEWRIGHT_LANES_OPERATOR(/)
#undef BAKEWRIGHT_LANES_OPERATOR

#define BAKEWRIGHT_LANES_COMPARISON(op)                                                                              \
    [[gnu::always_inline]] friend Mask operator op(const Lanes& a, const Lanes& b) {                                 \
        return each_mask(                                                                                            \
            [&](IntegerVector& out, std::size_t i) { out = static_cast<IntegerVector>(a.part_[i] op b.part_[i]); }); \
    }
    BAKEWRIGHT_LANES_COMPARISON(<)
    BAKEWRIGHT_LANES_COMPARISON(<=)
    BAKEWRIGHT_LANES_COMPARISON(>)
    BAKEWRIGHT_LANES_COMPARISON(>=)
    BAKEWRIGHT_LANES_COMPARISON(==)
#undef BAKEWRIGHT_LANES_COMPARISON

    [[gnu::always_inline]] friend Lanes operator-(const Lanes& a) {
        return each([&](Vector& out, std::size_t i) { out = static_cast<Vector>(-a.part_[i]); });
    }
    [[gnu::always_inline]] friend Lanes operator+(const Lanes& a) { return a; }

    /// `chosen` in the lanes where the mask says yes, `other` in the rest.
    [[gnu::always_inline]] friend Lanes select(const Mask& mask, const Lanes& chosen, const Lanes& other) {
        return each(
            [&](Vector& out, std::size_t i) { out = static_cast<Vector>(mask.part[i] ? chosen.part_[i] : other.part_[i]); });
    }
    [[gnu::always_inline]] friend Lanes abs(const Lanes& a) { return max(a, -a); }
    /// Of a lane that is not a number in either pack, max and min give b's: put the value to be watched second.
    [[gnu::always_inline]] friend Lanes max(const Lanes& a, const Lanes& b) {
        return each(
            [&](Vector& out, std::size_t i) { out = static_cast<Vector>(a.part_[i] > b.part_[i] ? a.part_[i] : b.part_[i]); });
    }
    [[gnu::always_inline]] friend Lanes min(const Lanes& a, const Lanes& b) {
        return each(
            [&](Vector& out, std::size_t i) { out = static_cast<Vector>(a.part_[i] < b.part_[i] ? a.part_[i] : b.part_[i]); });
    }
    [[gnu::always_inline]] friend Lanes sqrt(const Lanes& a) {
        return each([&](Vector& out, std::size_t i) { root(out, a.part_[i]); });
    }

private:
    static constexpr std::size_t kLanesAPart = Width / kParts;

    template <std::size_t... I>
    [[gnu::always_inline]] void fill(Scalar value, std::index_sequence<I...>) {
        ((part_[I] = value - Vector{}), ...);
    }
    // The parts are unrolled by hand: only then does the compiler keep each in a register.
    template <class Function>
    [[gnu::always_inline]] static Lanes each(Function&& function) {
        Lanes out;
        [&]<std::size_t... I>(std::index_sequence<I...>) __attribute__((always_inline)) { (function(out.part_[I], I), ...); }
        (Parts{});
        return out;
    }
    template <class Function>
    [[gnu::always_inline]] static Mask each_mask(Function&& function) {
        Mask out;
        [&]<std::size_t... I>(std::index_sequence<I...>) __attribute__((always_inline)) { (function(out.part[I], I), ...); }
        (Parts{});
        return out;
    }
    [[gnu::always_inline]] static void root(Vector& out, const Vector& a) {
#if defined(__AVX512F__)
        if constexpr (kBytes == 64 && sizeof(Scalar) == 8) return void(out = _mm512_sqrt_pd(a));
        if constexpr (kBytes == 64 && sizeof(Scalar) == 4) return void(out = _mm512_sqrt_ps(a));
#endif
#if defined(__AVX__)
        if constexpr (kBytes == 32 && sizeof(Scalar) == 8) return void(out = _mm256_sqrt_pd(a));
        if constexpr (kBytes == 32 && sizeof(Scalar) == 4) return void(out = _mm256_sqrt_ps(a));
#endif
#if defined(__SSE2__)
        if constexpr (kBytes == 16 && sizeof(Scalar) == 8) return void(out = _mm_sqrt_pd(a));
        if constexpr (kBytes == 16 && sizeof(Scalar) == 4) return void(out = _mm_sqrt_ps(a));
#endif
        for (std::size_t lane = 0; lane < kLanesAPart; ++lane) out[lane] = std::sqrt(a[lane]);
    }

    Vector part_[kParts];
};

/// What the templates need to know of a Real: its scalar, its number of lanes, one of its lanes.
template <class Real>
struct LaneTraits {
    using scalar_type = Real;
    static constexpr std::size_t width = 1;
};
template <class Scalar, std::size_t Width, class Isa>
struct LaneTraits<Lanes<Scalar, Width, Isa>> {
    using scalar_type = Scalar;
    static constexpr std::size_t width = Width;
};
template <class Real>
using lane_scalar_t = typename LaneTraits<Real>::scalar_type;
template <class Real>
inline constexpr std::size_t lane_count_v = LaneTraits<Real>::width;

template <class Real>
[[nodiscard]] lane_scalar_t<Real> lane(const Real& value, std::size_t index) {
    if constexpr (std::is_arithmetic_v<Real>)
        return value;
    else
        return value[index];
}
template <class Real>
void set_lane(Real& pack, std::size_t index, lane_scalar_t<Real> value) {
    if constexpr (std::is_arithmetic_v<Real>)
        pack = value;
    else
        pack.set(index, value);
}

/// The largest lane; not a number where any lane is not a number.
template <class Real>
[[nodiscard]] double largest_lane(const Real& value) {
    double largest = static_cast<double>(lane(value, 0));
    for (std::size_t i = 1; i < lane_count_v<Real>; ++i) {
        const double next = static_cast<double>(lane(value, i));
        if (!(next <= largest) && largest == largest) largest = next;
    }
    return largest;
}

// The same words for a plain number, so that one template serves both.
template <std::floating_point Real>
[[nodiscard]] Real select(bool mask, Real chosen, Real other) {
    return mask ? chosen : other;
}
template <std::floating_point Real>
[[nodiscard]] Real abs(Real a) {
    return std::abs(a);
}
template <std::floating_point Real>
[[nodiscard]] Real sqrt(Real a) {
    return std::sqrt(a);
}
template <std::floating_point Real>
[[nodiscard]] Real max(Real a, Real b) {
    return a > b ? a : b;
}
template <std::floating_point Real>
[[nodiscard]] Real min(Real a, Real b) {
    return a < b ? a : b;
}

}  // namespace bakewright::thermal
