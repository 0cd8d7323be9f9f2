#include "compression.hpp"

#include <zstd.h>

#include <memory>

#include "bakewright/base/error.hpp"

namespace bakewright::book {
namespace {

int level_of(Effort effort) { return effort == Effort::quick ? 1 : ZSTD_CLEVEL_DEFAULT; }

struct FreeContext {
    void operator()(ZSTD_CCtx* context) const noexcept { ZSTD_freeCCtx(context); }
};

}  // namespace

std::string compress(std::string_view bytes, Effort effort) {
    const std::unique_ptr<ZSTD_CCtx, FreeContext> context(ZSTD_createCCtx());
    ensure(context != nullptr, "zstd gives a context");
    ZSTD_CCtx_setParameter(context.get(), ZSTD_c_compressionLevel, level_of(effort));
    ZSTD_CCtx_setParameter(context.get(), ZSTD_c_checksumFlag, 1);
    std::string frame(ZSTD_compressBound(bytes.size()), '\0');
    const std::size_t size = ZSTD_compress2(context.get(), frame.data(), frame.size(), bytes.data(), bytes.size());
    ensure(ZSTD_isError(size) == 0, "zstd packs any bytes into its own bound");
    frame.resize(size);
    return frame;
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

}  // namespace bakewright::book
