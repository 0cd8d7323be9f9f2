#pragma once

#include "bakewright/cure/confidence.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/plan/ensemble.hpp"
#include "options.hpp"
#include "shell_history.hpp"
#include "stored_bake.hpp"

namespace bakewright::cli {

/// The coating named by --coating, else the one kept with the bake. @throws InputError where there is neither
[[nodiscard]] cure::Coating coating_for(const Options& options, const StoredBake& bake);

/// Judges a stored bake with the coated zones and item limits of its shell.
[[nodiscard]] cure::BakeVerdict judge(const StoredBake& bake, const cure::Coating& coating);

/// Adds --probe, --uncertainty and --members.
void describe_uncertainty(Options& options);

/// Says how sure a verdict on a bake is. With --uncertainty or --probe each trace is so far off; without them a log's are
/// thermocouples of type K, IEC class 2 (common practice). A prediction is made anew with what is not known of shell and booth
/// drawn for each of --members members; one that was driven by a log's air is taken for 1.5 K (common practice).
/// @param bake  with the shell it was made with
/// @return the ensemble it was read from, where there is one
std::optional<plan::EnsemblePrediction> add_certainty(cure::BakeVerdict& verdict, const StoredBake& bake,
                                                      const cure::Coating& coating, const Options& options);

/// The same for a shell's history: predictions are as uncertain, zone by zone, as such an ensemble is wide.
void add_certainty(cure::ShellVerdict& verdict, const LoadedHistory& loaded, const Options& options);

}  // namespace bakewright::cli
