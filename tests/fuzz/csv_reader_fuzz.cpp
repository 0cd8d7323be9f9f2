// SPDX-License-Identifier: Apache-2.0
// Any bytes are a log that is read, or are refused with an InputError; nothing else may happen. Where they can be read page by
// page too, both readings are the same. The first byte chooses options.
#include <sys/mman.h>
#include <unistd.h>

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <string_view>

#include "bakewright/base/error.hpp"
#include "bakewright/probe/map_channels.hpp"
#include "bakewright/probe/paged_log.hpp"
#include "bakewright/probe/read_log.hpp"
#include "support/same_log.hpp"

namespace {

bakewright::probe::ReadOptions options_of(std::uint8_t choice) {
    bakewright::probe::ReadOptions options;
    if ((choice & 1U) != 0) options.thermocouple = bakewright::probe::ThermocoupleType::k;
    if ((choice & 2U) != 0) options.reference_junction_k = 298.15;
    if ((choice & 4U) != 0) options.name_column = "2", options.value_column = "3";
    if ((choice & 8U) != 0) options.correct_daylight_saving = false;
    if ((choice & 16U) != 0) options.quality.range_most_k = 330.0;
    if ((choice & 32U) != 0) options.time_form = bakewright::probe::TimeForm::date_day_first;
    if ((choice & 64U) != 0) options.to_line = 10;
    return options;
}

/// Bytes as a file in memory.
class MemoryFile {
public:
    explicit MemoryFile(std::string_view bytes) : descriptor_(::memfd_create("fuzzed", MFD_CLOEXEC)) {
        if (::write(descriptor_, bytes.data(), bytes.size()) != static_cast<ssize_t>(bytes.size())) std::abort();
    }
    ~MemoryFile() { ::close(descriptor_); }
    MemoryFile(const MemoryFile&) = delete;
    MemoryFile& operator=(const MemoryFile&) = delete;
    [[nodiscard]] std::string path() const { return "/proc/self/fd/" + std::to_string(descriptor_); }

private:
    int descriptor_;
};

/// Nothing where it cannot be read so.
std::unique_ptr<bakewright::probe::PagedLog> read_paged(std::string_view bytes, const bakewright::probe::ReadOptions& options) {
    constexpr bakewright::probe::PagedSizes kSmall{
        .head_bytes = std::size_t{1} << 24U, .piece_bytes = 200, .page_rows = 3, .threads = 1};
    const MemoryFile file(bytes);
    try {
        return bakewright::probe::PagedLog::read(bakewright::FileBytes(file.path()), "fuzzed.csv", options, {}, kSmall);
    } catch (const bakewright::probe::NeedsWholeLog&) {
        return nullptr;
    }
}

void require_same(const bakewright::probe::PagedLog& paged, const bakewright::probe::ProbeLog& whole) {
    const std::string difference = same_log::difference(paged, whole);
    if (difference.empty()) return;
    std::fprintf(stderr, "read page by page it is another log: %s\n", difference.c_str());
    std::abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    const std::string_view bytes(reinterpret_cast<const char*>(data) + 1, size - 1);
    const auto paged = read_paged(bytes, options_of(data[0]));
    try {
        bakewright::probe::ProbeLog log = bakewright::probe::read_log(bytes, "fuzzed.csv", options_of(data[0]));
        if (paged) require_same(*paged, log);
        log.traces.ensure_well_formed();
        for (const auto& fault : log.reading.faults) (void)fault.text();
        (void)bakewright::probe::map_channels(log.traces, {});
        log.traces.ensure_well_formed();
    } catch (const bakewright::InputError& error) {
        if (!paged) return 0;
        std::fprintf(stderr, "read page by page it is a log, whole it is none: %s\n", error.what());
        std::abort();
    }
    return 0;
}
