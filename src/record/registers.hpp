// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "bakewright/probe/source_record.hpp"

/// Modbus registers: which are asked for together, and what number stands in them.
namespace bakewright::record {

/// Registers that one request asks for.
struct RegisterBlock {
    probe::RegisterTable table = probe::RegisterTable::holding;
    int first = 0;
    int count = 0;                        ///< 1 to 125 (Modbus Application Protocol V1.1b3, 6.3)
    std::vector<std::size_t> channels{};  ///< whose registers lie in it
};

/// 1 or 2.
[[nodiscard]] int registers_of(probe::RegisterType type) noexcept;

/// Blocks that hold the registers of all channels, in as few requests as may be.
/// @param most_gap  registers between two channels that are asked for too, so that they share a request; some devices refuse them
[[nodiscard]] std::vector<RegisterBlock> plan_blocks(const std::vector<probe::SourceChannel>& channels, int most_gap);

/// The number that stands in one register or two. NaN for a float that is none, or so small that no thermometer shows it: what a
/// float in the wrong word order often is. @param registers  as many as the type has
[[nodiscard]] double number_in(std::span<const std::uint16_t> registers, probe::RegisterType type, probe::WordOrder order);

/// Where a reading is no temperature as its word order is set: which other orders would make it one, for people; empty where
/// none.
[[nodiscard]] std::string other_orders(std::span<const std::uint16_t> registers, const probe::SourceRecord& record,
                                       std::size_t channel);

}  // namespace bakewright::record
