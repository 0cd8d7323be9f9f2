// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/base/files.hpp"
#include "bakewright/base/work.hpp"
#include "bakewright/codec/samples.hpp"
#include "bakewright/probe/read_log.hpp"

namespace bakewright::probe {

/// What a log is cut into while it is read; for tests.
struct PagedSizes {
    std::size_t head_bytes = std::size_t{4} << 20U;   ///< of the file, from which its form is found
    std::size_t piece_bytes = std::size_t{1} << 18U;  ///< of the file, read at a time
    std::size_t page_rows = 65536;                    ///< most rows of the samples held at a time
    unsigned threads = 0;                             ///< 0: as many as the machine has cores, at most 8
};

/// Asks for read_log: the log is one that cannot be read page by page.
struct NeedsWholeLog {
    std::string why;  ///< "line 12: the time does not go on"
};

/// A log of any length, read in memory that does not grow with it; the samples lie packed in a temporary file. Reading and
/// traces are the same as read_log's, bit for bit.
/// Read so are wide logs in UTF-8 with dates or elapsed times, rows in the order of time, a unit for each column and no volts to
/// be converted; others need read_log.
class PagedLog final : public codec::PartwiseTraces {
public:
    /// @param progress  of the first pass, which takes most of the time; where it returns false the reading ends with a FileError
    /// @throws NeedsWholeLog; FileError where a disk refuses. What is wrong in the file is left to read_log to say
    [[nodiscard]] static std::unique_ptr<PagedLog> read(const FileBytes& file, const std::string& file_name,
                                                        const ReadOptions& options = {}, const Progress& progress = {},
                                                        PagedSizes sizes = {});
    ~PagedLog() override;

    [[nodiscard]] const LogReading& reading() const noexcept { return reading_; }
    [[nodiscard]] const TraceSet& outline() const override { return outline_; }
    [[nodiscard]] std::size_t size() const override;
    [[nodiscard]] Trace part(std::size_t trace, std::size_t first, std::size_t count) const override;
    [[nodiscard]] std::optional<codec::PackedPart> packed_part(std::size_t trace, std::size_t first,
                                                               std::size_t count) const override;

private:
    struct Samples;

    PagedLog();
    void read_all(const FileBytes& file, const std::string& file_name, const ReadOptions& options, const Progress& progress,
                  const PagedSizes& sizes);
    LogReading reading_;
    TraceSet outline_;
    std::unique_ptr<Samples> samples_;
};

}  // namespace bakewright::probe
