// SPDX-License-Identifier: Apache-2.0
#include "bakewright/codec/block.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/codec/compression.hpp"
#include "decimal_form.hpp"

namespace bakewright::codec {
namespace {

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

/// @throws DamagedBytes for a flag that is none
void append_flags(Trace& trace, std::string_view flags) {
    for (const char flag : flags) {
        const auto number = static_cast<unsigned char>(flag);
        if (number > static_cast<unsigned char>(SampleQuality::clipped)) throw DamagedBytes("a sample has an unknown flag");
        trace.quality.push_back(static_cast<SampleQuality>(number));
    }
}

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

}  // namespace

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

namespace {

constexpr unsigned kFlags = 1, kMask = 2;
constexpr unsigned char kBitPatterns = 0, kFirstTracesTimes = 255;
constexpr std::array kTimeUnits = {WrittenUnit::second, WrittenUnit::minute, WrittenUnit::hour};
constexpr std::span<const WrittenUnit> kNoUnits;
constexpr std::array kTemperatureUnits = {WrittenUnit::celsius, WrittenUnit::kelvin, WrittenUnit::fahrenheit};
/// More than this no unpacked block has: flags, two columns of 8 bytes a sample and their heads, a mask, flags.
constexpr std::size_t largest_size(std::size_t count) { return 1 + 2 * (2 + 2 * kWordBytes + kWordBytes * count) + 2 * count; }

std::uint64_t folded(std::uint64_t difference) { return (difference << 1U) ^ (0 - (difference >> 63U)); }
std::uint64_t unfolded(std::uint64_t word) { return (word >> 1U) ^ (0 - (word & 1U)); }

std::size_t bytes_of(std::uint64_t largest) { return (static_cast<std::size_t>(std::bit_width(largest)) + 7) / 8; }

void append_word(std::string& bytes, std::uint64_t word) { append_planes(bytes, std::span(&word, 1), kWordBytes); }

/// Whether differences of differences are shorter, as a few stretches of the words tell.
bool is_second_shorter(std::span<const std::uint64_t> words) {
    constexpr std::size_t kStretches = 16, kStretch = 128;
    const std::size_t every = std::max(words.size() / kStretches, kStretch);
    std::uint64_t first_bits = 0, second_bits = 0;
    for (std::size_t from = 2; from < words.size(); from += every)
        for (std::size_t i = from; i < std::min(from + kStretch, words.size()); ++i) {
            const std::uint64_t step = words[i] - words[i - 1], before = words[i - 1] - words[i - 2];
            first_bits += static_cast<std::uint64_t>(std::bit_width(folded(step)));
            second_bits += static_cast<std::uint64_t>(std::bit_width(folded(step - before)));
        }
    return second_bits < first_bits;
}

/// Differences, behind the seeds words[0] and, where the order is 2, words[1] - words[0].
void append_column(std::string& bytes, unsigned char form, std::span<const std::uint64_t> words) {
    thread_local std::vector<std::uint64_t> differences;  // kept for the next column
    const std::size_t order = is_second_shorter(words) ? 2 : 1;
    differences.resize(words.size() - order);
    std::uint64_t all = 0;
    for (std::size_t i = order; i < words.size(); ++i) {
        const std::uint64_t step = words[i] - words[i - 1];
        const std::uint64_t word = folded(order == 2 ? step - (words[i - 1] - words[i - 2]) : step);
        differences[i - order] = word;
        all |= word;
    }
    const std::size_t width = bytes_of(all);
    bytes += static_cast<char>(form);
    bytes += static_cast<char>(16 * order + width);
    append_word(bytes, words[0]);
    if (order == 2) append_word(bytes, words[1] - words[0]);
    append_planes(bytes, differences, width);
}

std::vector<std::uint64_t> patterns_of(std::span<const double> values) {
    std::vector<std::uint64_t> words;
    words.reserve(values.size());
    for (const double value : values) words.push_back(std::bit_cast<std::uint64_t>(value));
    return words;
}

unsigned char form_byte(const DecimalForm& form) {
    return static_cast<unsigned char>(16 * static_cast<unsigned>(form.unit) + static_cast<unsigned>(form.decimals));
}

/// True where every NaN is the plain one, so that a mask can stand for it.
bool are_plain(std::span<const double> values) {
    constexpr auto plain = std::bit_cast<std::uint64_t>(std::numeric_limits<double>::quiet_NaN());
    return std::all_of(values.begin(), values.end(),
                       [](double value) { return !std::isnan(value) || std::bit_cast<std::uint64_t>(value) == plain; });
}

/// Times have no mask, so that none of them may be missing where they are stored as decimals.
bool are_numbers(std::span<const double> values) {
    return std::none_of(values.begin(), values.end(), [](double value) { return std::isnan(value); });
}

void append_values(std::string& bytes, std::span<const double> values, std::span<const WrittenUnit> units) {
    thread_local std::vector<std::uint64_t> whole;  // kept for the next column
    if (const auto form = decimal_form_of(values, units, whole))
        append_column(bytes, form_byte(*form), whole);
    else
        append_column(bytes, kBitPatterns, patterns_of(values));
}

/// Takes an unpacked block apart from its front.
class Reader {
public:
    explicit Reader(std::string_view bytes) : bytes_(bytes) {}

