// SPDX-License-Identifier: Apache-2.0
#include "bakewright/probe/source_record.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace bakewright;
using namespace bakewright::probe;

namespace {

SourceRecord rack() {
    SourceRecord source;
    source.way = SourceWay::modbus_tcp;
    source.modbus = ModbusSettings{.host = "192.0.2.17"};
    SourceChannel channel;
    channel.name = "air";
    channel.unit = ReadingUnit::deg_c;
    channel.register_address = 3.0;
    source.channels = {channel};
    return source;
}

SourceRecord broker() {
    SourceRecord source = rack();
    source.way = SourceWay::mqtt;
    source.modbus.reset();
    source.mqtt = MqttSettings{.host = "localhost"};
    source.channels[0].topic = "booth/air";
    return source;
}

SourceRecord lines() {
    SourceRecord source;
    source.lines = LineSettings{.path = "-"};
    return source;
}

std::string first_problem(const SourceRecord& source) {
    const std::vector<Problem> problems = problems_in(source);
    return problems.empty() ? std::string() : problems.front().text();
}

void check_says(const SourceRecord& source, const std::string& key, const std::string& words) {
    const std::string text = first_problem(source);
    CAPTURE(text);
    CHECK(text.find(key + ": ") == 0);
    CHECK(text.find(words) != std::string::npos);
}

}  // namespace

TEST_CASE("a channel's number becomes a temperature by its scale, offset and unit") {
    SourceChannel channel;
    channel.unit = ReadingUnit::deg_c;
    channel.scale = 0.1;
    channel.offset = -2.0;
    CHECK(std::abs(temperature_k(channel, 235.0) - 294.65) <= 1e-9);
    channel.unit = ReadingUnit::deg_f;
    CHECK(std::abs(temperature_k(channel, 700.0) - 293.15) <= 1e-9);  // 68 degF
    channel.unit = ReadingUnit::k;
    CHECK(std::abs(temperature_k(channel, 3000.0) - 298.0) <= 1e-9);
}

TEST_CASE("sources that say what their way needs are good") {
    CHECK(first_problem(rack()).empty());
    CHECK(first_problem(broker()).empty());
    CHECK(first_problem(lines()).empty());
}

TEST_CASE("what a way needs and is not there is asked for by its key") {
    SourceRecord source = rack();
    source.modbus->host.clear();
    check_says(source, "modbus.host", "over TCP has a host");
    source = rack();
    source.way = SourceWay::modbus_rtu;
    check_says(source, "serial", "\"modbus rtu\" has a section [serial]");
    source = rack();
    source.channels[0].register_address.reset();
    check_says(source, "channel[0].register", "0 to 65535");
    source = rack();
    source.channels[0].unit.reset();
    check_says(source, "channel[0].unit", "\"degC\"");
    source = rack();
    source.channels.clear();
    check_says(source, "channel", "brings nothing that is not listed");
    source = broker();
    source.channels[0].topic = "booth/#";
    check_says(source, "channel[0].topic", "wildcard");
    source = broker();
    source.channels[0].pointer = "temperature";
    check_says(source, "channel[0].pointer", "JSON pointer");
    source = lines();
    source.lines->path.clear();
    check_says(source, "lines.path", "\"-\"");
    source = lines();
    source.lines->time = LineTime::on_arrival;
    check_says(source, "channel", "brings nothing that is not listed");
    source.channels = {rack().channels[0]};
    source.channels[0].unit.reset();
    check_says(source, "channel[0].unit", "is missing");
}

TEST_CASE("numbers out of range or not whole, and what is there twice, are told") {
    SourceRecord source = rack();
    source.interval_s = 0.0;
    check_says(source, "interval", "0.05");
    source = rack();
    source.channels[0].register_address = 12.5;
    check_says(source, "channel[0].register", "whole");
    source = rack();
    source.channels[0].register_address = 65535.0;
    source.channels[0].type = RegisterType::float32;
    check_says(source, "channel[0].register", "65534");
    source = rack();
    source.channels[0].scale = 0.0;
    check_says(source, "channel[0].scale", "is 0");
    source = rack();
    source.channels.push_back(source.channels[0]);
    check_says(source, "channel[1].name", "there already");
    source.channels[1].name = "roof";
    source.channels[0].place = source.channels[1].place = "roof_skin";
    check_says(source, "channel[1].place", "has a channel already");
    source = rack();
    source.least_k = source.most_k;
    check_says(source, "most", "not above least");
}
