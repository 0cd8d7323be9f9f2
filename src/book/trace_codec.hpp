#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "bakewright/base/trace.hpp"

/// How the samples of a trace become bytes. A block carries the number of its codec; a number once released is read for ever.
///
/// Codec 1. A block is one zstd frame (with its checksum) around, for n samples:
///     1 byte     1 where flags follow, 0 where the trace has none (all good)
///     8 n bytes  times: second differences of the 64-bit patterns of the doubles, wrapping; all lowest bytes first, then all
///                second bytes, up to the highest
///     8 n bytes  temperatures: first differences, laid out likewise
///     n bytes    flags, in the order of SampleQuality, where the first byte is 1
/// Differences of bit patterns are whole numbers, so that every double comes back bit for bit, NaN with its payload too.
namespace bakewright::book {

inline constexpr int kNewestTraceCodec = 1;
/// Most samples of one block: 18 hours at one a second; a megabyte unpacked.
inline constexpr std::size_t kBlockSamples = 65536;

/// Packs samples [first, first + count) of a trace with the newest codec; 1 <= count <= kBlockSamples.
[[nodiscard]] std::string pack_block(const Trace& trace, std::size_t first, std::size_t count);

/// Appends the `count` samples of a block to a trace. @throws DamagedBytes
void unpack_block(int codec, std::string_view block, std::size_t count, Trace& trace);

}  // namespace bakewright::book
