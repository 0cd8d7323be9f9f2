// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/probe/read_log.hpp"
#include "bakewright/probe/source_record.hpp"
#include "bakewright/record/inbox.hpp"

namespace bakewright::record {

/// Makes rows of lines as they come. What a line means is asked of the reader of log files: the form is found from the first
/// lines; each later one is read below the same headings and behind the line before it, whose time is known.
class LineDecoder {
public:
    /// @param time  lines without a time hold numbers alone, in the order of the channels or of their columns
    LineDecoder(const probe::SourceRecord& record, probe::ReadOptions reading, probe::LineTime time);

    struct Decoded {
        std::vector<SourceRow> rows{};
        std::vector<probe::SourceChannel> announced{};  ///< once, when the form is found
        std::size_t refused = 0;                        ///< lines that were no row
        std::string why{};                              ///< of the last of them, or why the form is not found yet
        std::string form{};                             ///< when it is found: what was understood, for people
    };

    /// @param bytes  in any pieces; a line counts when its end has come
    [[nodiscard]] Decoded take(std::string_view bytes, double arrived_s);
    /// The connection broke: half a line is no line, and the rest of one that comes next is none either.
    void break_off();
    /// The file begins anew, with headings of its own.
    void begin_anew();
    [[nodiscard]] bool knows_form() const noexcept { return is_known_; }

private:
    struct Line {
        std::string text;
        double arrived_s;
    };
    void find_form(std::vector<Line> lines, Decoded& decoded);
    void decode(const std::vector<Line>& lines, Decoded& decoded);
    bool decode_together(const std::vector<Line>& lines, Decoded& decoded);
    bool decode_earlier(const Line& line, Decoded& decoded);
    void decode_numbers(const Line& line, Decoded& decoded);
    void learn(const probe::ProbeLog& log, Decoded& decoded);
    void put_rows(const probe::ProbeLog& log, double told_zero_s, double after_s, const std::vector<Line>& lines,
                  Decoded& decoded);
    [[nodiscard]] std::vector<Reading> readings_at(const probe::ProbeLog& log, double time_s) const;
    [[nodiscard]] probe::ProbeLog read(const std::string& text, const probe::ReadOptions& options) const;
    void refuse(const Line& line, std::string why, Decoded& decoded) const;

    const probe::SourceRecord record_;
    const probe::ReadOptions asked_;
    const probe::LineTime time_;
    std::string partial_;
    bool skips_to_end_ = false, is_known_ = false, is_announced_ = false, is_long_ = false, is_elapsed_ = false;
    std::vector<Line> head_;
    probe::ReadOptions found_;
    std::string heading_;  ///< what stands before the rows
    std::string anchor_;   ///< the last row that was read
    double anchor_told_s_ = 0.0;
    std::size_t delimiters_ = 0;                ///< in each row
    std::map<std::string, std::size_t> index_;  ///< of a channel by the name of its trace
    std::vector<probe::SourceChannel> channels_;
    char delimiter_ = 0;  ///< of lines without a time
};

}  // namespace bakewright::record
