// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <unistd.h>

#include <atomic>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>
#include <thread>

#include "bakewright/page/server.hpp"
#include "support/http_client.hpp"

namespace bakewright::page {

using support::HttpAnswer;
using support::HttpFields;
using support::Wire;

/// A server on a free port, with a book and a profile folder of its own, for as long as it lives.
class RunningServer {
public:
    explicit RunningServer(int time_for_header_s = 5, std::size_t largest_upload_bytes = std::size_t{64} << 20)
        : folder_(std::filesystem::temp_directory_path() /
                  ("bakewright-page-" + std::to_string(::getpid()) + "-" + std::to_string(++count_))),
          server_(options(time_for_header_s, largest_upload_bytes)),
          thread_([this] { server_.run(); }) {}
    ~RunningServer() {
        end();
        std::filesystem::remove_all(folder_);
    }
    RunningServer(const RunningServer&) = delete;
    RunningServer& operator=(const RunningServer&) = delete;

    /// Ends it early.
    void end() {
        server_.stop();
        if (thread_.joinable()) thread_.join();
    }

    [[nodiscard]] std::string host() const { return "127.0.0.1:" + std::to_string(server_.port()); }
    [[nodiscard]] HttpFields bearer() const { return {{"Host", host()}, {"Authorization", "Bearer " + server_.token()}}; }
    [[nodiscard]] Server& server() { return server_; }
    [[nodiscard]] const Server& server() const { return server_; }
    [[nodiscard]] const std::filesystem::path& folder() const { return folder_; }
    [[nodiscard]] Wire wire() const { return Wire(server_.port()); }

    /// The answer on a connection of its own; nothing where there is none.
    [[nodiscard]] std::optional<HttpAnswer> ask(const std::string& method, const std::string& target, const HttpFields& fields,
                                                const std::optional<std::string>& body = std::nullopt) const {
        Wire wire(server_.port());
        static_cast<void>(wire.say(support::http_request(method, target, fields, body)));
        return wire.hear(method == "HEAD");
    }
    /// The same with the token.
    [[nodiscard]] std::optional<HttpAnswer> get(const std::string& path) const { return ask("GET", path, bearer()); }
    [[nodiscard]] std::optional<HttpAnswer> remove(const std::string& path) const { return ask("DELETE", path, bearer()); }
    [[nodiscard]] std::optional<HttpAnswer> post(const std::string& path, const std::string& body,
                                                 const std::string& type = "application/json") const {
        HttpFields fields = bearer();
        fields.emplace_back("Content-Type", type);
        return ask("POST", path, fields, body);
    }
    [[nodiscard]] nlohmann::json get_json(const std::string& path) const {
        const auto answer = get(path);
        return answer ? nlohmann::json::parse(answer->body) : nlohmann::json();
    }
    [[nodiscard]] nlohmann::json post_json(const std::string& path, const nlohmann::json& body) const {
        const auto answer = post(path, body.dump());
        return answer ? nlohmann::json::parse(answer->body) : nlohmann::json();
    }

private:
    ServerOptions options(int time_for_header_s, std::size_t largest_upload_bytes) const {
        std::filesystem::create_directories(folder_);
        ServerOptions made;
        made.book_path = (folder_ / "test.book").string();
        made.profile_folders = {BAKEWRIGHT_PROFILES};
        made.user_profile_folder = (folder_ / "profiles").string();
        made.program_version = "test";
        made.time_for_header_s = time_for_header_s;
        made.largest_upload_bytes = largest_upload_bytes;
        return made;
    }

    static inline std::atomic<int> count_ = 0;
    std::filesystem::path folder_;
    Server server_;
    std::thread thread_;
};

/// What the demo van is prepared with.
inline nlohmann::json demo_bake() {
    return {{"shell", "library_van"},
            {"booth", "stirred_insulated"},
            {"coating", "clear_low_bake"},
            {"setpoint_k", 333.15},
            {"hold_s", 3600.0}};
}

}  // namespace bakewright::page
