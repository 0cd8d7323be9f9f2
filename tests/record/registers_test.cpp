// SPDX-License-Identifier: Apache-2.0
#include "registers.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>

using namespace bakewright;
using namespace bakewright::record;
using probe::RegisterTable;
using probe::RegisterType;
using probe::WordOrder;

namespace {

probe::SourceChannel at(double address, RegisterType type = RegisterType::int16, RegisterTable table = RegisterTable::holding) {
    probe::SourceChannel channel;
    channel.unit = probe::ReadingUnit::deg_c;
    channel.register_address = address;
    channel.type = type;
    channel.table = table;
    return channel;
}

}  // namespace

TEST_CASE("registers are asked for in as few requests as the protocol allows, and none holds more than 125") {
    std::vector<probe::SourceChannel> channels;
    for (int i = 0; i < 200; ++i) channels.push_back(at(i, RegisterType::int16));
    channels.push_back(at(1000.0, RegisterType::float32));
    channels.push_back(at(1009.0));
    channels.push_back(at(1030.0));
    channels.push_back(at(5.0, RegisterType::int16, RegisterTable::input));
    const std::vector<RegisterBlock> blocks = plan_blocks(channels, 8);
    REQUIRE(blocks.size() == 5);
    CHECK(blocks[0].count == 125);
    CHECK(blocks[1].count == 75);
    CHECK(blocks[2].first == 1000);
    CHECK(blocks[2].count == 10);  // a gap of seven registers is read too
    CHECK(blocks[3].first == 1030);
    CHECK(blocks[4].table == RegisterTable::input);
    std::size_t held = 0;
    for (const RegisterBlock& block : blocks) held += block.channels.size();
    CHECK(held == channels.size());
    CHECK(plan_blocks(channels, 0).size() == 6);
}

TEST_CASE("a value of two registers is put together in each of the four orders") {
    // 21.4 as an IEEE 754 single is 0x41AB3333; -12345678 as two's complement is 0xFF439EB2. Worked out by hand.
    const std::array<std::uint16_t, 2> high{0x41AB, 0x3333}, low{0x3333, 0x41AB}, high_swapped{0xAB41, 0x3333},
        low_swapped{0x3333, 0xAB41};
    for (const auto& [words, order] : {std::pair(high, WordOrder::high_first),
                                       {low, WordOrder::low_first},
                                       {high_swapped, WordOrder::high_first_swapped},
                                       {low_swapped, WordOrder::low_first_swapped}})
        CHECK(std::abs(number_in(words, RegisterType::float32, order) - 21.4) <= 1e-6);  // a single has 24 bits: 2e-6 at 21
    const std::array<std::uint16_t, 2> negative{0xFF43, 0x9EB2};
    CHECK(number_in(negative, RegisterType::int32, WordOrder::high_first) == -12345678.0);
    CHECK(number_in(negative, RegisterType::uint32, WordOrder::high_first) == 4282621618.0);
    const std::array<std::uint16_t, 1> one{0xFF38};
    CHECK(number_in(one, RegisterType::int16, WordOrder::high_first) == -200.0);
    CHECK(number_in(one, RegisterType::uint16, WordOrder::high_first) == 65336.0);
    CHECK(number_in(one, RegisterType::uint16, WordOrder::high_first_swapped) == 14591.0);  // 0x38FF
}

TEST_CASE("a float in the wrong word order is no reading near 0 degC, and the order that gives one is named") {
    // Low first, 21.4 reads 0x333341AB: 4.17e-8, which would pass for the melting point of ice.
    const std::array<std::uint16_t, 2> words{0x3333, 0x41AB};
    CHECK(std::isnan(number_in(words, RegisterType::float32, WordOrder::high_first)));
    probe::SourceRecord record;
    record.channels.push_back(at(0.0, RegisterType::float32));
    const std::string other = other_orders(words, record, 0);
    CHECK(other.find("\"low first\" gives 21.4") != std::string::npos);
    const std::array<std::uint16_t, 2> zero{0, 0};
    CHECK(number_in(zero, RegisterType::float32, WordOrder::high_first) == 0.0);
}
