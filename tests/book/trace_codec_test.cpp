#include "trace_codec.hpp"

#include <doctest/doctest.h>

#include <bit>
#include <cmath>
#include <limits>
#include <random>

#include "compression.hpp"
#include "shop.hpp"

using namespace bakewright;
using namespace bakewright::book;
using namespace bakewright::book::testing;

namespace {

bool same_bits(const std::vector<double>& a, const std::vector<double>& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                      [](double x, double y) { return std::bit_cast<std::uint64_t>(x) == std::bit_cast<std::uint64_t>(y); });
}

void check_round_trip(const Trace& trace) {
    Trace back;
    unpack_block(kNewestTraceCodec, pack_block(trace, 0, trace.size()), trace.size(), back);
    CHECK(same_bits(back.time_s, trace.time_s));
    CHECK(same_bits(back.temperature_k, trace.temperature_k));
    CHECK(back.quality == trace.quality);
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
    unpack_block(kNewestTraceCodec, pack_block(trace, 40, 10), 10, back);
    CHECK(back.time_s == std::vector<double>(trace.time_s.begin() + 40, trace.time_s.begin() + 50));
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
            unpack_block(kNewestTraceCodec, broken, trace.size(), back);
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
        CHECK_THROWS_AS(unpack_block(kNewestTraceCodec, std::string_view(block).substr(0, size), 50, back), DamagedBytes);
    }
}

TEST_CASE("a block is refused where its codec, count or flags are not what they should be") {
    const std::string block = pack_block(warm_up("roof", TraceRole::zone, 50), 0, 50);
    Trace back;
    CHECK(contains(message_of<DamagedBytes>([&] { unpack_block(9, block, 50, back); }), "codec 9"));
    CHECK_THROWS_AS(unpack_block(kNewestTraceCodec, block, 49, back), DamagedBytes);
    CHECK_THROWS_AS(unpack_block(kNewestTraceCodec, block, 0, back), DamagedBytes);
    CHECK_THROWS_AS(unpack_block(kNewestTraceCodec, block, std::numeric_limits<std::size_t>::max(), back), DamagedBytes);
    std::string unknown_flag(1 + 17, '\0');
    unknown_flag.front() = 1;
    unknown_flag.back() = 7;
    CHECK(contains(message_of<DamagedBytes>([&] { unpack_block(kNewestTraceCodec, compress(unknown_flag), 1, back); }),
                   "unknown flag"));
}

TEST_CASE("a frame that claims to be huge takes no memory") {
    const std::string zeros = compress(std::string(std::size_t{64} << 20U, '\0'));
    CHECK(zeros.size() < 10000);
    CHECK_THROWS_AS(static_cast<void>(decompress(zeros, 100)), DamagedBytes);
}
