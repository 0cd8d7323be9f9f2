// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "bakewright/base/format.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/history.hpp"
#include "bakewright/cure/verdict.hpp"

/// How sure a verdict is. The decision rule stands in docs/judging.md: a word is sure where the probability that it is right is
/// 95 % or more, that is with a guard band of 1.645 standard uncertainties on the side of the limit; else it is too close to
/// call.
namespace bakewright::cure {

/// Members that each stand for one possible truth, of a model or of a measurement. What stays open even then, such
/// as the activation energy, makes its words shares.
struct MemberChance {
    double cured = 0.0;     ///< chance of GOOD, 0 to 1
    double too_much = 0.0;  ///< chance of OVER, 0 to 1 - cured
    double weight = 1.0;    ///< > 0
};

/// Shares of the members, each word given one member more in advance (Laplace's rule of succession), so that a small ensemble is
/// never sure: of n equal members that agree, (n + 1) / (n + 3). 95 % takes 37 of them.
/// @throws PromiseError for a weight that is not above 0 or chances that are none; an empty ensemble gives thirds
[[nodiscard]] WordProbabilities ensemble_probabilities(std::span<const MemberChance> members);

/// How far a whole trace may be off: one offset for all of its samples, normal around 0. A probe's class and its calibration are
/// of that kind; noise from sample to sample averages out.
struct TemperatureUncertainty {
    double standard_k = 0.0;  ///< > 0
    std::string origin;       ///< for people: "type K, IEC class 2"
};

/// The words of one zone, if its whole trace were warmer or colder by an offset drawn from `uncertainty`, over the band of the
/// activation energy (low, value and high weighted 1 : 4 : 1, common practice). Cured is a met row or a dose of 1, where the
/// coating tells its activation energy; where only the default band is at hand both readings, sheet and dose, count one half.
/// Doses come from the time spent in each twentieth of a kelvin, good to 1e-3 of the dose; what a gap may hide is not in it.
/// @param schedule  trace that the schedule means; @param face  the coated face's own
/// @throws PromiseError where standard_k is not above 0
[[nodiscard]] Certainty zone_certainty(const Trace& schedule, const Trace& face, const Coating& coating,
                                       const TemperatureUncertainty& uncertainty);

/// The chance that an item's limits are kept, GOOD, or passed, OVER, if its whole trace were warmer or colder by such an offset.
/// What a gap may hide is not in it.
/// @throws PromiseError where standard_k is not above 0
[[nodiscard]] Certainty item_certainty(const Trace& trace, const std::vector<ExposureLimit>& limits,
                                       const TemperatureUncertainty& uncertainty);

/// Puts a certainty to every judged zone and item of a verdict of judge_bake(), and what would settle those that are too close to
/// call.
void add_certainty(BakeVerdict& verdict, const TraceSet& traces, const Coating& coating,
                   const TemperatureUncertainty& uncertainty);

/// Standard uncertainty [K], > 0, of the trace of a name.
using NamedUncertainty = std::function<double(const std::string& trace)>;

/// The same where each trace has an uncertainty of its own. Where the schedule means booth air, a zone's word rests on that of
/// the air. BakeVerdict::standard_uncertainty_k is that of all of them where they are the same, else 0.
/// @param origin  what the uncertainties rest on, for people
void add_certainty(BakeVerdict& verdict, const TraceSet& traces, const Coating& coating, const NamedUncertainty& standard_k,
                   std::string origin);

/// Standard uncertainty [K], > 0, of the trace of a zone, an item or the booth air in a bake of a history.
/// @param bake  index into ShellHistory::bakes
using TraceUncertainty = std::function<double(std::size_t bake, TraceSource source, const std::string& name)>;

/// Puts a certainty to every coat and item of a verdict of judge_history(). The offsets of all bakes go together, each as large
/// as its trace is uncertain: the same probes and the same model stand behind them, and errors that do not cancel are the safe
/// side. A coat that was in a bake of which nothing is known is too close to call.
/// @param history  the one that was judged
/// @param origins  what the uncertainties rest on, for people
void add_certainty(ShellVerdict& verdict, const ShellHistory& history, const TraceUncertainty& standard_k,
                   std::vector<std::string> origins);

/// "too close to call: best guess GOOD, 71 % sure; 6.0 more min at 60 degC would settle it, or a probe good to 0.4 K"; "GOOD, 99
/// % sure".
[[nodiscard]] std::string certainty_text(const ZoneVerdict& verdict, const Units& units);
[[nodiscard]] std::string certainty_text(const ItemVerdict& verdict, const Units& units);

}  // namespace bakewright::cure