    std::string_view take(std::size_t size) {
        if (size > bytes_.size()) throw DamagedBytes("it does not hold the samples it should");
        const std::string_view part = bytes_.substr(0, size);
        bytes_.remove_prefix(size);
        return part;
    }
    unsigned char byte() { return static_cast<unsigned char>(take(1).front()); }
    std::uint64_t word() { return words_of_planes(take(kWordBytes), kWordBytes).front(); }
    [[nodiscard]] bool empty() const noexcept { return bytes_.empty(); }

private:
    std::string_view bytes_;
};

std::vector<std::uint64_t> read_words(Reader& reader, std::size_t count) {
    const unsigned char head = reader.byte();
    const std::size_t order = head >> 4U, width = head & 15U;
    if (order < 1 || order > 2 || width > kWordBytes || order > count) throw DamagedBytes("a column of it has an unknown layout");
    std::vector<std::uint64_t> words{reader.word()};
    words.reserve(count);
    std::uint64_t step = 0;
    if (order == 2) words.push_back(words.front() + (step = reader.word()));
    const std::size_t left = count - order;
    const std::vector<std::uint64_t> differences =
        width == 0 ? std::vector<std::uint64_t>(left, 0) : words_of_planes(reader.take(width * left), width);
    for (const std::uint64_t difference : differences) {
        step = order == 2 ? step + unfolded(difference) : unfolded(difference);
        words.push_back(words.back() + step);
    }
    return words;
}

DecimalForm form_of(unsigned char byte, std::span<const WrittenUnit> units) {
    const DecimalForm form{static_cast<WrittenUnit>(byte >> 4U), byte & 15};
    if (std::find(units.begin(), units.end(), form.unit) == units.end() || form.decimals > kMostDecimals)
        throw DamagedBytes("a column of it has an unknown form");
    return form;
}

void append_values_of(Reader& reader, unsigned char form, std::size_t count, std::span<const WrittenUnit> units,
                      std::vector<double>& values) {
    const bool is_decimal = form != kBitPatterns;
    const DecimalForm decimal = is_decimal ? form_of(form, units) : DecimalForm{};
    for (const std::uint64_t word : read_words(reader, count))
        values.push_back(is_decimal ? decimal.value(static_cast<std::int64_t>(word)) : std::bit_cast<double>(word));
}

void append_times(Reader& reader, std::size_t count, Trace& trace, const FirstTrace& first_trace) {
    const unsigned char form = reader.byte();
    if (form != kFirstTracesTimes) return append_values_of(reader, form, count, kTimeUnits, trace.time_s);
    if (!first_trace) throw DamagedBytes("its times are those of a trace that is not there");
    const Trace& first = first_trace();
    const std::size_t begin = trace.time_s.size();
    if (first.size() < begin + count) throw DamagedBytes("its times are those of a trace that is shorter");
    trace.time_s.insert(trace.time_s.end(), first.time_s.begin() + static_cast<std::ptrdiff_t>(begin),
                        first.time_s.begin() + static_cast<std::ptrdiff_t>(begin + count));
}

void unpack_codec_2(std::string_view block, std::size_t count, Trace& trace, const FirstTrace& first_trace) {
    const std::string bytes = decompress(block, content_size(block, largest_size(count)));
    Reader reader(bytes);
    const unsigned contents = reader.byte();
    if (contents > (kFlags | kMask)) throw DamagedBytes("its contents are not as stated");
    append_times(reader, count, trace, first_trace);
    const std::size_t begin = trace.temperature_k.size();
    append_values_of(reader, reader.byte(), count, kTemperatureUnits, trace.temperature_k);
    if ((contents & kMask) != 0) {
        const std::string_view mask = reader.take(count);
        for (std::size_t i = 0; i < count; ++i)
            if (mask[i] != 0) trace.temperature_k[begin + i] = std::numeric_limits<double>::quiet_NaN();
    }
    if ((contents & kFlags) != 0) append_flags(trace, reader.take(count));
    if (!reader.empty()) throw DamagedBytes("it holds more than the samples it should");
}

}  // namespace

std::string pack_block(const Samples& samples, BlockTimes times) {
    ensure(samples.size() >= 1 && samples.size() <= kBlockSamples, "a block holds 1 to kBlockSamples samples");
    const std::span<const double> temperatures = samples.temperature_k;
    const bool plain = are_plain(temperatures), has_mask = plain && !are_numbers(temperatures);
    std::string bytes(1, static_cast<char>((samples.quality.empty() ? 0U : kFlags) | (has_mask ? kMask : 0U)));
    if (times == BlockTimes::first_traces)
        bytes += static_cast<char>(kFirstTracesTimes);
    else
        append_values(bytes, samples.time_s, are_numbers(samples.time_s) ? std::span<const WrittenUnit>(kTimeUnits) : kNoUnits);
    append_values(bytes, temperatures, plain ? std::span<const WrittenUnit>(kTemperatureUnits) : kNoUnits);
    if (has_mask)
        for (const double value : temperatures) bytes += static_cast<char>(std::isnan(value) ? 1 : 0);
    for (const SampleQuality flag : samples.quality) bytes += static_cast<char>(flag);
    return compress(bytes);
}

std::string pack_block(const Trace& trace, std::size_t first, std::size_t count, const Trace* first_trace) {
    ensure(first + count <= trace.size(), "a block is of samples that its trace has");
    const Samples samples = samples_of(trace, first, count);
    const bool has_same_times = first_trace != nullptr && first_trace->size() >= first + count &&
                                std::equal(samples.time_s.begin(), samples.time_s.end(),
                                           first_trace->time_s.begin() + static_cast<std::ptrdiff_t>(first));
    return pack_block(samples, has_same_times ? BlockTimes::first_traces : BlockTimes::own);
}

void unpack_block(int codec, std::string_view block, std::size_t count, Trace& trace, const FirstTrace& first_trace) {
    if (codec < 1 || codec > kNewestCodec)
        throw DamagedBytes("it is packed by codec " + std::to_string(codec) + ", this program knows codecs 1 to " +
                           std::to_string(kNewestCodec));
    if (count == 0 || count > kBlockSamples) throw DamagedBytes("its number of samples is out of range");
    if (codec == 1)
        unpack_codec_1(block, count, trace);
    else
        unpack_codec_2(block, count, trace, first_trace);
}

}  // namespace bakewright::codec
