#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/book/verify.hpp"
#include "bakewright/cure/history.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/plan/remedies.hpp"
#include "bakewright/probe/log_reading.hpp"
#include "bakewright/probe/map_channels.hpp"
#include "bakewright/probe/merge_logs.hpp"
#include "bakewright/probe/probe_record.hpp"
#include "bakewright/profile/check.hpp"
#include "bakewright/report/html.hpp"
#include "bakewright/report/json.hpp"

/// What commands answer with --json, beside the records of json.hpp; shapes in docs/json.md.
namespace bakewright::report {

[[nodiscard]] Json document_of(const std::vector<profile::CheckReport>& reports);
/// What stands beside a plan.
struct PlanCompany {
    std::vector<plan::Remedy> remedies{};
    const cure::ShellVerdict* after = nullptr;  ///< the shell's history with the planned bake; null where there is none
    std::vector<std::string> taken_out{};       ///< items that must come out
    bool booth_purges_by_itself = false;        ///< so that no stage of the cycle is a purge
};
[[nodiscard]] Json document_of(const plan::Plan& plan, const PlanCompany& company = {});
[[nodiscard]] Json document_of(const probe::LogReading& reading, const probe::MappingResult& mapping);
[[nodiscard]] Json document_of(const std::vector<book::BakeSummary>& bakes);
[[nodiscard]] Json document_of(const book::Bake& bake, const std::vector<book::TraceSummary>& traces);
[[nodiscard]] Json document_of(const book::VerifyReport& report);
/// A comparison with the verdicts on both bakes.
[[nodiscard]] Json document_of(const tune::Comparison& comparison, const std::vector<JudgedBake>& verdicts);

/// How a second log was put together with the first.
[[nodiscard]] Json json_of(const probe::MergedLogs& merged);
/// The records of probes and what these did to the readings.
[[nodiscard]] Json json_of(const probe::ProbeSet& set, const probe::ProbeUse& use);

}  // namespace bakewright::report
