// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>
#include <modbus/modbus.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <bit>
#include <cmath>
#include <mutex>

#include "bakewright/base/units.hpp"
#include "live.hpp"

using namespace live;

namespace {

/// A Modbus device on the loopback address, by libmodbus itself, that can be made to misbehave.
class Device {
public:
    Device() : server_(modbus_new_tcp("127.0.0.1", 0)), registers_(modbus_mapping_new(0, 0, 200, 200)) {
        listener_ = ::socket(AF_INET, SOCK_STREAM, 0);
        sockaddr_in address{};
        address.sin_family = AF_INET;
        address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
        socklen_t size = sizeof address;
        REQUIRE(::bind(listener_, reinterpret_cast<sockaddr*>(&address), size) == 0);
        REQUIRE(::listen(listener_, 4) == 0);
        REQUIRE(::getsockname(listener_, reinterpret_cast<sockaddr*>(&address), &size) == 0);
        port_ = ntohs(address.sin_port);
        thread_ = std::jthread([this](const std::stop_token& stop) { serve(stop); });
    }
    ~Device() {
        thread_.request_stop();
        thread_.join();
        ::close(listener_);
        modbus_mapping_free(registers_);
        modbus_free(server_);
    }
    Device(const Device&) = delete;
    Device& operator=(const Device&) = delete;

    [[nodiscard]] double port() const { return port_; }
    void set(int address, std::uint16_t value) {
        const std::lock_guard lock(mutex_);
        registers_->tab_registers[address] = value;
    }
    /// A single in the order that it is to be read in: high word first.
    void set_float(int address, float value) {
        const auto bits = std::bit_cast<std::uint32_t>(value);
        set(address, static_cast<std::uint16_t>(bits >> 16U));
        set(address + 1, static_cast<std::uint16_t>(bits));
    }
    std::atomic<bool> drops = false;      ///< hangs up at the next request
    std::atomic<int> refuses_from = 200;  ///< a request that reaches this register gets "illegal data address"
    std::atomic<bool> is_busy = false;    ///< answers "slave device busy"
    std::atomic<int> requests = 0, connections = 0;

private:
    bool waits_for(int descriptor, const std::stop_token& stop) const {
        pollfd waited{descriptor, POLLIN, 0};
        while (!stop.stop_requested())
            if (::poll(&waited, 1, 50) > 0) return true;
        return false;
    }
    void serve(const std::stop_token& stop) {
        while (waits_for(listener_, stop)) {
            const int client = ::accept(listener_, nullptr, nullptr);
            ++connections;
            modbus_set_socket(server_, client);
            answer(client, stop);
            ::close(client);
        }
    }
    void answer(int client, const std::stop_token& stop) {
        std::uint8_t query[MODBUS_TCP_MAX_ADU_LENGTH];
        while (waits_for(client, stop)) {
            const int size = modbus_receive(server_, query);
            if (size < 0) return;
            if (size == 0) continue;
            ++requests;
            if (drops.exchange(false)) return;
            const int first = query[8] << 8 | query[9], count = query[10] << 8 | query[11];
            const std::lock_guard lock(mutex_);
            if (is_busy)
                modbus_reply_exception(server_, query, MODBUS_EXCEPTION_SLAVE_OR_SERVER_BUSY);
            else if (first + count > refuses_from)
                modbus_reply_exception(server_, query, MODBUS_EXCEPTION_ILLEGAL_DATA_ADDRESS);
            else
                modbus_reply(server_, query, size, registers_);
        }
    }

