// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>

#include "bakewright/plan/ensemble.hpp"
#include "bakewright/services/certainty.hpp"
#include "bakewright/services/shell_history.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "bakewright/tune/estimate.hpp"

/// The estimate of every zone of a stored log, for whoever judges or draws it.
namespace bakewright::services {

struct EstimatedBake {
    tune::Estimate estimate;
    plan::EnsemblePrediction ensemble;  ///< of the members that it draws
    TraceSet traces;  ///< its course of every zone and item; channels of the log that are none of the shell's as read
};

/// @param why_not  gets why there is none, for people; stays empty where none was to be expected (no shell or booth is kept)
[[nodiscard]] std::optional<EstimatedBake> estimate_of(const StoredBake& bake, const cure::Coating& coating,
                                                       const CertaintyOptions& how, std::string& why_not);

/// The ensemble of a prediction that was driven by a log's air: nothing but that air was measured. Nothing for any other.
[[nodiscard]] std::optional<plan::EnsemblePrediction> replay_ensemble(const StoredBake& bake, const cure::Coating& coating,
                                                                      const CertaintyOptions& how);

/// Keeps what a log whose shell and booth are known says of the sizes of the model's own errors (evidence.hpp). For a log that
/// was kept just now: it asks its own readings alone, so that whoever asks, in whatever order, a log says the same. Nothing where
/// it says nothing or where there is no room: the log itself is in the book, and every later tune hears it.
void keep_evidence_of(book::Book& book, const StoredBake& bake);

/// Puts the estimate of every zone in the place of each log of a history whose shell and booth are known, so that a history and
/// its bakes say the same. Nothing where it is asked for the bare logs, or with an uncertainty that is given.
void estimate_logs(LoadedHistory& loaded, const CertaintyOptions& how);

/// Where a word on one of its zones or items comes from.
[[nodiscard]] cure::KnownFrom known_from(const StoredBake& bake, const tune::Estimate& estimate, const std::string& name);

/// Says in a verdict where each word comes from, and puts what looks wrong with a probe among its questions.
void put_estimate(cure::BakeVerdict& verdict, const StoredBake& bake, const tune::Estimate& estimate);

/// What the certainty of an estimate rests on, for people.
[[nodiscard]] std::string estimate_origin(const tune::Estimate& estimate);

}  // namespace bakewright::services
