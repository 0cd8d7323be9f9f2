// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/base/units.hpp"

namespace bakewright {
class Fields;
}

/// What is known of a source of live readings: where they come from, and what each of its channels is.
namespace bakewright::probe {

/// How readings come. Lines: from standard input, a file that grows or a named pipe.
enum class SourceWay { lines, serial, modbus_tcp, modbus_rtu, mqtt, replay };
constexpr std::array<std::string_view, 6> words_of(SourceWay) noexcept {
    return {"lines", "serial", "modbus tcp", "modbus rtu", "mqtt", "replay"};
}

/// Unit of a channel's numbers.
enum class ReadingUnit { deg_c, deg_f, k };
constexpr std::array<std::string_view, 3> words_of(ReadingUnit) noexcept { return {"degC", "degF", "K"}; }

/// Whether lines tell their time, or have that at which they come.
enum class LineTime { in_the_line, on_arrival };
constexpr std::array<std::string_view, 2> words_of(LineTime) noexcept { return {"in the line", "on arrival"}; }

enum class Parity { none, even, odd };
constexpr std::array<std::string_view, 3> words_of(Parity) noexcept { return {"none", "even", "odd"}; }

enum class FlowControl { none, software, hardware };
constexpr std::array<std::string_view, 3> words_of(FlowControl) noexcept { return {"none", "software", "hardware"}; }

/// Which of a Modbus device's tables a register stands in: functions 03 and 04 (Modbus Application Protocol V1.1b3, 6.3 and 6.4).
enum class RegisterTable { holding, input };
constexpr std::array<std::string_view, 2> words_of(RegisterTable) noexcept { return {"holding", "input"}; }

/// What one register, or two behind each other, hold.
enum class RegisterType { int16, uint16, int32, uint32, float32 };
constexpr std::array<std::string_view, 5> words_of(RegisterType) noexcept {
    return {"int16", "uint16", "int32", "uint32", "float32"};
}

/// Order of the two registers of a value of 32 bits, and of the bytes in each. The protocol orders the bytes of a register, high
/// first (4.2), and says nothing of values of two; all four are met.
enum class WordOrder { high_first, low_first, high_first_swapped, low_first_swapped };
constexpr std::array<std::string_view, 4> words_of(WordOrder) noexcept {
    return {"high first", "low first", "high first, bytes swapped", "low first, bytes swapped"};
}

/// One channel. A reading is scale * number + offset in its unit.
struct SourceChannel {
    std::string name{};                 ///< what the source or the shop calls it; unique in its source
    std::string place{};                ///< zone, cavity or item of the shell, "booth air", ...; empty: found by the name
    std::optional<ReadingUnit> unit{};  ///< nothing: the lines say it
    double scale = 1.0;
    double offset = 0.0;
    std::string column{};  ///< lines: heading or position from 1; empty: the name

    std::optional<double> register_address{};  ///< Modbus: as the protocol counts it, 0 to 65535
    RegisterTable table = RegisterTable::holding;
    RegisterType type = RegisterType::int16;
    WordOrder word_order = WordOrder::high_first;
    std::optional<double> missing_number{};  ///< Modbus: what the device gives where there is no reading, such as -32768

    std::string topic{};         ///< MQTT: of the messages; no wildcards
    std::string pointer{};       ///< of the number in a message of JSON (RFC 6901); empty: the message is the number
    std::string time_pointer{};  ///< of its time, seconds or milliseconds since 1970 UTC; empty: it has that at which it comes
};

struct LineSettings {
    std::string path{};     ///< file or named pipe; "-" standard input; a serial port has none
    std::string reading{};  ///< name of a reading kept in the book by import; empty: found from the first lines
    LineTime time = LineTime::in_the_line;
    bool is_from_start = false;  ///< a file: also what is in it when the recording begins
};

struct SerialSettings {
    std::string device{};  ///< "/dev/ttyUSB0"
    double speed = 9600.0;
    double data_bits = 8.0;
    Parity parity = Parity::none;
    double stop_bits = 1.0;
    FlowControl flow = FlowControl::none;
};

struct ModbusSettings {
    std::string host{};  ///< of TCP; RTU has `serial`
    double port = 502.0;
    double unit = 1.0;       ///< address of the device, 1 to 247
    double timeout_s = 1.0;  ///< how long an answer may take
};

struct MqttSettings {
    std::string host{};
    double port = 1883.0;
    std::string client{};         ///< name at the broker; empty: one that is made up
    std::string user{};           ///< empty: none
    std::string password_file{};  ///< file whose first line is the password
    std::string ca_file{};        ///< certificates that vouch for the broker, PEM; given: the connection is encrypted
};

struct ReplaySettings {
    std::string bake{};  ///< number or uid of a logged bake
    double speed = 1.0;
};

/// A source of live readings.
struct SourceRecord {
    std::string id{};
    std::string title{};
    SourceWay way = SourceWay::lines;
    double interval_s = 1.0;                    ///< usual time between two readings of a channel
    double least_k = celsius_to_kelvin(-50.0);  ///< what lies below is no reading
    double most_k = celsius_to_kelvin(400.0);   ///< nor what lies above
    std::optional<LineSettings> lines{};
    std::optional<SerialSettings> serial{};
    std::optional<ModbusSettings> modbus{};
    std::optional<MqttSettings> mqtt{};
    std::optional<ReplaySettings> replay{};
    std::vector<SourceChannel>
        channels{};  ///< may be empty for lines that have headings and for a replay: all temperatures they bring
};

/// The temperature that a channel's number means [K]; the unit is given.
[[nodiscard]] double temperature_k(const SourceChannel& channel, double number) noexcept;

void visit_fields(SourceChannel& channel, Fields& see);
void visit_fields(LineSettings& lines, Fields& see);
void visit_fields(SerialSettings& serial, Fields& see);
void visit_fields(ModbusSettings& modbus, Fields& see);
void visit_fields(MqttSettings& mqtt, Fields& see);
void visit_fields(ReplaySettings& replay, Fields& see);
/// The fields of a source below its id and title, with their ranges.
void visit_fields(SourceRecord& source, Fields& see);
/// Everything wrong with a source; keys as in its profile ("channel[1].register"), indices from 0. Allowed beyond the ranges: the
/// section of its way and what its channels need there; each name, column and place once.
[[nodiscard]] std::vector<Problem> problems_in(const SourceRecord& source);

}  // namespace bakewright::probe
