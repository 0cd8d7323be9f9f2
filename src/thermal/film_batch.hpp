// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "tabulated_film.hpp"

namespace bakewright::thermal {

/// The numbers of many films, one a lane, in whole packs of kWidest; what the kernels read.
struct FilmBatchData {
    static constexpr std::size_t kWidest = 8;
    std::size_t padded_count = 0;
    const double* curve_rows = nullptr;
    const double* air_rows = nullptr;
    std::vector<std::int64_t> warmer, cooler, air, forced_rows;
    std::vector<double> inverse_length_per_m, buoyancy_factor, sign, multiplier;
    std::vector<table::CubicRow> forced;  ///< kFilmSegments rows each
};

/// Where a kernel reads and writes, padded_count values each; the slopes may be absent.
struct FilmBatchArrays {
    const double* surface_k;
    const double* air_k;
    const double* forced_factor;
    double* coefficient_w_per_m2_k;
    double* slope_surface = nullptr;
    double* slope_air = nullptr;
};

// Kernels, a source file each, there where the build has the instruction set.
void evaluate_film_batch_avx2(const FilmBatchData& data, const FilmBatchArrays& arrays);
void evaluate_film_batch_avx512(const FilmBatchData& data, const FilmBatchArrays& arrays);

/// All films of a network evaluated at once, by the widest vectors the machine has: what takes most of a solve's time. The
/// numbers are within 3e-6 of TabulatedFilm::evaluate()'s.
class FilmBatch {
public:
    FilmBatch();
    explicit FilmBatch(std::span<const TabulatedFilm> films);
    // Defined in the source file, so that a file compiled for another instruction set holds no copy of them.
    FilmBatch(const FilmBatch&);
    FilmBatch(FilmBatch&&) noexcept;
    FilmBatch& operator=(const FilmBatch&);
    FilmBatch& operator=(FilmBatch&&) noexcept;
    ~FilmBatch();

    /// Values a film; room for whole packs.
    [[nodiscard]] std::size_t padded_count() const noexcept { return data_.padded_count; }

    /// @param arrays  padded_count() values each; what stands behind the last film is read and written, and of no use
    void evaluate(const FilmBatchArrays& arrays) const;

private:
    /// A forced part that stands in the data already: a table, or a constant where there is none.
    struct SharedRows {
        const void* table;
        double constant_w_per_m2_k;
        std::int64_t row;
    };

    void append(const TabulatedFilm& film);
    [[nodiscard]] std::int64_t forced_rows_of(const TabulatedFilm& film);

    FilmBatchData data_;
    std::vector<SharedRows> shared_rows_;
    std::vector<TabulatedFilm> films_;  ///< for machines without wide vectors, and films of two correlations or none
    std::vector<std::size_t> alone_;    ///< those films
};

}  // namespace bakewright::thermal
