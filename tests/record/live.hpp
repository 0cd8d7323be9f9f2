// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <unistd.h>

#include <atomic>
#include <chrono>
#include <filesystem>
#include <fstream>
#include <functional>
#include <string>
#include <thread>
#include <utility>
#include <vector>

#include "bakewright/record/recorder.hpp"
#include "bakewright/record/source.hpp"
#include "bakewright/record/timebase.hpp"

/// What the tests of live sources share.
namespace live {

using namespace bakewright;
using namespace bakewright::record;

/// Clocks that stand until a test moves them.
class StandingClocks final : public Timebase {
public:
    [[nodiscard]] double now_s() const override { return now; }
    [[nodiscard]] double awake_s() const override { return awake; }
    [[nodiscard]] double wall_s() const override { return wall; }
    [[nodiscard]] std::string boot_id() const override { return boot; }
    void pass(double seconds) {
        now = now + seconds;
        awake = awake + seconds;
        wall = wall + seconds;
    }

    std::atomic<double> now = 1000.0, awake = 900.0, wall = 1.8e9;
    std::string boot = "first start";
};

class TemporaryFolder {
public:
    TemporaryFolder() {
        const char* root = ::access("/dev/shm", W_OK | X_OK) == 0 ? "/dev/shm" : "/tmp";
        std::string name = std::string(root) + "/bakewright-record-XXXXXX";
        if (::mkdtemp(name.data()) == nullptr) throw std::runtime_error("no temporary folder");
        path_ = name;
    }
    ~TemporaryFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;
    [[nodiscard]] std::filesystem::path file(const std::string& name) const { return path_ / name; }

private:
    std::filesystem::path path_;
};

inline void append_to(const std::filesystem::path& file, const std::string& text) { std::ofstream(file, std::ios::app) << text; }

/// A source that runs on its thread into an inbox, and what it has brought.
class Running {
public:
    Running(const probe::SourceRecord& record, SourceNeeds needs = {}) : source_(make_source(record, std::move(needs))) {
        thread_ = std::jthread([this](const std::stop_token& stop) { source_->run(stop, SourceLink(inbox_, 0, clocks_)); });
    }
    ~Running() { stop(); }
    Running(const Running&) = delete;
    Running& operator=(const Running&) = delete;

    void stop() {
        thread_.request_stop();
        inbox_.close();
        if (thread_.joinable()) thread_.join();
        gather();
    }
    /// Waits for something of the source, at most ten seconds: what is waited for comes in a fraction of one.
    bool wait_until(const std::function<bool(const Running&)>& is_there) {
        for (int i = 0; i < 1000; ++i) {
            gather();
            if (is_there(*this)) return true;
            std::this_thread::sleep_for(std::chrono::milliseconds(10));
        }
        return false;
    }
    bool wait_for_rows(std::size_t count) {
        return wait_until([&](const Running& now) { return now.rows.size() >= count; });
    }
    bool wait_for_notice(const std::string& part) {
        return wait_until([&](const Running& now) { return now.has_notice(part); });
    }
    [[nodiscard]] bool has_notice(const std::string& part) const {
        for (const SourceNotice& one : notices)
            if (one.what.find(part) != std::string::npos) return true;
        return false;
    }

    std::vector<probe::SourceChannel> channels;
    std::vector<SourceRow> rows;
    std::vector<SourceNotice> notices;

private:
    void gather() {
        for (Arrival& arrival : inbox_.take(std::chrono::milliseconds(0))) {
            if (auto* announced = std::get_if<Announcement>(&arrival.what))
                channels.insert(channels.end(), announced->channels.begin(), announced->channels.end());
            else if (auto* notice = std::get_if<SourceNotice>(&arrival.what))
                notices.push_back(*notice);
            else
                for (SourceRow& row : std::get<std::vector<SourceRow>>(arrival.what)) rows.push_back(std::move(row));
        }
    }

    ComputerClocks clocks_;
    Inbox inbox_;
    std::unique_ptr<Source> source_;
    std::jthread thread_;
};

}  // namespace live
