// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/bake/predict.hpp"
#include "bakewright/cure/history.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/plan/feasible_map.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/report/answer.hpp"
#include "bakewright/report/comparison_text.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/tune/estimate.hpp"
#include "bakewright/tune/tune.hpp"

namespace bakewright::report {

/// How the answers of the commands begin. Each names the worst place and one thing to do.

/// "10 zones: 7 GOOD, 3 NOT JUDGED. 4 items: 4 GOOD."
[[nodiscard]] std::string counts_sentence(const cure::BakeVerdict& verdict);
/// The coated zone that is last to be cured, with when and by how much; empty where none is.
[[nodiscard]] std::string slowest_sentence(const cure::BakeVerdict& verdict, std::string_view started_at = {});
/// The item that comes nearest to its limit: "rear_cap peaks at 61.6 °C, 5.4 K under its limit of 67 °C."; empty where none has
/// one.
[[nodiscard]] std::string nearest_limit_sentence(const cure::BakeVerdict& verdict, const Units& units);

/// Zones, items, how sure, what is assumed: the parts of every verdict.
void add_verdict_parts(Answer& answer, const cure::BakeVerdict& verdict, const TextOptions& options);

/// @param started_at  by the shop's clock; empty: times count from the start. @param foreword  sentences before the answer
[[nodiscard]] Answer plan_answer(const plan::Plan& plan, const PlanCompany& company, const Checklist& list,
                                 const TextOptions& options, std::string_view started_at = {},
                                 const std::vector<std::string>& foreword = {});
/// The set points that come near to work, hottest first; the whole map is a part.
[[nodiscard]] Answer map_answer(const plan::FeasibleMap& map, const Checklist& list, const TextOptions& options);
/// @param coated  names of the coated zones; @param checked  what earlier predictions were worth, a sentence, or empty;
/// @param next  what to do with it, a sentence
[[nodiscard]] Answer prediction_answer(const bake::Prediction& prediction, const std::vector<std::string>& coated,
                                       const std::string& checked, const std::string& next, const TextOptions& options);
/// @param started_at  of the bake, by the shop's clock; empty: times count from the start
/// @param estimate  that it rests on: told as a part of its own; null: none
[[nodiscard]] Answer verdict_answer(const cure::BakeVerdict& verdict, std::string_view started_at, const TextOptions& options,
                                    const tune::Estimate* estimate = nullptr);
[[nodiscard]] Answer shell_answer(const cure::ShellVerdict& verdict, const TextOptions& options, bool every_zone);

/// Everything a comparison of a prediction and a log has found.
struct ComparedBakes {
    const tune::Comparison& comparison;
    const tune::Agreement& agreement;
    const std::vector<tune::StageDifference>& by_stage;
    const std::vector<tune::Cause>& causes;
    const std::vector<JudgedBake>& verdicts;  ///< the log's and the prediction's; or none
};
[[nodiscard]] Answer comparison_answer(const ComparedBakes& compared, const TextOptions& options);
/// @param next  what to do with it, a sentence
[[nodiscard]] Answer tuning_answer(const tune::TuneResult& result, const std::string& next, const TextOptions& options);

/// Names of all the parts of these answers: what --details of each command takes.
inline constexpr std::string_view kPlanParts[] = {"cycle",     "zones",  "items",       "sure",      "assumed",
                                                  "probes",    "goals",  "tried",       "fixes",     "map",
                                                  "remaining", "so-far", "assumptions", "checklist", "cautions"};
inline constexpr std::string_view kPredictionParts[] = {"cycle", "zones", "booth", "layers"};
inline constexpr std::string_view kVerdictParts[] = {"zones", "items",  "coats",   "every-zone",
                                                     "sure",  "probes", "assumed", "cautions"};
inline constexpr std::string_view kComparisonParts[] = {"channels", "agreement", "stages",    "causes",
                                                        "verdicts", "logged",    "predicted", "cautions"};
inline constexpr std::string_view kTuningParts[] = {"numbers", "errors", "probes", "doubts"};
inline constexpr std::string_view kImportParts[] = {"reading", "samples"};

}  // namespace bakewright::report
