// SPDX-License-Identifier: Apache-2.0
#include "bakewright/codec/block.hpp"

#include <doctest/doctest.h>

#include <bit>
#include <cmath>
#include <limits>
#include <random>

#include "bakewright/base/units.hpp"
#include "bakewright/codec/compression.hpp"
#include "support/warm_up.hpp"

using namespace bakewright;
using namespace bakewright::codec;
using traces::warm_up;

namespace {

bool same_bits(const std::vector<double>& a, const std::vector<double>& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                      [](double x, double y) { return std::bit_cast<std::uint64_t>(x) == std::bit_cast<std::uint64_t>(y); });
}

void check_round_trip_of(const Trace& trace, int codec, const std::string& block) {
    CAPTURE(codec);
    Trace back;
    unpack_block(codec, block, trace.size(), back);
    CHECK(same_bits(back.time_s, trace.time_s));
    CHECK(same_bits(back.temperature_k, trace.temperature_k));
    CHECK(back.quality == trace.quality);
}

void check_round_trip(const Trace& trace) {
    check_round_trip_of(trace, 1, pack_block_1(trace, 0, trace.size()));
    check_round_trip_of(trace, 2, pack_block(trace, 0, trace.size()));
}

/// Every pattern of 64 bits: NaN with payloads, infinities, subnormals, minus zero. Fixed seed.
Trace any_bits(std::size_t samples) {
    std::mt19937_64 random(20260307);
    Trace trace;
    for (std::size_t i = 0; i < samples; ++i) {
        trace.time_s.push_back(std::bit_cast<double>(random()));
        trace.temperature_k.push_back(std::bit_cast<double>(random()));
        trace.quality.push_back(static_cast<SampleQuality>(random() % 7));
    }
    return trace;
}

}  // namespace

TEST_CASE("a block gives back every bit of every double and every flag") {
    check_round_trip(warm_up("roof", TraceRole::zone, 1000));
    check_round_trip(warm_up("roof", TraceRole::zone, 1));
    check_round_trip(any_bits(1));
    check_round_trip(any_bits(5000));
    check_round_trip(any_bits(kBlockSamples));
}

TEST_CASE("a block keeps the special doubles apart") {
    const double nan = std::bit_cast<double>(std::uint64_t{0x7ff800000000beef});
    const double infinity = std::numeric_limits<double>::infinity();
    check_round_trip({.name = {},
                      .role = {},
                      .time_s = {-1.0, 0.0, 1.0, 2.0, 3.0, 4.0},
                      .temperature_k = {nan, -nan, infinity, -infinity, 0.0, -0.0},
                      .quality = {}});
}

TEST_CASE("a block of part of a trace holds that part alone") {
    const Trace trace = warm_up("roof", TraceRole::zone, 100);
    Trace back;
    unpack_block(kNewestCodec, pack_block(trace, 40, 10), 10, back);
    CHECK(back.time_s == std::vector<double>(trace.time_s.begin() + 40, trace.time_s.begin() + 50));
}

TEST_CASE("readings of few decimals come back bit for bit in every unit, with what is missing") {
    // Fixed seed. Readings of a logger: a decimal text of a unit, converted as the reader of logs converts it.
    std::mt19937 random(20261125);
    for (const int decimals : {0, 1, 2, 3, 6}) {
        for (const int unit : {0, 1, 2}) {
            Trace trace;
            for (int i = 0; i < 3000; ++i) {
                const double read =
                    std::nearbyint(std::uniform_real_distribution<>(-40.0, 260.0)(random) * std::pow(10.0, decimals)) /
                    std::pow(10.0, decimals);
                trace.time_s.push_back(unit == 1 ? minutes_to_seconds(0.1 * i) : 0.25 * i);
                // Adding 0 makes minus zero, which no logger writes, plain zero.
                const double temperature_k = 0.0 + (unit == 0   ? celsius_to_kelvin(read)
                                                    : unit == 1 ? fahrenheit_to_kelvin(read)
                                                                : read);
                trace.temperature_k.push_back(i % 17 == 3 ? std::numeric_limits<double>::quiet_NaN() : temperature_k);
                trace.quality.push_back(i % 17 == 3 ? SampleQuality::missing : SampleQuality::good);
            }
            CAPTURE(decimals);
            CAPTURE(unit);
            check_round_trip(trace);
            // 300 K of 10^decimals steps: no more than the bits of one reading, a quarter of a byte for times, mask and flags.
            const double bits = std::log2(2.0 * 300.0 * std::pow(10.0, decimals)) + 1.0;
            CHECK(static_cast<double>(pack_block(trace, 0, trace.size()).size()) <=
                  (std::ceil(bits / 8.0) + 0.25) * 3000.0 + 200.0);
        }
    }
    check_round_trip({.name = {}, .role = {}, .time_s = {0.0, 1.0}, .temperature_k = {NAN, NAN}, .quality = {}});
    check_round_trip({.name = {}, .role = {}, .time_s = {-2.5, 1e12}, .temperature_k = {-0.0, 5e-324}, .quality = {}});
}

