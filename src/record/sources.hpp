// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

#include "bakewright/record/source.hpp"
#include "line_decoder.hpp"

/// The ways in which readings come, each a source that make_source() chooses by its record.
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

/// Lines on standard input, in a file that grows, or in a named pipe.
[[nodiscard]] std::unique_ptr<Source> make_lines_source(const probe::SourceRecord& record, probe::ReadOptions reading);

/// Lines that an instrument speaks on a serial port.
[[nodiscard]] std::unique_ptr<Source> make_serial_source(const probe::SourceRecord& record, probe::ReadOptions reading);

/// Registers of a Modbus device, by TCP or a serial line, polled at the record's interval.
[[nodiscard]] std::unique_ptr<Source> make_modbus_source(const probe::SourceRecord& record);

/// Messages of a broker under the topics of the record's channels.
[[nodiscard]] std::unique_ptr<Source> make_mqtt_source(const probe::SourceRecord& record);

/// The row that a message makes of the channels of its topic; one that is not what a channel says of it is missing, and told in
/// `why`.
[[nodiscard]] SourceRow row_of_message(const probe::SourceRecord& record, std::string_view topic, std::string_view message,
                                       double arrived_s, std::string& why);

/// A stored log as if it came now, at the speed of the recording's clock. It waits for room, and so loses nothing.
[[nodiscard]] std::unique_ptr<Source> make_replay_source(const probe::SourceRecord& record, TraceSet log);

}  // namespace bakewright::record
