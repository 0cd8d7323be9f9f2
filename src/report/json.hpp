// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <nlohmann/json.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/bake/predict.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/journal.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/book/verify.hpp"
#include "bakewright/cure/course.hpp"
#include "bakewright/cure/history.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/plan/assumptions.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/plan/remedies.hpp"
#include "bakewright/probe/log_reading.hpp"
#include "bakewright/probe/map_channels.hpp"
#include "bakewright/probe/merge_logs.hpp"
#include "bakewright/probe/probe_record.hpp"
#include "bakewright/profile/check.hpp"
#include "bakewright/report/html.hpp"
#include "bakewright/report/shell_drawing.hpp"
#include "bakewright/tune/compare.hpp"
#include "bakewright/tune/estimate.hpp"

namespace bakewright::report {

struct ReportInput;
struct TraceBand;

using Json = nlohmann::ordered_json;

// The records for programs, as docs/json.md describes them: SI values under unit-suffixed keys, keys always in the same order, a
// value that is not finite or absent as null. document_of() makes the whole document of a record, with its format and version,
// once; what stands beside it is put in as values.

/// As text: numbers with as many digits as read back to the same double; bytes of names that are not
/// UTF-8 become U+FFFD. @param indent  spaces; below 0 everything in one line
[[nodiscard]] std::string json_text(const Json& json, int indent = 2);
/// A whole document: format and its version, then the fields.
[[nodiscard]] Json document(std::string_view format, Json fields);
/// Puts `value` behind a document's format and version.
void put_first(Json& document, const char* key, Json value);

[[nodiscard]] Json document_of(const TraceSet& traces);
[[nodiscard]] Json document_of(const bake::Prediction& prediction, bool with_samples = false);
[[nodiscard]] Json document_of(const cure::BakeVerdict& verdict);
/// With what the estimate says of the probes; null: there was none.
[[nodiscard]] Json document_of(const cure::BakeVerdict& verdict, const tune::Estimate* estimate);
[[nodiscard]] Json document_of(const cure::BakeCourse& course);
[[nodiscard]] Json document_of(const ShellDrawing& drawing);
[[nodiscard]] Json document_of(const tune::Comparison& comparison);
[[nodiscard]] Json document_of(const std::vector<TraceBand>& traces);
/// Everything in a report in one document.
/// @param with_samples  with the samples of its traces, not only their summary
[[nodiscard]] Json document_of(const ReportInput& input, bool with_samples = false);

/// What commands answer with --json, beside the records of json.hpp; shapes in docs/json.md.
[[nodiscard]] Json document_of(const std::vector<profile::CheckReport>& reports);
/// What stands beside a plan.
struct PlanCompany {
    std::vector<plan::Remedy> remedies{};
    const cure::ShellVerdict* after = nullptr;        ///< the shell's history with the planned bake; null where there is none
    std::vector<std::string> taken_out{};             ///< items that must come out
    bool booth_purges_by_itself = false;              ///< so that no stage of the cycle is a purge
    std::optional<plan::LikeliestCycle> likeliest{};  ///< of a plan that found no cycle
};
[[nodiscard]] Json document_of(const plan::Plan& plan, const PlanCompany& company = {});
[[nodiscard]] Json document_of(const probe::LogReading& reading, const probe::MappingResult& mapping);
[[nodiscard]] Json document_of(const std::vector<book::BakeSummary>& bakes);
[[nodiscard]] Json document_of(const book::Bake& bake, const std::vector<book::TraceSummary>& traces);
[[nodiscard]] Json document_of(const book::VerifyReport& report);
/// Notes by hand, and how often what was tested was soft.
[[nodiscard]] Json document_of(const std::vector<HandRow>& rows);
[[nodiscard]] Json document_of(const std::vector<SoftCount>& counts);
/// Nothing: no entry of the journal has the digest.
[[nodiscard]] Json document_of(const std::optional<book::SinceDigest>& since);
/// A comparison with the verdicts on both bakes.
[[nodiscard]] Json document_of(const tune::Comparison& comparison, const std::vector<JudgedBake>& verdicts);

/// How a second log was put together with the first.
[[nodiscard]] Json json_of(const probe::MergedLogs& merged);
/// The records of probes and what these did to the readings.
[[nodiscard]] Json json_of(const probe::ProbeSet& set, const probe::ProbeUse& use);

}  // namespace bakewright::report