TEST_CASE("times of the first trace are not stored again, and a block that rests on them says so") {
    std::mt19937 random(7);
    Trace first = warm_up("air", TraceRole::booth_air, 2000);
    for (double& time_s : first.time_s) time_s += std::uniform_real_distribution<>(0.0, 9.0)(random);
    Trace other = warm_up("roof", TraceRole::zone, 2000);
    other.time_s = first.time_s;
    const std::string alone = pack_block(other, 500, 1000), resting = pack_block(other, 500, 1000, &first);
    CHECK(resting.size() + 4000 < alone.size());
    Trace back;
    back.time_s.assign(first.time_s.begin(), first.time_s.begin() + 500);
    unpack_block(2, resting, 1000, back, [&]() -> const Trace& { return first; });
    CHECK(same_bits(back.time_s, {first.time_s.begin(), first.time_s.begin() + 1500}));
    Trace lost;
    CHECK_THROWS_AS(unpack_block(2, resting, 1000, lost), DamagedBytes);
    const Trace shorter = warm_up("air", TraceRole::booth_air, 900);
    CHECK_THROWS_AS(unpack_block(2, resting, 1000, lost, [&]() -> const Trace& { return shorter; }), DamagedBytes);
}

TEST_CASE("samples at even times cost fewer than eight bytes a sample") {
    // No published value: two doubles a sample are 16 bytes; the times must cost next to nothing. Seen: 5.6 bytes.
    const Trace trace = warm_up("roof", TraceRole::zone, 10000, 20000.0);
    CHECK(pack_block(trace, 0, trace.size()).size() < 8 * trace.size());
}

TEST_CASE("a block with any one byte changed is refused or unchanged, never misread") {
    const Trace trace = warm_up("roof", TraceRole::zone, 300);
    const std::string block = pack_block(trace, 0, trace.size());
    std::size_t refused = 0;
    for (std::size_t i = 0; i < block.size(); ++i) {
        std::string broken = block;
        broken[i] = static_cast<char>(broken[i] ^ (1 << (i % 8)));
        Trace back;
        try {
            unpack_block(kNewestCodec, broken, trace.size(), back);
            CHECK(same_bits(back.temperature_k, trace.temperature_k));
            CHECK(same_bits(back.time_s, trace.time_s));
        } catch (const DamagedBytes&) {
            ++refused;
        }
    }
    CHECK(refused > block.size() * 9 / 10);
}

TEST_CASE("a block cut off anywhere is refused") {
    const std::string block = pack_block(warm_up("roof", TraceRole::zone, 50), 0, 50);
    for (std::size_t size = 0; size < block.size(); ++size) {
        Trace back;
        CHECK_THROWS_AS(unpack_block(kNewestCodec, std::string_view(block).substr(0, size), 50, back), DamagedBytes);
    }
}

TEST_CASE("a block is refused where its codec, count or flags are not what they should be") {
    const std::string block = pack_block(warm_up("roof", TraceRole::zone, 50), 0, 50);
    Trace back;
    CHECK_THROWS_WITH_AS(unpack_block(9, block, 50, back), doctest::Contains("codec 9"), DamagedBytes);
    CHECK_THROWS_AS(unpack_block(kNewestCodec, block, 49, back), DamagedBytes);
    CHECK_THROWS_AS(unpack_block(kNewestCodec, block, 0, back), DamagedBytes);
    CHECK_THROWS_AS(unpack_block(kNewestCodec, block, std::numeric_limits<std::size_t>::max(), back), DamagedBytes);
    std::string unknown_flag(1 + 17, '\0');
    unknown_flag.front() = 1;
    unknown_flag.back() = 7;
    CHECK_THROWS_WITH_AS(unpack_block(1, compress(unknown_flag), 1, back), doctest::Contains("unknown flag"), DamagedBytes);
}

TEST_CASE("a frame that claims to be huge takes no memory") {
    const std::string zeros = compress(std::string(std::size_t{64} << 20U, '\0'));
    CHECK(zeros.size() < 10000);
    CHECK_THROWS_AS(static_cast<void>(decompress(zeros, 100)), DamagedBytes);
}
