// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <functional>
#include <string>
#include <string_view>

#include "bakewright/base/trace.hpp"
#include "bakewright/codec/samples.hpp"

/// How the samples of a trace become bytes. A block carries the number of its codec; a number once released is read for ever.
/// Every double comes back bit for bit, NaN with its payload too. A block is one zstd frame, with its checksum, around what
/// follows; n is its number of samples.
///
/// Codec 1.
///     1 byte     1 where flags follow, 0 where the trace has none (all good)
///     8 n bytes  times: second differences of the 64-bit patterns of the doubles, wrapping; all lowest bytes first, then all
///                second bytes, up to the highest
///     8 n bytes  temperatures: first differences, laid out likewise
///     n bytes    flags, in the order of SampleQuality, where the first byte is 1
///
/// Codec 2. Loggers write few decimals: what comes back bit for bit from a decimal of a unit is stored as a whole number.
///     1 byte     1 where flags follow, plus 2 where a mask of missing temperatures (NaN) does
///     column     times; the form of a column may be 255 alone: the times of the same samples of the bake's first trace
///     column     temperatures
///     n bytes    the mask, 1 where a temperature is NaN
///     n bytes    flags
/// A column is
///     1 byte     form: 0 for bit patterns, else 16 times the unit (WrittenUnit) plus the decimals
///     1 byte     16 times the order of the differences (1 or 2) plus the bytes of each (0 to 8)
///     8 bytes    the first number, then 8 more for the first difference where the order is 2; lowest byte first
///     the other differences, each d as 2 d, or -2 d - 1 below zero (bit patterns: wrapping), in planes as in codec 1
namespace bakewright::codec {

inline constexpr int kNewestCodec = 2;
/// Most samples of one block: 18 hours at one a second; a megabyte unpacked.
inline constexpr std::size_t kBlockSamples = 65536;

/// Which times a block holds.
enum class BlockTimes {
    own,
    first_traces,  ///< none: they are those of the same samples of the bake's first trace
};

/// Packs 1 to kBlockSamples samples with the newest codec.
[[nodiscard]] std::string pack_block(const Samples& samples, BlockTimes times);
/// Packs samples [first, first + count) of a trace with the newest codec; 1 <= count <= kBlockSamples.
/// @param first_trace  of the bake, whose times are not stored again where they are the same; null for that trace itself
[[nodiscard]] std::string pack_block(const Trace& trace, std::size_t first, std::size_t count,
                                     const Trace* first_trace = nullptr);
/// The same with codec 1, for the tests of what older programs stored.
[[nodiscard]] std::string pack_block_1(const Trace& trace, std::size_t first, std::size_t count);

/// The first trace of the bake, asked for only where a block rests on it. May throw.
using FirstTrace = std::function<const Trace&()>;

/// Appends the `count` samples of a block to a trace, whose size is where the block begins. @throws DamagedBytes
void unpack_block(int codec, std::string_view block, std::size_t count, Trace& trace, const FirstTrace& first_trace = {});

}  // namespace bakewright::codec
