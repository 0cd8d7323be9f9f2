#pragma once

#include <cstddef>
#include <optional>

#include "bakewright/base/work.hpp"
#include "bakewright/cure/confidence.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/plan/ensemble.hpp"
#include "bakewright/shop/shell_history.hpp"
#include "bakewright/shop/stored_bake.hpp"

namespace bakewright::shop {

struct CertaintyOptions {
    std::optional<cure::TemperatureUncertainty> given;  ///< each trace is so far off; in place of what follows
    std::size_t member_count = plan::kMemberCount;      ///< how often a prediction is made anew, 40 to 100,000
    Progress progress;
};

/// The bake of a prediction made many times over, with what is not known drawn anew; nothing where it was a log, or driven by a
/// log's air. Widths of temperatures do not hang on the coating. @throws FileError where the listener stopped it
[[nodiscard]] std::optional<plan::EnsemblePrediction> ensemble_of(const StoredBake& bake, const cure::Coating& coating,
                                                                  const CertaintyOptions& how);
/// Judges a stored bake with the coated zones and item limits of its shell.
[[nodiscard]] cure::BakeVerdict judge(const StoredBake& bake, const cure::Coating& coating);

/// Says how sure a verdict on a bake is. Where nothing is given, each of a log's traces is as far off as the record of its own
/// probe says, else as thermocouples of type K, IEC class 2 (common practice). A prediction is made anew with what is not known
/// of shell and booth drawn for each member; one that was driven by a log's air is taken for 1.5 K (common practice).
/// @param bake  with the shell it was made with
/// @throws FileError where the listener stopped it
/// @return the ensemble it was read from, where there is one
std::optional<plan::EnsemblePrediction> add_certainty(cure::BakeVerdict& verdict, const StoredBake& bake,
                                                      const cure::Coating& coating, const CertaintyOptions& how);

/// The same for a shell's history: predictions are as uncertain, zone by zone, as such an ensemble is wide.
void add_certainty(cure::ShellVerdict& verdict, const LoadedHistory& loaded, const CertaintyOptions& how);

}  // namespace bakewright::shop
