// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <modbus/modbus.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cmath>
#include <map>
#include <utility>

#include "registers.hpp"
#include "sources.hpp"

namespace bakewright::record {
namespace {

constexpr double kConnectAgainS = 1.0;
/// Registers between two channels that are read too, rather than asking twice. Common practice, no source.
constexpr int kMostGap = 8;
/// Polls in a row without a temperature before other word orders are looked at.
constexpr int kPollsWithout = 5;

struct FreeModbus {
    void operator()(modbus_t* device) const noexcept {
        modbus_close(device);
        modbus_free(device);
    }
};
using Device = std::unique_ptr<modbus_t, FreeModbus>;

char parity_letter(probe::Parity parity) {
    constexpr std::array<char, 3> kLetters{'N', 'E', 'O'};
    return kLetters[static_cast<std::size_t>(parity)];
}

/// The device answered, and said no; the connection is sound (Modbus Application Protocol V1.1b3, 7).
bool is_exception(int error) { return error > MODBUS_ENOBASE && error <= EMBXGTAR; }

class ModbusSource final : public Source {
public:
    explicit ModbusSource(const probe::SourceRecord& record)
        : record_(record),
          settings_(record.modbus.value_or(probe::ModbusSettings{})),
          blocks_(plan_blocks(record.channels, kMostGap)) {}

    void run(const std::stop_token& stop, const SourceLink& link) override {
        link.announce(record_.channels);
        while (!stop.stop_requested()) {
            const Device device = connect(link);
            if (device) poll(stop, link, device.get());
            if (!wait_for(stop, kConnectAgainS)) return;
        }
    }

private:
    [[nodiscard]] std::string where() const {
        return record_.way == probe::SourceWay::modbus_tcp ? fmt::format("{}:{:.0f}", settings_.host, settings_.port)
                                                           : record_.serial->device;
    }

    Device connect(const SourceLink& link) {
        Device device(record_.way == probe::SourceWay::modbus_tcp
                          ? modbus_new_tcp_pi(settings_.host.c_str(), fmt::format("{:.0f}", settings_.port).c_str())
                          : modbus_new_rtu(record_.serial->device.c_str(), static_cast<int>(record_.serial->speed),
                                           parity_letter(record_.serial->parity), static_cast<int>(record_.serial->data_bits),
                                           static_cast<int>(record_.serial->stop_bits)));
        if (!device) {
            tell_lost(link, "cannot be used", errno);
            return {};
        }
        const double whole_s = std::floor(settings_.timeout_s);
        modbus_set_response_timeout(device.get(), static_cast<std::uint32_t>(whole_s),
                                    static_cast<std::uint32_t>(1e6 * (settings_.timeout_s - whole_s)));
        if (modbus_set_slave(device.get(), static_cast<int>(settings_.unit)) == 0 && modbus_connect(device.get()) == 0)
            return device;
        tell_lost(link, "cannot be reached", errno);
        return {};
    }

    void tell_lost(const SourceLink& link, const char* what, int error) {
        const std::string text = fmt::format("{} {}: {}; trying again", where(), what, modbus_strerror(error));
        if (std::exchange(told_, text) != text) link.tell_bad(text);
    }

    void poll(const std::stop_token& stop, const SourceLink& link, modbus_t* device) {
        double next_s = link.now_s();
        while (!stop.stop_requested()) {
            if (!poll_once(link, device)) return;
            next_s = std::max(next_s + record_.interval_s, link.now_s());
            while (next_s > link.now_s())
                if (!wait_for(stop, std::min(next_s - link.now_s(), 0.2))) return;
        }
    }

    /// All blocks at one time. @return false where the connection is lost
    bool poll_once(const SourceLink& link, modbus_t* device) {
        SourceRow row{.arrived_s = link.now_s()};
        bool refuses = false;
        for (std::size_t i = 0; i < blocks_.size(); ++i) {
            const RegisterBlock block = blocks_[i];
            std::vector<std::uint16_t> registers(static_cast<std::size_t>(block.count));
            const auto read = block.table == probe::RegisterTable::holding ? modbus_read_registers : modbus_read_input_registers;
            if (read(device, block.first, block.count, registers.data()) == block.count) {
                for (const std::size_t channel : block.channels)
                    row.readings.push_back(read_channel(link, block, channel, registers));
                continue;
            }
            if (!is_exception(errno)) {
                tell_lost(link, "does not answer", errno);
                return false;
            }
            if (errno == EMBXILADD && block.channels.size() > 1) {
                ask_singly(i--);
                continue;
            }
            refuses = true;
            for (const std::size_t channel : block.channels)
                row.readings.push_back({channel, std::nan(""), SampleQuality::missing});
            const std::string text = fmt::format("{}: register {} is refused: {}", record_.channels[block.channels.front()].name,
                                                 block.first, modbus_strerror(errno));
            if (std::exchange(told_, text) != text) link.tell_bad(text);
        }
        if (!refuses && std::exchange(told_, "good") != "good") link.tell_good(where() + " answers");
        link.put({std::move(row)});
        return true;
    }

    /// It has no register in between, or not all of them: each channel has a request of its own from now on.
    void ask_singly(std::size_t block) {
        const std::vector<std::size_t> channels = blocks_[block].channels;
        blocks_.erase(blocks_.begin() + static_cast<std::ptrdiff_t>(block));
        for (const std::size_t channel : channels)
            blocks_.insert(blocks_.begin() + static_cast<std::ptrdiff_t>(block),
                           {record_.channels[channel].table,
                            static_cast<int>(*record_.channels[channel].register_address),
                            registers_of(record_.channels[channel].type),
                            {channel}});
    }

    Reading read_channel(const SourceLink& link, const RegisterBlock& block, std::size_t channel,
                         const std::vector<std::uint16_t>& registers) {
        const probe::SourceChannel& told = record_.channels[channel];
        const auto at = static_cast<std::size_t>(*told.register_address) - static_cast<std::size_t>(block.first);
        const auto own = std::span(registers).subspan(at, static_cast<std::size_t>(registers_of(told.type)));
        const double number = number_in(own, told.type, told.word_order);
        if (told.missing_number && number == *told.missing_number) return {channel, std::nan(""), SampleQuality::missing};
        Reading reading = reading_of(record_, channel, number);
        if (reading.quality == SampleQuality::missing) reading.quality = SampleQuality::out_of_range;
        int& without = without_[channel];
        without = reading.quality == SampleQuality::good ? 0 : without + 1;
        if (without == kPollsWithout) {
            const std::string other = registers_of(told.type) == 2 ? other_orders(own, record_, channel) : std::string();
            link.tell_bad(fmt::format("no temperature stands in register {:.0f} as \"{}\", \"{}\"{}", *told.register_address,
                                      probe::words_of(told.type)[static_cast<std::size_t>(told.type)],
                                      probe::words_of(told.word_order)[static_cast<std::size_t>(told.word_order)],
                                      other.empty() ? "" : "; word_order " + other),
                          told.name);
        }
        return reading;
    }

    const probe::SourceRecord record_;
    const probe::ModbusSettings settings_;
    std::vector<RegisterBlock> blocks_;
    std::string told_;
    std::map<std::size_t, int> without_;  ///< polls in a row in which a channel had no temperature
};

}  // namespace

std::unique_ptr<Source> make_modbus_source(const probe::SourceRecord& record) { return std::make_unique<ModbusSource>(record); }

}  // namespace bakewright::record
