// SPDX-License-Identifier: Apache-2.0
#include "bakewright/codec/compression.hpp"

#include <zstd.h>

#include <memory>

#include "bakewright/base/error.hpp"

namespace bakewright::codec {
namespace {

int level_of(Effort effort) { return effort == Effort::quick ? 1 : ZSTD_CLEVEL_DEFAULT; }

struct FreeContext {
    void operator()(ZSTD_CCtx* context) const noexcept { ZSTD_freeCCtx(context); }
};

/// What compressing takes beside its input, kept from one frame to the next.
class Compressor {
public:
    Compressor() : context_(ZSTD_createCCtx()) { ensure(context_ != nullptr, "zstd gives a context"); }

    std::string compress(std::string_view bytes, Effort effort) {
        ZSTD_CCtx_setParameter(context_.get(), ZSTD_c_compressionLevel, level_of(effort));
        ZSTD_CCtx_setParameter(context_.get(), ZSTD_c_checksumFlag, 1);
        const std::size_t bound = ZSTD_compressBound(bytes.size());
        if (room_size_ < bound) {
            room_ = std::make_unique_for_overwrite<char[]>(bound);
            room_size_ = bound;
        }
        const std::size_t size = ZSTD_compress2(context_.get(), room_.get(), room_size_, bytes.data(), bytes.size());
        ensure(ZSTD_isError(size) == 0, "zstd packs any bytes into its own bound");
        return {room_.get(), size};
    }

private:
    std::unique_ptr<ZSTD_CCtx, FreeContext> context_;
    std::unique_ptr<char[]> room_;
    std::size_t room_size_ = 0;
};

}  // namespace

std::string compress(std::string_view bytes, Effort effort) {
    thread_local Compressor compressor;
    return compressor.compress(bytes, effort);
}

std::size_t content_size(std::string_view frame, std::size_t limit) {
    const auto size = ZSTD_getFrameContentSize(frame.data(), frame.size());
    if (size == ZSTD_CONTENTSIZE_ERROR || size == ZSTD_CONTENTSIZE_UNKNOWN) throw DamagedBytes("not a zstd frame of known size");
    if (size > limit) throw DamagedBytes("its stated size is larger than any that is stored");
    return static_cast<std::size_t>(size);
}

std::string decompress(std::string_view frame, std::size_t expected_size) {
    if (content_size(frame, expected_size) != expected_size) throw DamagedBytes("its size is not the size that was stored");
    std::string bytes(expected_size, '\0');
    const std::size_t size = ZSTD_decompress(bytes.data(), bytes.size(), frame.data(), frame.size());
    if (ZSTD_isError(size) != 0) throw DamagedBytes(std::string("zstd: ") + ZSTD_getErrorName(size));
    if (size != expected_size) throw DamagedBytes("its size is not the size that was stored");
    return bytes;
}

}  // namespace bakewright::codec
