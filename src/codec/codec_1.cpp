#include <bit>
#include <cstdint>
#include <span>
#include <utility>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/codec/block.hpp"
#include "bakewright/codec/compression.hpp"
#include "byte_planes.hpp"
#include "unpack.hpp"

namespace bakewright::codec {
namespace {


std::vector<std::uint64_t> bits_of(std::span<const double> values) {
    std::vector<std::uint64_t> words;
    words.reserve(values.size());
    for (const double value : values) words.push_back(std::bit_cast<std::uint64_t>(value));
    return words;
}

void take_differences(std::vector<std::uint64_t>& words) {
    std::uint64_t before = 0;
    for (std::uint64_t& word : words) word -= std::exchange(before, word);
}

void sum_differences(std::vector<std::uint64_t>& words) {
    std::uint64_t sum = 0;
    for (std::uint64_t& word : words) word = sum += word;
}

void append_doubles(std::vector<double>& values, const std::vector<std::uint64_t>& words) {
    for (const std::uint64_t word : words) values.push_back(std::bit_cast<double>(word));
}

std::string unpack_frame(std::string_view block, std::size_t count) {
    const std::size_t plain = 1 + 2 * kWordBytes * count;
    const std::size_t size = content_size(block, plain + count);
    if (size != plain && size != plain + count) throw DamagedBytes("it does not hold the samples it should");
    std::string bytes = decompress(block, size);
    if (static_cast<unsigned char>(bytes.front()) != (size == plain ? 0 : 1)) throw DamagedBytes("its flags are not as stated");
    return bytes;
}

}  // namespace

void unpack_codec_1(std::string_view block, std::size_t count, Trace& trace) {
    const std::string bytes = unpack_frame(block, count);
    const std::string_view view = bytes;
    auto times = words_of_planes(view.substr(1, kWordBytes * count), kWordBytes);
    sum_differences(times);
    sum_differences(times);
    auto temperatures = words_of_planes(view.substr(1 + kWordBytes * count, kWordBytes * count), kWordBytes);
    sum_differences(temperatures);
    append_doubles(trace.time_s, times);
    append_doubles(trace.temperature_k, temperatures);
    append_flags(trace, view.substr(1 + 2 * kWordBytes * count));
}

std::string pack_block_1(const Trace& trace, std::size_t first, std::size_t count) {
    ensure(count >= 1 && count <= kBlockSamples && first + count <= trace.size(),
           "a block holds 1 to kBlockSamples samples of its trace");
    auto times = bits_of(std::span(trace.time_s).subspan(first, count));
    take_differences(times);
    take_differences(times);
    auto temperatures = bits_of(std::span(trace.temperature_k).subspan(first, count));
    take_differences(temperatures);
    std::string bytes;
    bytes.reserve(1 + (2 * kWordBytes + 1) * count);
    bytes += static_cast<char>(trace.quality.empty() ? 0 : 1);
    append_planes(bytes, times, kWordBytes);
    append_planes(bytes, temperatures, kWordBytes);
    if (!trace.quality.empty()) {
        for (const SampleQuality flag : std::span(trace.quality).subspan(first, count)) bytes += static_cast<char>(flag);
    }
    return compress(bytes);
}

}  // namespace bakewright::codec
