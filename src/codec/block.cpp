#include "bakewright/codec/block.hpp"

#include "bakewright/codec/compression.hpp"
#include "unpack.hpp"

namespace bakewright::codec {

void append_flags(Trace& trace, std::string_view flags) {
    for (const char flag : flags) {
        const auto number = static_cast<unsigned char>(flag);
        if (number > static_cast<unsigned char>(SampleQuality::clipped)) throw DamagedBytes("a sample has an unknown flag");
        trace.quality.push_back(static_cast<SampleQuality>(number));
    }
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
