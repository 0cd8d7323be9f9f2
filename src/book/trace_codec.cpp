#include "trace_codec.hpp"

#include <bit>
#include <cstdint>
#include <span>
#include <utility>
#include <vector>

#include "bakewright/base/error.hpp"
#include "compression.hpp"

namespace bakewright::book {
namespace {

constexpr std::size_t kWordBytes = 8;

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

void append_planes(std::string& bytes, const std::vector<std::uint64_t>& words) {
    for (std::size_t plane = 0; plane < kWordBytes; ++plane) {
        for (const std::uint64_t word : words) bytes += static_cast<char>(word >> (8 * plane) & 0xffU);
    }
}

std::vector<std::uint64_t> words_of_planes(std::string_view bytes) {
    std::vector<std::uint64_t> words(bytes.size() / kWordBytes, 0);
    for (std::size_t plane = 0; plane < kWordBytes; ++plane) {
        for (std::size_t i = 0; i < words.size(); ++i) {
            const auto byte = static_cast<unsigned char>(bytes[plane * words.size() + i]);
            words[i] |= static_cast<std::uint64_t>(byte) << (8 * plane);
        }
    }
    return words;
}

void append_doubles(std::vector<double>& values, const std::vector<std::uint64_t>& words) {
    for (const std::uint64_t word : words) values.push_back(std::bit_cast<double>(word));
}

void append_flags(Trace& trace, std::string_view flags) {
    for (const char flag : flags) {
        const auto number = static_cast<unsigned char>(flag);
        if (number > static_cast<unsigned char>(SampleQuality::clipped)) throw DamagedBytes("a sample has an unknown flag");
        trace.quality.push_back(static_cast<SampleQuality>(number));
    }
}

std::string unpack_frame(std::string_view block, std::size_t count) {
    const std::size_t plain = 1 + 2 * kWordBytes * count;
    const std::size_t size = content_size(block, plain + count);
    if (size != plain && size != plain + count) throw DamagedBytes("it does not hold the samples it should");
    std::string bytes = decompress(block, size);
    if (static_cast<unsigned char>(bytes.front()) != (size == plain ? 0 : 1)) throw DamagedBytes("its flags are not as stated");
    return bytes;
}

void unpack_codec_1(std::string_view block, std::size_t count, Trace& trace) {
    const std::string bytes = unpack_frame(block, count);
    const std::string_view view = bytes;
    auto times = words_of_planes(view.substr(1, kWordBytes * count));
    sum_differences(times);
    sum_differences(times);
    auto temperatures = words_of_planes(view.substr(1 + kWordBytes * count, kWordBytes * count));
    sum_differences(temperatures);
    append_doubles(trace.time_s, times);
    append_doubles(trace.temperature_k, temperatures);
    append_flags(trace, view.substr(1 + 2 * kWordBytes * count));
}

}  // namespace

std::string pack_block(const Trace& trace, std::size_t first, std::size_t count) {
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
    append_planes(bytes, times);
    append_planes(bytes, temperatures);
    if (!trace.quality.empty()) {
        for (const SampleQuality flag : std::span(trace.quality).subspan(first, count)) bytes += static_cast<char>(flag);
    }
    return compress(bytes);
}

void unpack_block(int codec, std::string_view block, std::size_t count, Trace& trace) {
    if (codec != 1) throw DamagedBytes("it is packed by codec " + std::to_string(codec) + ", this program knows codec 1");
    if (count == 0 || count > kBlockSamples) throw DamagedBytes("its number of samples is out of range");
    unpack_codec_1(block, count, trace);
}

}  // namespace bakewright::book
