// SPDX-License-Identifier: Apache-2.0
#include "registers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <limits>

#include "bakewright/record/source.hpp"

namespace bakewright::record {
namespace {

constexpr int kMostRegisters = 125;
/// A float that is smaller and not 0 was put together wrongly.
constexpr double kLeastFloat = 1e-4;

std::uint16_t swapped(std::uint16_t word) noexcept { return static_cast<std::uint16_t>((word << 8U) | (word >> 8U)); }

}  // namespace

int registers_of(probe::RegisterType type) noexcept { return type >= probe::RegisterType::int32 ? 2 : 1; }

std::vector<RegisterBlock> plan_blocks(const std::vector<probe::SourceChannel>& channels, int most_gap) {
    std::vector<std::size_t> order(channels.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    std::ranges::stable_sort(order, [&](std::size_t a, std::size_t b) {
        return std::pair(channels[a].table, *channels[a].register_address) <
               std::pair(channels[b].table, *channels[b].register_address);
    });
    std::vector<RegisterBlock> blocks;
    for (const std::size_t channel : order) {
        const int first = static_cast<int>(*channels[channel].register_address), count = registers_of(channels[channel].type);
        RegisterBlock* last = blocks.empty() ? nullptr : &blocks.back();
        const bool joins = last != nullptr && last->table == channels[channel].table &&
                           first - (last->first + last->count) <= most_gap &&
                           std::max(first + count - last->first, last->count) <= kMostRegisters;
        if (!joins) {
            blocks.push_back({channels[channel].table, first, count, {channel}});
            continue;
        }
        last->count = std::max(last->count, first + count - last->first);
        last->channels.push_back(channel);
    }
    return blocks;
}

double number_in(std::span<const std::uint16_t> registers, probe::RegisterType type, probe::WordOrder order) {
    const bool swaps = order == probe::WordOrder::high_first_swapped || order == probe::WordOrder::low_first_swapped;
    const bool low_first = order == probe::WordOrder::low_first || order == probe::WordOrder::low_first_swapped;
    const auto word = [&](std::size_t i) -> std::uint32_t { return swaps ? swapped(registers[i]) : registers[i]; };
    if (type == probe::RegisterType::uint16) return word(0);
    if (type == probe::RegisterType::int16) return static_cast<std::int16_t>(word(0));
    const std::uint32_t both = low_first ? word(1) << 16U | word(0) : word(0) << 16U | word(1);
    if (type == probe::RegisterType::uint32) return both;
    if (type == probe::RegisterType::int32) return static_cast<std::int32_t>(both);
    const double value = std::bit_cast<float>(both);
    const bool is_number = std::isfinite(value) && (value == 0.0 || std::abs(value) >= kLeastFloat);
    return is_number ? value : std::numeric_limits<double>::quiet_NaN();
}

std::string other_orders(std::span<const std::uint16_t> registers, const probe::SourceRecord& record, std::size_t channel) {
    const probe::SourceChannel& told = record.channels[channel];
    const auto words = probe::words_of(probe::WordOrder{});
    std::string text;
    for (std::size_t i = 0; i < words.size(); ++i) {
        const auto order = static_cast<probe::WordOrder>(i);
        const double number = number_in(registers, told.type, order);
        if (order == told.word_order || reading_of(record, channel, number).quality != SampleQuality::good) continue;
        text += fmt::format("{}\"{}\" gives {:.1f}", text.empty() ? "" : ", ", words[i], told.scale * number + told.offset);
    }
    return text;
}

}  // namespace bakewright::record
