// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <mosquitto.h>

#include <atomic>
#include <charconv>
#include <cmath>
#include <fstream>
#include <mutex>
#include <nlohmann/json.hpp>
#include <set>
#include <utility>

#include "bakewright/base/error.hpp"
#include "sources.hpp"

namespace bakewright::record {
namespace {

constexpr std::size_t kLargestMessage = std::size_t{1} << 16U;
constexpr int kKeepAliveS = 10;  ///< a broker that is gone is noticed after one and a half times that (MQTT 3.1.1, 3.1.2.10)
constexpr double kTellAgainS = 60.0, kPatienceS = 3.0, kLookForBrokerS = 1.0;
/// Seconds since 1970 have ten digits until 2286, milliseconds thirteen.
constexpr double kLeastMilliseconds = 1e11;

std::optional<double> number_from(std::string_view text) {
    while (!text.empty() && (text.front() == ' ' || text.front() == '+')) text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\n' || text.back() == '\r')) text.remove_suffix(1);
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    return error == std::errc{} && end == text.data() + text.size() ? std::optional(value) : std::nullopt;
}

std::optional<double> number_at(const nlohmann::json& document, const std::string& pointer) {
    const nlohmann::json::json_pointer at(pointer);
    if (document.is_discarded() || !document.contains(at)) return std::nullopt;
    const nlohmann::json& value = document.at(at);
    if (value.is_number()) return value.get<double>();
    return value.is_string() ? number_from(value.get_ref<const std::string&>()) : std::nullopt;
}

struct FreeClient {
    void operator()(mosquitto* client) const noexcept { mosquitto_destroy(client); }
};

class MqttSource final : public Source {
public:
    explicit MqttSource(const probe::SourceRecord& record) : record_(record), settings_(*record.mqtt) {
        static std::once_flag once;
        std::call_once(once, [] { mosquitto_lib_init(); });
    }

    void run(const std::stop_token& stop, const SourceLink& link) override {
        link_ = &link;
        link.announce(record_.channels);
        const std::unique_ptr<mosquitto, FreeClient> client(
            mosquitto_new(settings_.client.empty() ? nullptr : settings_.client.c_str(), true, this));
        if (!client) throw FileError("no memory for a connection to " + where());
        set_up(client.get());
        // What is not there at first is looked for here; what was there and is lost, by the library on a thread of its own.
        bool is_told = false;
        while (mosquitto_connect_async(client.get(), settings_.host.c_str(), static_cast<int>(settings_.port), kKeepAliveS) !=
               MOSQ_ERR_SUCCESS) {
            if (!std::exchange(is_told, true)) tell_bad("cannot be reached; trying again");
            if (!wait_for(stop, kLookForBrokerS)) return;
        }
        if (mosquitto_loop_start(client.get()) != MOSQ_ERR_SUCCESS) throw FileError("no thread for a connection to " + where());
        const double began_s = link.now_s();
        while (wait_for(stop, 0.2))
            if (!was_there_ && !is_told && link.now_s() - began_s > kPatienceS) {
                is_told = true;
                tell_bad("no answer; trying again");
            }
        mosquitto_disconnect(client.get());
        mosquitto_loop_stop(client.get(), false);  // to cancel it would end the program in the middle of a callback
    }

private:
    [[nodiscard]] std::string where() const { return fmt::format("{}:{:.0f}", settings_.host, settings_.port); }
    void tell_bad(const std::string& what) const { link_->tell_bad(where() + ": " + what); }

    void set_up(mosquitto* client) const {
        mosquitto_reconnect_delay_set(client, 1, 1, false);
        if (!settings_.user.empty()) mosquitto_username_pw_set(client, settings_.user.c_str(), password().c_str());
        if (!settings_.ca_file.empty()) {
            const int code = mosquitto_tls_set(client, settings_.ca_file.c_str(), nullptr, nullptr, nullptr, nullptr);
            if (code != MOSQ_ERR_SUCCESS) throw FileError(fmt::format("{}: {}", settings_.ca_file, mosquitto_strerror(code)));
        }
        mosquitto_connect_callback_set(
            client, [](mosquitto* of, void* self, int code) { static_cast<MqttSource*>(self)->connected(of, code); });
        mosquitto_disconnect_callback_set(
            client, [](mosquitto*, void* self, int code) { static_cast<MqttSource*>(self)->disconnected(code); });
        mosquitto_message_callback_set(client, [](mosquitto*, void* self, const mosquitto_message* message) {
            static_cast<MqttSource*>(self)->came(*message);
        });
    }

