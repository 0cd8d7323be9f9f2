// SPDX-License-Identifier: Apache-2.0
// Modbus over a serial line: libmodbus serves at one end of a pseudo-terminal pair, the source asks at the other.

#include <doctest/doctest.h>
#include <fcntl.h>
#include <modbus/modbus.h>
#include <poll.h>
#include <stdlib.h>
#include <termios.h>
#include <unistd.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>
#include <mutex>

#include "bakewright/base/units.hpp"
#include "bakewright/probe/quality.hpp"
#include "live.hpp"

using namespace live;

namespace {

constexpr int kUnit = 17;

/// A Modbus device on a serial line that can be unplugged and made to misbehave.
class SerialDevice {
public:
    explicit SerialDevice(std::filesystem::path plug)
        : plug_(std::move(plug)),
          server_(modbus_new_rtu("/dev/null", 19200, 'N', 8, 1)),
          registers_(modbus_mapping_new(0, 0, 200, 200)) {
        REQUIRE(server_ != nullptr);
        REQUIRE(modbus_set_slave(server_, kUnit) == 0);
        plug_in();
        thread_ = std::jthread([this](const std::stop_token& stop) { serve(stop); });
    }
    ~SerialDevice() {
        thread_.request_stop();
        thread_.join();
        pull();
        modbus_mapping_free(registers_);
        modbus_free(server_);
    }
    SerialDevice(const SerialDevice&) = delete;
    SerialDevice& operator=(const SerialDevice&) = delete;

    void plug_in() {
        const int line = ::posix_openpt(O_RDWR | O_NOCTTY | O_NONBLOCK);
        REQUIRE(line >= 0);
        REQUIRE(::grantpt(line) == 0);
        REQUIRE(::unlockpt(line) == 0);
        std::filesystem::remove(plug_);
        std::filesystem::create_symlink(::ptsname(line), plug_);
        const std::lock_guard lock(mutex_);
        line_ = line;
        modbus_set_socket(server_, line);
    }
    void pull() {
        const std::lock_guard lock(mutex_);
        if (line_ >= 0) ::close(line_);
        line_ = -1;
        std::filesystem::remove(plug_);
    }
    void set(int address, std::uint16_t value) {
        const std::lock_guard lock(mutex_);
        registers_->tab_registers[address] = value;
    }
    void set_float(int address, float value) {
        const auto bits = std::bit_cast<std::uint32_t>(value);
        set(address, static_cast<std::uint16_t>(bits >> 16U));
        set(address + 1, static_cast<std::uint16_t>(bits));
    }
    std::atomic<bool> is_busy = false;  ///< answers "slave device busy"
    std::atomic<bool> is_mute = false;  ///< hears and says nothing
    std::atomic<int> garbled = 0;       ///< so many answers have a wrong byte, which their checksum tells
    std::atomic<int> requests = 0;

private:
    void serve(const std::stop_token& stop) {
        while (!stop.stop_requested()) {
            if (!answer_one()) std::this_thread::sleep_for(std::chrono::milliseconds(5));
        }
    }
    /// @return false where nothing was asked, or nobody has the other end open
    bool answer_one() {
        const std::lock_guard lock(mutex_);
        pollfd waited{line_, POLLIN, 0};
        if (line_ < 0 || ::poll(&waited, 1, 5) <= 0 || (waited.revents & POLLIN) == 0) return false;
        std::uint8_t query[MODBUS_RTU_MAX_ADU_LENGTH];
        const int size = modbus_receive(server_, query);
        if (size <= 0) return false;
        ++requests;
        if (is_mute) return true;
        if (garbled > 0) {
            --garbled;
            const int count = query[4] << 8 | query[5];
            std::vector<std::uint8_t> answer(static_cast<std::size_t>(5 + 2 * count), 0x55);
            answer[0] = query[0], answer[1] = query[1], answer[2] = static_cast<std::uint8_t>(2 * count);
            return ::write(line_, answer.data(), answer.size()) > 0;
        }
        if (is_busy) return modbus_reply_exception(server_, query, MODBUS_EXCEPTION_SLAVE_OR_SERVER_BUSY) > 0;
        return modbus_reply(server_, query, size, registers_) > 0;
    }

    std::filesystem::path plug_;
    modbus_t* server_;
    modbus_mapping_t* registers_;
    std::mutex mutex_;
    int line_ = -1;
    std::jthread thread_;
};

probe::SourceRecord rtu_device_at(const std::filesystem::path& plug) {
    probe::SourceRecord record;
    record.id = "rack";
    record.title = "thermocouple rack on a serial line";
    record.way = probe::SourceWay::modbus_rtu;
    record.interval_s = 0.05;
    record.serial = probe::SerialSettings{.device = plug.string(), .speed = 19200.0};
    record.modbus = probe::ModbusSettings{.unit = kUnit, .timeout_s = 0.3};
    probe::SourceChannel air, roof;
    air.name = "air", roof.name = "roof";
    air.unit = roof.unit = probe::ReadingUnit::deg_c;
    air.register_address = 10.0, roof.register_address = 12.0;
    air.type = probe::RegisterType::int16, roof.type = probe::RegisterType::float32;
    air.scale = 0.1;
    record.channels = {air, roof};
    return record;
}

std::size_t answers_told(const Running& now) {
    return static_cast<std::size_t>(std::count_if(now.notices.begin(), now.notices.end(), [](const SourceNotice& one) {
        return one.is_good && one.what.find("answers") != std::string::npos;
    }));
}

}  // namespace

