// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <doctest/doctest.h>

#include <fstream>
#include <sstream>

#include "running_server.hpp"

namespace bakewright::page {

/// What the demo's logger wrote.
inline std::string demo_log() {
    std::ifstream file(std::string(BAKEWRIGHT_TEST_DATA) + "/demo/clear_group_1.csv", std::ios::binary);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

/// The work that was started, when it has ended.
inline nlohmann::json done(const RunningServer& running, const nlohmann::json& started) {
    const std::string path = "/api/jobs/" + std::to_string(started.at("job").get<int>());
    for (;;) {
        auto job = running.get_json(path);
        if (job.at("state") != "running") return job;
        std::this_thread::sleep_for(std::chrono::milliseconds(20));
    }
}

/// The demo's prediction and its log in the book: bakes 1 and 2.
inline void keep_demo(const RunningServer& running) {
    REQUIRE(running.post_json("/api/prepare/keep", demo_bake()).at("bake") == 1);
    REQUIRE(running.post("/api/logs?name=clear.csv", demo_log(), "application/octet-stream")->status == 200);
    const nlohmann::json task = {{"shell", "library_van"}, {"coating", "clear_low_bake"}, {"of", 1}};
    REQUIRE(running.post_json("/api/logs/1/keep", task).at("bake") == 2);
}

}  // namespace bakewright::page
