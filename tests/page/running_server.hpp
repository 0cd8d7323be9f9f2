#pragma once

#include <httplib.h>
#include <unistd.h>

#include <atomic>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>
#include <thread>

#include "bakewright/page/server.hpp"

namespace bakewright::page {

/// A server on a free port, with a book and a profile folder of its own, for as long as it lives.
class RunningServer {
public:
    explicit RunningServer(int read_timeout_s = 5, std::size_t largest_upload_bytes = std::size_t{64} << 20)
        : folder_(std::filesystem::temp_directory_path() /
                  ("bakewright-page-" + std::to_string(::getpid()) + "-" + std::to_string(++count_))),
          server_(options(read_timeout_s, largest_upload_bytes)),
          thread_([this] { server_.run(); }) {
        while (!client().Get("/")) std::this_thread::yield();
    }
    ~RunningServer() {
        server_.stop();
        thread_.join();
        std::filesystem::remove_all(folder_);
    }
    RunningServer(const RunningServer&) = delete;
    RunningServer& operator=(const RunningServer&) = delete;

    [[nodiscard]] httplib::Client client() const {
        httplib::Client made("127.0.0.1", server_.port());
        made.set_read_timeout(60);
        return made;
    }
    [[nodiscard]] std::string host() const { return "127.0.0.1:" + std::to_string(server_.port()); }
    [[nodiscard]] httplib::Headers bearer() const { return {{"Authorization", "Bearer " + server_.token()}}; }
    [[nodiscard]] const Server& server() const { return server_; }
    [[nodiscard]] const std::filesystem::path& folder() const { return folder_; }

    /// The answer to a request with the token.
    [[nodiscard]] httplib::Result get(const std::string& path) const { return client().Get(path, bearer()); }
    [[nodiscard]] httplib::Result post(const std::string& path, const std::string& body,
                                       const char* type = "application/json") const {
        return client().Post(path, bearer(), body, type);
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
    ServerOptions options(int read_timeout_s, std::size_t largest_upload_bytes) const {
        std::filesystem::create_directories(folder_);
        ServerOptions made;
        made.book_path = (folder_ / "test.book").string();
        made.profile_folders = {BAKEWRIGHT_PROFILES};
        made.user_profile_folder = (folder_ / "profiles").string();
        made.program_version = "test";
        made.read_timeout_s = read_timeout_s;
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
