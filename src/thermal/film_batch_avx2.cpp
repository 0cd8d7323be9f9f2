// SPDX-License-Identifier: Apache-2.0
#include "film_batch_kernel.hpp"

namespace bakewright::thermal {

void evaluate_film_batch_avx2(const FilmBatchData& data, const FilmBatchArrays& arrays) { evaluate_film_packs<32>(data, arrays); }

}  // namespace bakewright::thermal
