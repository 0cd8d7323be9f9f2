// SPDX-License-Identifier: Apache-2.0
// Any bytes are a block of samples that is unpacked, or are refused as damaged. What was unpacked packs again to a block that
// gives the same samples bit for bit. First byte: which codec, whether the block's samples rest on another trace's times, whether
// the bytes are a whole frame or the content of one (whose checksum random bytes would never meet). Then two bytes: how many
// samples.
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/codec/block.hpp"
#include "bakewright/codec/compression.hpp"

namespace {

using bakewright::Trace;

bool same_bits(const std::vector<double>& one, const std::vector<double>& other) {
    return one.size() == other.size() && (one.empty() || std::memcmp(one.data(), other.data(), one.size() * sizeof(double)) == 0);
}

/// No flags at all say the same as flags that are all good.
bool same_flags(const Trace& one, const Trace& other) {
    for (std::size_t i = 0; i < one.size(); ++i) {
        const auto of = [i](const Trace& trace) {
            return trace.quality.empty() ? bakewright::SampleQuality::good : trace.quality[i];
        };
        if (of(one) != of(other)) return false;
    }
    return true;
}

Trace a_second_apart(std::size_t count) {
    Trace trace;
    for (std::size_t i = 0; i < count; ++i) {
        trace.time_s.push_back(static_cast<double>(i));
        trace.temperature_k.push_back(293.15);
    }
    return trace;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size < 3) return 0;
    const int codec = 1 + (data[0] & 1);
    const std::size_t count = std::size_t{data[1]} + 256 * (data[2] % 16);
    const std::string_view bytes(reinterpret_cast<const char*>(data) + 3, size - 3);
    const Trace first = a_second_apart(count);
    const bakewright::codec::FirstTrace rests_on =
        (data[0] & 2) != 0 ? bakewright::codec::FirstTrace([&]() -> const Trace& { return first; }) : nullptr;
    try {
        const std::string block = (data[0] & 4) != 0 ? std::string(bytes) : bakewright::codec::compress(bytes);
        Trace trace;
        bakewright::codec::unpack_block(codec, block, count, trace, rests_on);
        bakewright::ensure(trace.size() == count, "a block has the samples that it says");
        if (count == 0) return 0;
        Trace again;
        bakewright::codec::unpack_block(bakewright::codec::kNewestCodec, bakewright::codec::pack_block(trace, 0, count), count,
                                        again);
        bakewright::ensure(same_bits(trace.time_s, again.time_s) && same_bits(trace.temperature_k, again.temperature_k) &&
                               same_flags(trace, again),
                           "a block packs again to the same samples");
    } catch (const bakewright::codec::DamagedBytes&) {
    }
    return 0;
}
