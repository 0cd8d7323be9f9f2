// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <array>
#include <boost/asio/io_context.hpp>
#include <boost/asio/serial_port.hpp>
#include <chrono>
#include <utility>

#include "sources.hpp"

namespace bakewright::record {
namespace {

namespace asio = boost::asio;
using Port = asio::serial_port;

constexpr double kOpenAgainS = 1.0;

class SerialSource final : public Source {
public:
    SerialSource(const probe::SourceRecord& record, probe::ReadOptions reading)
        : settings_(*record.serial),
          lines_(record, std::move(reading), record.lines ? record.lines->time : probe::LineTime::on_arrival) {}

    void run(const std::stop_token& stop, const SourceLink& link) override {
        while (!stop.stop_requested()) {
            asio::io_context context;
            Port port(context);
            const std::string trouble = open(port);
            if (trouble.empty()) {
                link.tell_good(settings_.device + " is open");
                told_.clear();
                lines_.decoder().break_off();  // one may be listened to from the middle of a line
                read(stop, link, context, port);
            } else if (std::exchange(told_, trouble) != trouble) {
                link.tell_bad(fmt::format("{}: {}; trying again", settings_.device, trouble));
            }
            if (!wait_for(stop, kOpenAgainS)) return;
        }
    }

private:
    /// What went wrong; empty where nothing did.
    std::string open(Port& port) const {
        boost::system::error_code error;
        port.open(settings_.device, error);
        const auto set = [&](const auto& option) {
            if (!error) port.set_option(option, error);
        };
        using Parity = asio::serial_port_base::parity;
        using Flow = asio::serial_port_base::flow_control;
        using Stop = asio::serial_port_base::stop_bits;
        constexpr std::array kParity{Parity::none, Parity::even, Parity::odd};
        constexpr std::array kFlow{Flow::none, Flow::software, Flow::hardware};
        set(asio::serial_port_base::baud_rate(static_cast<unsigned>(settings_.speed)));
        set(asio::serial_port_base::character_size(static_cast<unsigned>(settings_.data_bits)));
        set(Parity(kParity[static_cast<std::size_t>(settings_.parity)]));
        set(Stop(settings_.stop_bits == 2.0 ? Stop::two : Stop::one));
        set(Flow(kFlow[static_cast<std::size_t>(settings_.flow)]));
        return error ? error.message() : std::string();
    }

    void read(const std::stop_token& stop, const SourceLink& link, asio::io_context& context, Port& port) {
        bool is_open = true;
        const std::function<void()> read_more = [&] {
            port.async_read_some(asio::buffer(bytes_), [&](const boost::system::error_code& error, std::size_t count) {
                if (count > 0) lines_.take(std::string_view(bytes_.data(), count), link, DecodedLines::Rows::now_or_never);
                if (error) {
                    is_open = false;
                    if (error != asio::error::operation_aborted)
                        link.tell_bad(fmt::format("{} is gone: {}; trying again", settings_.device, error.message()));
                    return;
                }
                read_more();
            });
        };
        read_more();
        while (is_open && !stop.stop_requested()) context.run_for(std::chrono::milliseconds(200));
        boost::system::error_code ignored;
        port.close(ignored);
        context.restart();
        context.run_for(std::chrono::milliseconds(50));  // what was asked for is called off
        lines_.decoder().break_off();
    }

    const probe::SerialSettings settings_;
    DecodedLines lines_;
    std::string told_;
    std::array<char, 4096> bytes_{};
};

}  // namespace

std::unique_ptr<Source> make_serial_source(const probe::SourceRecord& record, probe::ReadOptions reading) {
    return std::make_unique<SerialSource>(record, std::move(reading));
}

}  // namespace bakewright::record
