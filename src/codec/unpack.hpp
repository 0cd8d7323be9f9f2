#pragma once

#include <cstddef>
#include <string_view>

#include "bakewright/codec/block.hpp"

namespace bakewright::codec {

/// unpack_block() of each codec, and what they share. @throws DamagedBytes
void unpack_codec_1(std::string_view block, std::size_t count, Trace& trace);
void unpack_codec_2(std::string_view block, std::size_t count, Trace& trace, const FirstTrace& first_trace);
/// @throws DamagedBytes for a flag that is none
void append_flags(Trace& trace, std::string_view flags);

}  // namespace bakewright::codec
