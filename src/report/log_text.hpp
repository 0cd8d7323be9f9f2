// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/probe/log_reading.hpp"
#include "bakewright/probe/map_channels.hpp"
#include "bakewright/probe/merge_logs.hpp"
#include "bakewright/probe/probe_record.hpp"
#include "bakewright/report/table.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// "Read all 253 rows of clear.csv: 2 h 6 min, from 2027-03-01T16:20."
[[nodiscard]] std::string log_sentence(const probe::LogReading& reading);
/// What the reader noticed: guesses, faults, gaps.
[[nodiscard]] std::vector<std::string> log_remarks(const probe::LogReading& reading, const probe::MappingResult& mapping);
/// One row a temperature channel: what it became, its range, how many readings and how many are left out of any verdict.
[[nodiscard]] Table channel_summary(const probe::LogReading& reading, const probe::MappingResult& mapping, const Units& units);

/// How a log was read: the file's form, every channel with its unit and what it is mapped to, remarks and faults.
/// @param renamed  of a second log: channels that were given a new name before they were mapped
[[nodiscard]] std::string log_text(const probe::LogReading& reading, const probe::MappingResult& mapping,
                                   const TextOptions& options,
                                   const std::vector<std::pair<std::string, std::string>>& renamed = {});

/// The first samples of a log as they were understood, a row a channel: temperatures, and in place of those that are none the
/// flag. Times stand above them where all channels have the same.
/// @param traces  no more than the samples to be shown
[[nodiscard]] std::string first_samples_text(const TraceSet& traces, const TextOptions& options);

/// The probes a log was made with, and what their records did to it.
[[nodiscard]] std::string probes_text(const probe::ProbeSet& set, const probe::ProbeUse& use, const TextOptions& options);

/// How two logs were put together.
[[nodiscard]] std::string merge_text(const probe::MergedLogs& merged, const TextOptions& options);

}  // namespace bakewright::report
