// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/base/units.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/tune/estimate.hpp"

/// What an estimate says of zones and probes, for people.
namespace bakewright::report {

/// "7 zones measured, 3 estimated."; empty where no word says where it comes from.
[[nodiscard]] std::string known_from_sentence(const cure::BakeVerdict& verdict);

/// "rear_cap looks loose from 40 min after the start on: it reads 30 % of the way to the air: left out from there; fasten it
/// ...".
[[nodiscard]] std::string fault_sentence(const tune::ChannelFinding& channel, const Units& units);
/// The same of what shows as a log is read; a sentence each.
[[nodiscard]] std::vector<std::string> channel_fault_sentences(const std::vector<probe::ChannelFault>& faults,
                                                               const Units& units);
/// What looks wrong with a channel and what to do, as a question that keeps a verdict from being trusted.
[[nodiscard]] std::string fault_question(const tune::ChannelFinding& channel, const Units& units);

/// A line for each channel: what it reads against the rest, and what to do with it; faulty ones first.
[[nodiscard]] std::vector<std::string> probe_sentences(const tune::Estimate& estimate, const Units& units);

[[nodiscard]] Json json_of(const tune::Estimate& estimate);

}  // namespace bakewright::report
