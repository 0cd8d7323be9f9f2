// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>
#include <mosquitto.h>
#include <netinet/in.h>
#include <signal.h>
#include <spawn.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cmath>

#include "bakewright/base/units.hpp"
#include "live.hpp"
#include "sources.hpp"

extern char** environ;

using namespace live;

namespace {

const char* broker_program() {
    for (const char* path : {"/usr/sbin/mosquitto", "/usr/local/sbin/mosquitto"})
        if (::access(path, X_OK) == 0) return path;
    return nullptr;
}

int free_port() {
    const int descriptor = ::socket(AF_INET, SOCK_STREAM, 0);
    sockaddr_in address{};
    address.sin_family = AF_INET;
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    socklen_t size = sizeof address;
    REQUIRE(::bind(descriptor, reinterpret_cast<sockaddr*>(&address), size) == 0);
    REQUIRE(::getsockname(descriptor, reinterpret_cast<sockaddr*>(&address), &size) == 0);
    ::close(descriptor);
    return ntohs(address.sin_port);
}

/// A broker of its own on the loopback address.
class Broker {
public:
    explicit Broker(int port) : port_(port) {
        append_to(folder_.file("conf"), "listener " + std::to_string(port) + " 127.0.0.1\nallow_anonymous true\nlog_dest none\n");
        start();
    }
    ~Broker() { end(); }
    Broker(const Broker&) = delete;
    Broker& operator=(const Broker&) = delete;

    void start() {
        const std::string conf = folder_.file("conf");
        const char* program = broker_program();
        char* words[] = {const_cast<char*>(program), const_cast<char*>("-c"), const_cast<char*>(conf.c_str()), nullptr};
        REQUIRE(::posix_spawn(&process_, program, nullptr, nullptr, words, environ) == 0);
    }
    void end() {
        if (process_ <= 0) return;
        ::kill(process_, SIGKILL);
        ::waitpid(process_, nullptr, 0);
        process_ = 0;
    }
    [[nodiscard]] int port() const { return port_; }

private:
    TemporaryFolder folder_;
    int port_;
    pid_t process_ = 0;
};

/// A transmitter: connects for each message, and waits until the broker has it.
bool publish(int port, const std::string& topic, const std::string& message, bool retain = false) {
    mosquitto* client = mosquitto_new(nullptr, true, nullptr);
    bool is_sent = false;
    mosquitto_user_data_set(client, &is_sent);
    mosquitto_publish_callback_set(client, [](mosquitto*, void* sent, int) { *static_cast<bool*>(sent) = true; });
    for (int i = 0; i < 100 && mosquitto_connect(client, "127.0.0.1", port, 5) != MOSQ_ERR_SUCCESS; ++i)
        std::this_thread::sleep_for(std::chrono::milliseconds(50));
    mosquitto_publish(client, nullptr, topic.c_str(), static_cast<int>(message.size()), message.data(), 1, retain);
    for (int i = 0; i < 100 && !is_sent; ++i) mosquitto_loop(client, 50, 1);
    mosquitto_destroy(client);
    return is_sent;
}

probe::SourceRecord transmitters_at(double port) {
    probe::SourceRecord record;
    record.id = "wireless";
    record.title = "wireless transmitters";
    record.way = probe::SourceWay::mqtt;
    record.mqtt = probe::MqttSettings{.host = "127.0.0.1", .port = port};
    for (const auto& [name, topic, pointer] :
         {std::tuple("roof", "van/roof", ""), {"sill", "van/sides", "/left/t"}, {"door", "van/sides", "/right/t"}}) {
        probe::SourceChannel channel;
        channel.name = name;
        channel.topic = topic;
        channel.pointer = pointer;
        channel.unit = probe::ReadingUnit::deg_c;
        record.channels.push_back(channel);
    }
    record.channels[1].time_pointer = "/at";
    return record;
}

}  // namespace

TEST_CASE("a message is a number, or JSON that has numbers where the record points") {
    const probe::SourceRecord record = transmitters_at(1883.0);
    std::string why;
    SourceRow row = row_of_message(record, "van/roof", " +21.5\n", 3.0, why);
    REQUIRE(row.readings.size() == 1);
    CHECK(row.readings[0].channel == 0);
    CHECK(std::abs(row.readings[0].temperature_k - celsius_to_kelvin(21.5)) <= 1e-9);
    CHECK_FALSE(row.told_s);
    row = row_of_message(record, "van/sides", R"({"at": 1772892000123, "left": {"t": 20.5}, "right": {"t": "20.25"}})", 4.0, why);
    REQUIRE(row.readings.size() == 2);
    CHECK(*row.told_s == 1772892000.123);
    CHECK(std::abs(row.readings[1].temperature_k - celsius_to_kelvin(20.25)) <= 1e-9);
    CHECK(why.empty());
    CHECK(row_of_message(record, "van/other", "20", 5.0, why).readings.empty());
    for (const char* bad :
         {"", "warm", R"({"left": {"t": null}})", R"({"left": 3, "right": [1]})", "[[[[[[[[", "{\"left\":", "1e999"}) {
        CAPTURE(bad);
        why.clear();
        row = row_of_message(record, "van/sides", bad, 5.0, why);
        CHECK(row.readings.at(0).quality == SampleQuality::missing);
        CHECK_FALSE(why.empty());
    }
    static_cast<void>(row_of_message(record, "van/sides", std::string(200'000, '['), 5.0, why));  // deep and large
    CHECK(why.find("larger") != std::string::npos);
}

TEST_CASE("transmitters are heard through a broker that is started late and started anew") {
    if (broker_program() == nullptr) {
        MESSAGE("skipped: there is no mosquitto (tools/setup installs it)");
        return;
    }
    const int port = free_port();
    Running source(transmitters_at(port));
    REQUIRE(source.wait_for_notice("trying again"));
    Broker broker(port);
    REQUIRE(publish(port, "van/roof", "19.0", true));  // kept by the broker: old, whenever somebody asks
    REQUIRE(source.wait_for_notice("2 topics"));
    REQUIRE(publish(port, "van/roof", "21.5"));
    REQUIRE(publish(port, "van/sides", R"({"at": 1772892000, "left": {"t": 20.5}, "right": {"t": 20.0}})"));
    REQUIRE(source.wait_for_rows(2));
    broker.end();
    REQUIRE(source.wait_for_notice("the connection is lost"));
    broker.start();
    REQUIRE(source.wait_until([](const Running& now) {
        return std::count_if(now.notices.begin(), now.notices.end(), [](const SourceNotice& one) { return one.is_good; }) == 2;
    }));
    REQUIRE(publish(port, "van/roof", "22.5"));
    REQUIRE(source.wait_for_rows(3));
    source.stop();
    CHECK(std::abs(source.rows.back().readings.at(0).temperature_k - celsius_to_kelvin(22.5)) <= 1e-9);
    for (const SourceRow& row : source.rows)
        for (const Reading& reading : row.readings) CHECK(reading.temperature_k > celsius_to_kelvin(19.5));
}
