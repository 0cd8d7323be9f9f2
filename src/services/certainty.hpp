// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "bakewright/base/work.hpp"
#include "bakewright/cure/confidence.hpp"
#include "bakewright/cure/judge.hpp"
#include "bakewright/plan/ensemble.hpp"
#include "bakewright/services/shell_history.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "bakewright/tune/compare.hpp"
#include "bakewright/tune/estimate.hpp"

namespace bakewright::services {

struct CertaintyOptions {
    std::optional<cure::TemperatureUncertainty> given;  ///< each trace is so far off; in place of what follows
    std::size_t member_count = plan::kMemberCount;      ///< how often a prediction is made anew, 40 to 100,000
    Progress progress;
    bool measured_only = false;    ///< a log is judged by its probes alone, without a model of its shell beside it
    bool believes_probes = false;  ///< channels that look faulty count all the same
    book::Book* book = nullptr;    ///< whose record of the booth counts (track_record.hpp); null: the booth's own as it is
};

/// The bake of a prediction made many times over, with what is not known drawn anew; nothing where it was a log, or driven by a
/// log's air. Widths of temperatures do not hang on the coating. @throws FileError where the listener stopped it
[[nodiscard]] std::optional<plan::EnsemblePrediction> ensemble_of(const StoredBake& bake, const cure::Coating& coating,
                                                                  const CertaintyOptions& how);
/// Judges a stored bake with the coated zones and item limits of its shell.
[[nodiscard]] cure::BakeVerdict judge(const StoredBake& bake, const cure::Coating& coating);
/// Judges a shell over its history; what is doubtful in the book or was found by hand stands among the verdict's questions.
[[nodiscard]] cure::ShellVerdict judge(const LoadedHistory& loaded);

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

/// A bake that is judged, with what its certainty was read from.
struct Judged {
    cure::BakeVerdict verdict;
    std::optional<plan::EnsemblePrediction> ensemble{};
    std::optional<tune::Estimate> estimate{};  ///< of a log with a shell and a booth
    TraceSet traces;                           ///< the words rest on these: of an estimate every zone's and item's
};

/// Judges a stored bake and says how sure that is. A log whose shell and booth are known is judged on the estimate of every zone
/// (tune::estimate()), unless it is asked by its probes alone or with an uncertainty that is given; where there can be no
/// estimate the verdict says why. A prediction that was driven by a log's air has an ensemble in that air.
/// @param shell  whose coated zones and items count, where not the bake's own
/// @throws FileError where the listener stopped it
[[nodiscard]] Judged judged(const StoredBake& bake, const cure::Coating& coating, const CertaintyOptions& how,
                            const std::optional<profile::ShellProfile>& shell = {});

/// Whether a prediction and a log agree within what the log's probes and the model may be off, channel by channel of one name.
///
/// A probe may be off by its tolerance (probe_tolerance_k(), or sqrt(3) standard uncertainties where one is given), and by its
/// attachment on the unsafe side. The model may be off by the band that holds 90 % of the members of its ensemble; channels
/// without one, and predictions that were driven by a log's air, by as much of a normal error of usual_model().
/// @param ensemble  of the prediction, where it was made already; else it is made, where it can be
/// @throws FileError where the listener stopped it
[[nodiscard]] tune::Agreement agreement(const StoredBake& predicted, const StoredBake& logged,
                                        const plan::EnsemblePrediction* ensemble, const CertaintyOptions& how);

/// Thermocouples of a type and class, such as "K, IEC 2". @throws InputError that names the option
[[nodiscard]] cure::TemperatureUncertainty probes_of_class(const std::string& text, const std::string& option);

/// Thermocouples of a log where nobody says better: type K, IEC class 2. Common practice.
[[nodiscard]] cure::TemperatureUncertainty usual_probes();

/// Of a prediction that cannot be made anew. Common practice, no source: a third of it is probes, the rest films and links.
[[nodiscard]] cure::TemperatureUncertainty usual_model();

/// Standard uncertainty of one trace of a log by the record of its probe; that of usual probes where it has none [K].
[[nodiscard]] double probe_standard_k(const StoredBake& bake, const std::string& trace);

/// What one trace of a log may be off by the record of its probe [K]: the tolerance of its class, or twice the standard
/// uncertainty of its calibration; the tolerance of usual probes where it has none.
[[nodiscard]] double probe_tolerance_k(const StoredBake& bake, const std::string& trace);

/// What the uncertainties of a log with probe records rest on, for people, with the smallest and the largest of them.
[[nodiscard]] std::string recorded_probes_origin(const StoredBake& bake);

}  // namespace bakewright::services