    modbus_t* server_;
    modbus_mapping_t* registers_;
    std::mutex mutex_;
    int listener_ = -1, port_ = 0;
    std::jthread thread_;
};

probe::SourceChannel channel_at(const char* name, double address, probe::RegisterType type, double scale = 1.0) {
    probe::SourceChannel channel;
    channel.name = name;
    channel.unit = probe::ReadingUnit::deg_c;
    channel.register_address = address;
    channel.type = type;
    channel.scale = scale;
    return channel;
}

probe::SourceRecord device_at(double port) {
    probe::SourceRecord record;
    record.id = "rack";
    record.title = "thermocouple rack";
    record.way = probe::SourceWay::modbus_tcp;
    record.interval_s = 0.05;
    record.modbus = probe::ModbusSettings{.host = "127.0.0.1", .port = port, .timeout_s = 0.5};
    record.channels = {channel_at("air", 10.0, probe::RegisterType::int16, 0.1),
                       channel_at("roof", 12.0, probe::RegisterType::float32)};
    record.channels[0].missing_number = -32768.0;
    return record;
}

double device_celsius(const SourceRow& row, std::size_t channel) {
    return kelvin_to_celsius(row.readings.at(channel).temperature_k);
}

}  // namespace

TEST_CASE("registers are read in one request, and a device that hangs up is asked again") {
    Device device;
    device.set(10, 245);
    device.set_float(12, 21.4F);
    Running source(device_at(device.port()));
    REQUIRE(source.wait_for_rows(3));
    CHECK(source.has_notice("answers"));
    CHECK(std::abs(device_celsius(source.rows[0], 0) - 24.5) <= 1e-9);
    CHECK(std::abs(device_celsius(source.rows[0], 1) - 21.4) <= 1e-5);  // a single: 2e-6 at 21
    device.drops = true;
    REQUIRE(source.wait_for_notice("does not answer"));
    const std::size_t had = source.rows.size();
    REQUIRE(source.wait_for_rows(had + 3));
    CHECK(device.connections == 2);
    device.set(10, 0x8000);  // what this device gives for a broken probe
    REQUIRE(
        source.wait_until([](const Running& now) { return now.rows.back().readings.at(0).quality == SampleQuality::missing; }));
    source.stop();
    CHECK(device.requests <= static_cast<int>(source.rows.size()) + 2);
}

TEST_CASE("a device that refuses a request keeps its place: its channels are missing until it answers") {
    Device device;
    device.set(10, 245);
    device.set_float(12, 21.4F);
    Running source(device_at(device.port()));
    REQUIRE(source.wait_for_rows(2));
    device.is_busy = true;
    REQUIRE(source.wait_for_notice("is refused"));
    REQUIRE(
        source.wait_until([](const Running& now) { return now.rows.back().readings.at(1).quality == SampleQuality::missing; }));
    device.is_busy = false;
    REQUIRE(source.wait_until([](const Running& now) { return now.rows.back().readings.at(1).quality == SampleQuality::good; }));
    CHECK(device.connections == 1);
    // One register of a block is not there: the others are asked for by themselves.
    device.refuses_from = 12;
    REQUIRE(source.wait_until([](const Running& now) {
        const SourceRow& last = now.rows.back();
        return last.readings.size() == 2 && std::count_if(last.readings.begin(), last.readings.end(), [](const Reading& one) {
                                                return one.quality == SampleQuality::good;
                                            }) == 1;
    }));
}

TEST_CASE("a wrong word order is no temperature, and the right one is named") {
    Device device;
    device.set(10, 245);
    device.set_float(12, 21.4F);
    probe::SourceRecord record = device_at(device.port());
    record.channels[1].word_order = probe::WordOrder::low_first;
    Running source(record);
    REQUIRE(source.wait_for_notice("word_order \"high first\" gives 21.4"));
    for (const SourceRow& row : source.rows) CHECK(row.readings.at(1).quality == SampleQuality::out_of_range);
}

TEST_CASE("a device that is not there is told once and looked for; stopping waits for nobody") {
    Running source(device_at(1.0));  // nobody listens at port 1
    REQUIRE(source.wait_for_notice("cannot be reached"));
    const auto began = std::chrono::steady_clock::now();
    source.stop();
    CHECK(std::chrono::steady_clock::now() - began < std::chrono::seconds(2));
    CHECK(source.notices.size() == 1);
}
