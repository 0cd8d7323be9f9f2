// SPDX-License-Identifier: Apache-2.0
#include "film_batch.hpp"

namespace bakewright::thermal {
namespace {

using Kernel = void (*)(const FilmBatchData&, const FilmBatchArrays&);

/// The widest kernel this program was built with and this machine can run; none where there are no wide vectors.
Kernel widest_kernel() {
#ifdef BAKEWRIGHT_HAS_AVX512
    if (__builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq") && __builtin_cpu_supports("avx512vl"))
        return evaluate_film_batch_avx512;
#endif
#ifdef BAKEWRIGHT_HAS_AVX2
    if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma")) return evaluate_film_batch_avx2;
#endif
    return nullptr;
}

}  // namespace

FilmBatch::FilmBatch() = default;
FilmBatch::FilmBatch(const FilmBatch&) = default;
FilmBatch::FilmBatch(FilmBatch&&) noexcept = default;
FilmBatch& FilmBatch::operator=(const FilmBatch&) = default;
FilmBatch& FilmBatch::operator=(FilmBatch&&) noexcept = default;
FilmBatch::~FilmBatch() = default;

FilmBatch::FilmBatch(std::span<const TabulatedFilm> films) : films_(films.begin(), films.end()) {
    data_.curve_rows = table::curve_rows(table::Curve::vertical_plate)->data();
    data_.air_rows = table::air_rows(table::Buoyancy::plain)->conductivity_w_per_m_k.data();
    for (std::size_t i = 0; i < films.size(); ++i) {
        if (films[i].natural_count_ != 1) alone_.push_back(i);
        append(films[i]);
    }
    // What stands behind the last film is the last film again.
    while (!films.empty() && data_.warmer.size() % FilmBatchData::kWidest != 0) append(films.back());
    data_.padded_count = data_.warmer.size();
}

void FilmBatch::append(const TabulatedFilm& film) {
    const TabulatedFilm::Natural& natural = film.naturals_[0];
    const bool is_alone = film.natural_count_ != 1;
    const std::int64_t warmer = is_alone ? 0 : (natural.warmer_rows - data_.curve_rows) / 4;
    data_.warmer.push_back(warmer);
    data_.cooler.push_back(warmer + natural.cooler_offset);
    const std::ptrdiff_t air_doubles = is_alone ? 0 : natural.air->conductivity_w_per_m_k.data() - data_.air_rows;
    data_.air.push_back(air_doubles / static_cast<std::ptrdiff_t>(sizeof(table::AirRow) / sizeof(double)));
    data_.inverse_length_per_m.push_back(natural.inverse_length_per_m);
    data_.buoyancy_factor.push_back(natural.buoyancy_factor);
    data_.sign.push_back(film.sign_);
    data_.multiplier.push_back(film.multiplier_);
    data_.forced_rows.push_back(forced_rows_of(film));
}

/// Row of a film's forced part; films that share one share its rows, which keeps them in the cache.
std::int64_t FilmBatch::forced_rows_of(const TabulatedFilm& film) {
    for (const SharedRows& known : shared_rows_)
        if (known.table == film.forced_rows_.get() && known.constant_w_per_m2_k == film.forced_w_per_m2_k_) return known.row;
    const auto row = static_cast<std::int64_t>(data_.forced.size());
    shared_rows_.push_back({film.forced_rows_.get(), film.forced_w_per_m2_k_, row});
    if (film.forced_rows_)
        data_.forced.insert(data_.forced.end(), film.forced_rows_->rows.begin(), film.forced_rows_->rows.end());
    else
        data_.forced.insert(data_.forced.end(), table::kFilmSegments, {film.forced_w_per_m2_k_, 0.0, 0.0, 0.0});
    return row;
}

void FilmBatch::evaluate(const FilmBatchArrays& arrays) const {
    static const Kernel kernel = widest_kernel();
    const auto alone = [&](std::size_t i) {
        TabulatedFilm::Value<double> value;
        films_[i].evaluate(arrays.surface_k[i], arrays.air_k[i], arrays.forced_factor[i], value);
        arrays.coefficient_w_per_m2_k[i] = value.coefficient_w_per_m2_k;
        if (arrays.slope_surface == nullptr) return;
        arrays.slope_surface[i] = value.slope_surface;
        arrays.slope_air[i] = value.slope_air;
    };
    if (kernel == nullptr) {
        for (std::size_t i = 0; i < films_.size(); ++i) alone(i);
        return;
    }
    if (data_.padded_count > 0) kernel(data_, arrays);
    for (const std::size_t i : alone_) alone(i);
}

}  // namespace bakewright::thermal
