// SPDX-License-Identifier: Apache-2.0
#include "bakewright/probe/source_record.hpp"

#include <fmt/format.h>

#include <cmath>
#include <set>

#include "bakewright/base/fields.hpp"

namespace bakewright::probe {
namespace {

constexpr double kLastRegister = 65535.0;

bool is_whole(double value) { return std::floor(value) == value; }

void require_whole(FieldCheck& check, const std::string& key, double value) {
    if (std::isfinite(value) && !is_whole(value)) check.add(key, fmt::format("is {}, which is no whole number", value));
}

bool is_modbus(SourceWay way) { return way == SourceWay::modbus_tcp || way == SourceWay::modbus_rtu; }

/// Nothing but its record says what a number of it is.
bool brings_numbers_alone(const SourceRecord& source) {
    const bool tells_time = source.lines && source.lines->time == LineTime::in_the_line;
    const bool is_bare_text =
        source.way == SourceWay::serial ? !tells_time : source.way == SourceWay::lines && source.lines && !tells_time;
    return is_modbus(source.way) || source.way == SourceWay::mqtt || is_bare_text;
}

/// RFC 6901: empty, or steps each with a slash before it; "~" only as "~0" and "~1".
bool is_json_pointer(std::string_view text) {
    if (!text.empty() && text.front() != '/') return false;
    for (std::size_t at = text.find('~'); at != std::string_view::npos; at = text.find('~', at + 1))
        if (at + 1 >= text.size() || (text[at + 1] != '0' && text[at + 1] != '1')) return false;
    return true;
}

void check_channel(FieldCheck& check, const SourceRecord& source, const SourceChannel& channel, const std::string& key) {
    if (channel.name.empty()) check.add(key + ".name", "is empty");
    if (channel.scale == 0.0) check.add(key + ".scale", "is 0, which would make every reading the same");
    if (!channel.unit && brings_numbers_alone(source))
        check.add(key + ".unit", "is missing; expected \"degC\", \"degF\" or \"K\"");
    if (is_modbus(source.way)) {
        if (!channel.register_address)
            check.add(key + ".register", "is missing; a channel of a Modbus device has a register, 0 to 65535");
        else if (*channel.register_address == kLastRegister && channel.type >= RegisterType::int32)
            check.add(key + ".register", "is the last one; a value of two registers begins at 65534 at most");
        if (channel.register_address) require_whole(check, key + ".register", *channel.register_address);
    }
    if (source.way == SourceWay::mqtt) {
        if (channel.topic.empty()) check.add(key + ".topic", "is missing; a channel of a broker has a topic");
        if (channel.topic.find_first_of("+#") != std::string::npos)
            check.add(key + ".topic", "has a wildcard ('+' or '#'); a channel has one topic of its own");
        for (const auto& [name, pointer] : {std::pair("pointer", &channel.pointer), {"time_pointer", &channel.time_pointer}})
            if (!is_json_pointer(*pointer))
                check.add(fmt::format("{}.{}", key, name), "is no JSON pointer such as \"/probe/temperature\"");
    }
}

/// The section that a way needs, and whether it is there.
struct Section {
    SourceWay way;
    std::string_view key;
    bool is_there;
};

void check_sections(FieldCheck& check, const SourceRecord& source) {
    for (const Section& section : {Section{SourceWay::lines, "lines", source.lines.has_value()},
                                   {SourceWay::serial, "serial", source.serial.has_value()},
                                   {SourceWay::modbus_tcp, "modbus", source.modbus.has_value()},
                                   {SourceWay::modbus_rtu, "serial", source.serial.has_value()},
                                   {SourceWay::mqtt, "mqtt", source.mqtt.has_value()},
                                   {SourceWay::replay, "replay", source.replay.has_value()}})
        if (section.way == source.way && !section.is_there)
            check.add(section.key, fmt::format("is missing; a source by \"{}\" has a section [{}]",
                                               words_of(source.way)[static_cast<std::size_t>(source.way)], section.key));
    if (source.way == SourceWay::lines && source.lines && source.lines->path.empty())
        check.add("lines.path", "is missing; expected a file, a named pipe or \"-\"");
    if (source.way == SourceWay::modbus_tcp && source.modbus && source.modbus->host.empty())
        check.add("modbus.host", "is missing; Modbus over TCP has a host");
    if (source.modbus) {
        require_whole(check, "modbus.port", source.modbus->port);
        require_whole(check, "modbus.unit", source.modbus->unit);
    }
    if (source.serial)
        for (const auto& [key, value] : {std::pair("speed", source.serial->speed),
                                         {"data_bits", source.serial->data_bits},
                                         {"stop_bits", source.serial->stop_bits}})
            require_whole(check, fmt::format("serial.{}", key), value);
    if (source.mqtt) require_whole(check, "mqtt.port", source.mqtt->port);
}

}  // namespace

double temperature_k(const SourceChannel& channel, double number) noexcept {
    const double reading = channel.scale * number + channel.offset;
    switch (channel.unit.value_or(ReadingUnit::k)) {
        case ReadingUnit::deg_c:
            return celsius_to_kelvin(reading);
        case ReadingUnit::deg_f:
            return fahrenheit_to_kelvin(reading);
        case ReadingUnit::k:
            break;
    }
    return reading;
}

void visit_fields(SourceChannel& channel, Fields& see) {
    see.name({.key = "name", .need = Need::required, .what = "what the source or the shop calls it", .rule = "each once"},
             channel.name);
    see.name({.key = "place",
              .what = "zone, cavity or item of the shell, `booth air`, `booth wall`, `booth ceiling` or `booth floor`",
              .otherwise = "found by the name"},
             channel.place);
    see({.key = "unit",
         .what = "unit of its numbers",
         .needed = "by Modbus, MQTT and lines without a time",
         .otherwise = "as the lines say"},
        channel.unit);
    see({.key = "scale",
         .range = {-1e6, 1e6},
         .what = "number: what its numbers are multiplied by, 0.1 for tenths",
         .rule = "not 0"},
        channel.scale);
    see({.key = "offset", .range = {-1e6, 1e6}, .what = "number: added after that, in its unit"}, channel.offset);
    see({.key = "column", .what = "lines, serial: heading of the column, or its position from 1", .otherwise = "the name"},
        channel.column);
    see({.key = "register",
         .range = {0.0, kLastRegister},
         .what = "Modbus: address as the protocol counts it, from 0; lists that count from 1 or write 40001 mean 0",
         .rule = "whole",
         .needed = "by Modbus"},
        channel.register_address);
    see({.key = "table", .what = "Modbus: which table the register stands in"}, channel.table);
    see({.key = "type", .what = "Modbus: what stands in the register, or in it and the next"}, channel.type);
    see({.key = "word_order", .what = "Modbus: order of two registers, and of the bytes in each"}, channel.word_order);
    see({.key = "missing", .what = "Modbus: number that the device gives where it has no reading, such as -32768"},
        channel.missing_number);
    see({.key = "topic", .what = "MQTT: topic of its messages", .rule = "no wildcards", .needed = "by MQTT"}, channel.topic);
    see({.key = "pointer",
         .what = "MQTT: where the number stands in a message of JSON, such as `/probe/temperature`",
         .otherwise = "the message is the number"},
        channel.pointer);
    see({.key = "time_pointer",
         .what = "MQTT: where its time stands, in seconds or milliseconds since 1970 UTC",
         .otherwise = "when it comes"},
        channel.time_pointer);
}

void visit_fields(LineSettings& lines, Fields& see) {
    see({.key = "path", .what = "file that grows, or named pipe; `-` is standard input", .needed = "by lines"}, lines.path);
    see.name({.key = "reading", .what = "a reading kept by `import --save-reading`", .otherwise = "found from the first lines"},
             lines.reading);
    see({.key = "time", .what = "what tells the time of a line"}, lines.time);
    see.mark({.key = "from_start", .what = "a file: also what is in it when the recording begins"}, lines.is_from_start);
}

void visit_fields(SerialSettings& serial, Fields& see) {
    see({.key = "device", .need = Need::required, .what = "such as `/dev/ttyUSB0`"}, serial.device);
    see({.key = "speed", .range = {50.0, 4e6}, .what = "bits a second", .rule = "whole", .source = "common practice"},
        serial.speed);
    see({.key = "data_bits", .range = {5.0, 8.0}, .what = "number", .rule = "whole", .source = "common practice"},
        serial.data_bits);
    see({.key = "parity", .what = "parity bit"}, serial.parity);
    see({.key = "stop_bits", .range = {1.0, 2.0}, .what = "number", .rule = "whole", .source = "common practice"},
        serial.stop_bits);
    see({.key = "flow", .what = "flow control"}, serial.flow);
}

void visit_fields(ModbusSettings& modbus, Fields& see) {
    see({.key = "host", .what = "name or address of the device", .needed = "over TCP"}, modbus.host);
    see({.key = "port", .range = {1.0, 65535.0}, .what = "number", .rule = "whole", .source = "Modbus Messaging on TCP/IP V1.0b"},
        modbus.port);
    see({.key = "unit", .range = {1.0, 247.0}, .what = "address of the device", .rule = "whole", .source = "common practice"},
        modbus.unit);
    see({.key = "timeout",
         .unit = unit::s,
         .range = {0.05, 60.0},
         .what = "how long an answer may take",
         .source = "common practice"},
        modbus.timeout_s);
}

void visit_fields(MqttSettings& mqtt, Fields& see) {
    see({.key = "host", .need = Need::required, .what = "name or address of the broker"}, mqtt.host);
    see({.key = "port",
         .range = {1.0, 65535.0},
         .what = "number",
         .rule = "whole",
         .source = "MQTT 3.1.1; 8883 with TLS is usual"},
        mqtt.port);
    see({.key = "client", .what = "name at the broker", .otherwise = "one is made up"}, mqtt.client);
    see({.key = "user", .what = "user at the broker", .otherwise = "none"}, mqtt.user);
    see({.key = "password_file", .what = "file whose first line is the password", .otherwise = "none"}, mqtt.password_file);
    see({.key = "ca_file",
         .what = "PEM file with the certificates that vouch for the broker; with it the connection is encrypted",
         .otherwise = "not encrypted"},
        mqtt.ca_file);
}

void visit_fields(ReplaySettings& replay, Fields& see) {
    see({.key = "bake", .need = Need::required, .what = "number or uid of a logged bake"}, replay.bake);
    see({.key = "speed", .range = {0.1, 10000.0}, .what = "number: how many times as fast as it was"}, replay.speed);
}

void visit_fields(SourceRecord& source, Fields& see) {
    see({.key = "by", .need = Need::required, .what = "how readings come"}, source.way);
    see({.key = "interval",
         .unit = unit::s,
         .range = {0.05, 3600.0},
         .need = Need::required,
         .what = "usual time between two readings of a channel; a gap is told from three times it on, and from 5 s"},
        source.interval_s);
    see({.key = "least",
         .unit = unit::deg_c,
         .range = {-273.15, 2000.0},
         .what = "temperature: what lies below is no reading",
         .source = "common practice"},
        source.least_k);
    see({.key = "most",
         .unit = unit::deg_c,
         .range = {-273.15, 2000.0},
         .what = "temperature: what lies above is no reading",
         .rule = "above `least`",
         .source = "common practice"},
        source.most_k);
    see.table({.key = "lines", .what = "lines of text", .needed = "by lines", .is_section = true}, source.lines);
    see.table({.key = "serial", .what = "a serial port", .needed = "by serial and Modbus RTU", .is_section = true},
              source.serial);
    see.table({.key = "modbus", .what = "a Modbus device", .needed = "by Modbus TCP", .is_section = true}, source.modbus);
    see.table({.key = "mqtt", .what = "a broker", .needed = "by MQTT", .is_section = true}, source.mqtt);
    see.table({.key = "replay", .what = "a bake of the book", .needed = "by replay", .is_section = true}, source.replay);
    see.list({.key = "channel",
              .what = "its channels",
              .needed = "by Modbus, MQTT and lines without a time",
              .otherwise = "every temperature it brings",
              .is_section = true},
             source.channels);
}

std::vector<Problem> problems_in(const SourceRecord& source) {
    FieldCheck check;
    check.check(source);
    check_sections(check, source);
    if (!(source.least_k < source.most_k)) check.add("most", "is not above least");
    if (source.channels.empty() && brings_numbers_alone(source))
        check.add("channel", "is missing; such a source brings nothing that is not listed");
    std::set<std::string> names, places;
    for (std::size_t i = 0; i < source.channels.size(); ++i) {
        const SourceChannel& channel = source.channels[i];
        const std::string key = fmt::format("channel[{}]", i);
        check_channel(check, source, channel, key);
        if (!names.insert(channel.name).second) check.add(key + ".name", fmt::format("'{}' is there already", channel.name));
        if (!channel.place.empty() && !places.insert(channel.place).second)
            check.add(key + ".place", fmt::format("'{}' has a channel already", channel.place));
    }
    return check.take();
}

}  // namespace bakewright::probe