TEST_CASE("registers are read over a serial line, and again after its plug was pulled") {
    const TemporaryFolder folder;
    SerialDevice device(folder.file("plug"));
    device.set(10, 245);
    device.set_float(12, 21.4F);
    Running source(rtu_device_at(folder.file("plug")));
    REQUIRE(source.wait_for_rows(3));
    CHECK(source.has_notice("answers"));
    CHECK(std::abs(kelvin_to_celsius(source.rows[0].readings.at(0).temperature_k) - 24.5) <= 1e-9);
    CHECK(std::abs(kelvin_to_celsius(source.rows[0].readings.at(1).temperature_k) - 21.4) <= 1e-5);
    device.pull();
    REQUIRE(source.wait_for_notice("does not answer"));
    REQUIRE(source.wait_for_notice("cannot be reached"));
    device.plug_in();
    REQUIRE(source.wait_until([](const Running& now) { return answers_told(now) == 2; }));
    const std::size_t had = source.rows.size();
    REQUIRE(source.wait_for_rows(had + 3));
    source.stop();
    // One request for both: they stand in one block.
    CHECK(device.requests <= static_cast<int>(source.rows.size()) + 3);
}

TEST_CASE("a device on a serial line that is silent or garbled is told, asked again, and gives no number that it did not say") {
    const TemporaryFolder folder;
    SerialDevice device(folder.file("plug"));
    device.set(10, 245);
    device.set_float(12, 21.4F);
    Running source(rtu_device_at(folder.file("plug")));
    REQUIRE(source.wait_for_rows(2));
    device.garbled = 2;
    REQUIRE(source.wait_for_notice("does not answer"));
    REQUIRE(source.wait_until([](const Running& now) { return answers_told(now) == 2; }));
    device.is_mute = true;
    const std::size_t told = source.notices.size();
    REQUIRE(source.wait_until([&](const Running& now) { return now.notices.size() > told && !now.notices.back().is_good; }));
    device.is_mute = false;
    REQUIRE(source.wait_until([](const Running& now) { return answers_told(now) == 3; }));
    source.stop();
    for (const SourceRow& row : source.rows) {
        CHECK(std::abs(kelvin_to_celsius(row.readings.at(0).temperature_k) - 24.5) <= 1e-9);
        CHECK(std::abs(kelvin_to_celsius(row.readings.at(1).temperature_k) - 21.4) <= 1e-5);
    }
}

TEST_CASE("an exception over a serial line leaves its channels missing and the line open") {
    const TemporaryFolder folder;
    SerialDevice device(folder.file("plug"));
    device.set(10, 245);
    device.set_float(12, 21.4F);
    Running source(rtu_device_at(folder.file("plug")));
    REQUIRE(source.wait_for_rows(2));
    device.is_busy = true;
    REQUIRE(source.wait_for_notice("is refused"));
    REQUIRE(
        source.wait_until([](const Running& now) { return now.rows.back().readings.at(1).quality == SampleQuality::missing; }));
    device.is_busy = false;
    REQUIRE(source.wait_until([](const Running& now) { return now.rows.back().readings.at(1).quality == SampleQuality::good; }));
    CHECK_FALSE(source.has_notice("does not answer"));
}

TEST_CASE("over a serial line too a wrong word order is no temperature, and the right one is named") {
    const TemporaryFolder folder;
    SerialDevice device(folder.file("plug"));
    device.set(10, 245);
    device.set_float(12, 21.4F);
    probe::SourceRecord record = rtu_device_at(folder.file("plug"));
    record.channels[1].word_order = probe::WordOrder::low_first;
    Running source(record);
    REQUIRE(source.wait_for_notice("word_order \"high first\" gives 21.4"));
    for (const SourceRow& row : source.rows) CHECK(row.readings.at(1).quality == SampleQuality::out_of_range);
}

TEST_CASE("a register that is frozen while its neighbour goes on is flagged in the log as stuck") {
    const TemporaryFolder folder;
    SerialDevice device(folder.file("plug"));
    device.set_float(12, 21.4F);
    Running source(rtu_device_at(folder.file("plug")));
    // Both warm; then the roof's register stands still to the last bit while the air goes on.
    for (int step = 0; step < 80; ++step) {
        device.set(10, static_cast<std::uint16_t>(245 + 6 * step));
        if (step < 25) device.set_float(12, 21.4F + 0.6F * static_cast<float>(step));
        std::this_thread::sleep_for(std::chrono::milliseconds(55));
    }
    REQUIRE(source.wait_for_rows(60));
    source.stop();
    std::vector<Trace> traces{{"air", TraceRole::booth_air, {}, {}, {}}, {"roof", TraceRole::zone, {}, {}, {}}};
    // As if a reading came every minute: a bake of an hour and more.
    for (std::size_t i = 0; i < source.rows.size(); ++i)
        for (std::size_t c = 0; c < 2; ++c) {
            traces[c].time_s.push_back(60.0 * static_cast<double>(i));
            traces[c].temperature_k.push_back(source.rows[i].readings.at(c).temperature_k);
        }
    std::vector<std::string> remarks;
    static_cast<void>(probe::flag_quality(traces, {}, remarks));
    const auto stuck = [](const Trace& trace) {
        return std::count(trace.quality.begin(), trace.quality.end(), SampleQuality::stuck);
    };
    CHECK(stuck(traces[0]) == 0);
    CHECK(stuck(traces[1]) > static_cast<std::ptrdiff_t>(source.rows.size()) / 2);  // 55 of 80 stand still
}