    [[nodiscard]] std::string password() const {
        if (settings_.password_file.empty()) return {};
        std::ifstream file(settings_.password_file);
        std::string line;
        if (!std::getline(file, line)) throw FileError(settings_.password_file + ": no password can be read from it");
        return line;
    }

    // Called on the library's thread; nothing is thrown through it.

    void connected(mosquitto* client, int code) noexcept {
        try {
            if (code != 0) return tell_bad(fmt::format("refused: {}", mosquitto_connack_string(code)));
            is_there_ = was_there_ = true;
            std::set<std::string> topics;
            for (const probe::SourceChannel& channel : record_.channels)
                if (topics.insert(channel.topic).second) mosquitto_subscribe(client, nullptr, channel.topic.c_str(), 1);
            link_->tell_good(fmt::format("{}: {} {}", where(), topics.size(), topics.size() == 1 ? "topic" : "topics"));
        } catch (const std::exception&) {
        }
    }

    void disconnected(int code) noexcept {
        try {
            if (is_there_.exchange(false) && code != 0) tell_bad("the connection is lost; trying again");
        } catch (const std::exception&) {
        }
    }

    void came(const mosquitto_message& message) noexcept {
        try {
            if (message.retain || message.payload == nullptr) return;  // kept by the broker, who knows how long
            const std::string_view text(static_cast<const char*>(message.payload), static_cast<std::size_t>(message.payloadlen));
            std::string why;
            SourceRow row = row_of_message(record_, message.topic, text, link_->now_s(), why);
            if (!row.readings.empty()) link_->put({std::move(row)});
            if (why.empty() || link_->now_s() - told_at_s_ < kTellAgainS) return;
            told_at_s_ = link_->now_s();
            tell_bad(why);
        } catch (const std::exception&) {
        }
    }

    const probe::SourceRecord record_;
    const probe::MqttSettings settings_;
    const SourceLink* link_ = nullptr;
    std::atomic<bool> is_there_ = false, was_there_ = false;
    double told_at_s_ = -1e9;
};

}  // namespace

SourceRow row_of_message(const probe::SourceRecord& record, std::string_view topic, std::string_view message, double arrived_s,
                         std::string& why) {
    SourceRow row{.arrived_s = arrived_s};
    const bool is_too_large = message.size() > kLargestMessage;
    std::optional<nlohmann::json> document;
    const auto as_json = [&]() -> const nlohmann::json& {
        if (!document)
            document = is_too_large ? nlohmann::json(nlohmann::json::value_t::discarded)
                                    : nlohmann::json::parse(message, nullptr, false);
        return *document;
    };
    for (std::size_t i = 0; i < record.channels.size(); ++i) {
        const probe::SourceChannel& channel = record.channels[i];
        if (channel.topic != topic) continue;
        const std::optional<double> number =
            channel.pointer.empty() ? number_from(message) : number_at(as_json(), channel.pointer);
        row.readings.push_back(reading_of(record, i, number.value_or(std::nan(""))));
        if (!number)
            why = fmt::format("topic '{}', channel '{}': {}", topic, channel.name,
                              is_too_large               ? "the message is larger than any reading"
                              : channel.pointer.empty()  ? "the message is no number"
                              : as_json().is_discarded() ? "the message is no JSON"
                                                         : "the message has no number at " + channel.pointer);
        if (row.told_s || channel.time_pointer.empty()) continue;
        if (const std::optional<double> time = number_at(as_json(), channel.time_pointer))
            row.told_s = std::abs(*time) >= kLeastMilliseconds ? *time / 1000.0 : *time;
    }
    return row;
}

std::unique_ptr<Source> make_mqtt_source(const probe::SourceRecord& record) { return std::make_unique<MqttSource>(record); }

}  // namespace bakewright::record
