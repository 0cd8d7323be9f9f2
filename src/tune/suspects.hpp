// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "bake_model.hpp"

namespace bakewright::tune {

/// Channels of one bake whose signature is that of a probe that reads the air, or of two probes that changed places. Both are
/// judged with the film of every group anywhere in its band, so that a film that is off is not taken for either. Sets the model's
/// unknowns.
///
/// Exchanged: the two logs fit each other's zones with less than a quarter of the squares, by more than 1.5 K.
/// Loose: the reading is best explained as two fifths or more of the way from zone to air, from some moment on, and that takes
/// away half of an error of 1.5 K or more. Limits are common practice, no source.
[[nodiscard]] std::vector<Suspect> suspects_in(const TuneTask& task, std::size_t bake, BakeModel& model,
                                               const TuneOptions& options);

}  // namespace bakewright::tune
