#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace bakewright::codec {

inline constexpr std::size_t kWordBytes = 8;  ///< of a number as it is stored

/// Whole numbers as bytes, the lowest byte of all of them first, then the second of all, and so on for `width` bytes: bytes of
/// one kind stand together, which packs well.
inline void append_planes(std::string& bytes, std::span<const std::uint64_t> words, std::size_t width) {
    const std::size_t begin = bytes.size();
    bytes.resize(begin + width * words.size());
    char* out = bytes.data() + begin;
    for (std::size_t plane = 0; plane < width; ++plane, out += words.size())
        for (std::size_t i = 0; i < words.size(); ++i) out[i] = static_cast<char>(words[i] >> (8 * plane) & 0xffU);
}

/// @param bytes  width times the number of words
[[nodiscard]] inline std::vector<std::uint64_t> words_of_planes(std::string_view bytes, std::size_t width) {
    std::vector<std::uint64_t> words(bytes.size() / width, 0);
    const char* at = bytes.data();
    for (std::size_t plane = 0; plane < width; ++plane)
        for (std::uint64_t& word : words) word |= static_cast<std::uint64_t>(static_cast<unsigned char>(*at++)) << (8 * plane);
    return words;
}

}  // namespace bakewright::codec
