#pragma once

#include "bakewright/plan/ensemble.hpp"
#include "bakewright/shop/certainty.hpp"
#include "bakewright/shop/stored_bake.hpp"
#include "bakewright/tune/compare.hpp"

namespace bakewright::shop {

/// Whether a prediction and a log agree within what the log's probes and the model may be off, channel by channel of one name.
///
/// A probe may be off by its tolerance (probe_tolerance_k(), or sqrt(3) standard uncertainties where one is given), and by its
/// attachment on the unsafe side. The model may be off by the band that holds 90 % of the members of its ensemble; channels
/// without one, and predictions that were driven by a log's air, by as much of a normal error of usual_model().
/// @param ensemble  of the prediction, where it was made already; else it is made, where it can be
/// @throws FileError where the listener stopped it
[[nodiscard]] tune::Agreement agreement(const StoredBake& predicted, const StoredBake& logged,
                                        const plan::EnsemblePrediction* ensemble, const CertaintyOptions& how);

}  // namespace bakewright::shop
