// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "bakewright/record/source.hpp"
#include "line_decoder.hpp"

namespace bakewright::record {

/// Brings what a decoder makes of bytes; what it refuses is told, at most once a minute.
class DecodedLines {
public:
    DecodedLines(const probe::SourceRecord& record, probe::ReadOptions reading, probe::LineTime time)
        : decoder_(record, std::move(reading), time) {}

    enum class Rows {
        none,          ///< what was there before: its form is wanted and not its rows
        now_or_never,  ///< an instrument goes on speaking
        waiting        ///< they stand in a file or a pipe meanwhile
    };
    void take(std::string_view bytes, const SourceLink& link, Rows rows);
    [[nodiscard]] LineDecoder& decoder() noexcept { return decoder_; }

private:
    LineDecoder decoder_;
    std::size_t refused_ = 0;
    double told_at_s_ = -1e9;
};

[[nodiscard]] std::unique_ptr<Source> make_lines_source(const probe::SourceRecord& record, probe::ReadOptions reading);

}  // namespace bakewright::record
