#pragma once

#include <optional>
#include <cstdint>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/journal.hpp"
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

[[nodiscard]] std::string to_json_text(const std::vector<profile::CheckReport>& reports, const JsonOptions& options = {});
/// What stands beside a plan.
struct PlanCompany {
    std::vector<plan::Remedy> remedies{};
    const cure::ShellVerdict* after = nullptr;  ///< the shell's history with the planned bake; null where there is none
    std::vector<std::string> taken_out{};       ///< items that must come out
    bool booth_purges_by_itself = false;        ///< so that no stage of the cycle is a purge
};
[[nodiscard]] std::string to_json_text(const plan::Plan& plan, const PlanCompany& company = {}, const JsonOptions& options = {});
[[nodiscard]] std::string to_json_text(const probe::LogReading& reading, const probe::MappingResult& mapping,
                                       const JsonOptions& options = {});
[[nodiscard]] std::string to_json_text(const std::vector<book::BakeSummary>& bakes, const JsonOptions& options = {});
[[nodiscard]] std::string to_json_text(const book::Bake& bake, const std::vector<book::TraceSummary>& traces,
                                       const JsonOptions& options = {});
[[nodiscard]] std::string to_json_text(const book::VerifyReport& report, const JsonOptions& options = {});
/// Nothing: no entry of the journal has the digest.
[[nodiscard]] std::string to_json_text(const std::optional<book::SinceDigest>& since, const JsonOptions& options = {});
/// A comparison with the verdicts on both bakes.
[[nodiscard]] std::string to_json_text(const tune::Comparison& comparison, const std::vector<JudgedBake>& verdicts,
                                       const JsonOptions& options = {});

/// Named values in the order given; a name that comes again makes a list of its values.
using JsonFields = std::vector<std::pair<std::string, std::variant<double, std::string>>>;
/// One JSON object in one line.
[[nodiscard]] std::string json_object(const JsonFields& fields);

/// The document of a log with `second`, how the second log was read, and `merge`, how the two were put together.
[[nodiscard]] std::string with_second_log(const std::string& document, const probe::LogReading& second,
                                          const probe::MergedLogs& merged);

/// The document of a log with `probes`: their records and what these did to the readings.
[[nodiscard]] std::string with_probes(const std::string& document, const probe::ProbeSet& set, const probe::ProbeUse& use);

/// A document of this area with the number its bake has in the book; null where it was not kept (number 0).
[[nodiscard]] std::string with_bake_number(const std::string& document, std::int64_t number);

}  // namespace bakewright::report
