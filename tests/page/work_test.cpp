#include <doctest/doctest.h>

#include <fstream>
#include <sstream>

#include "bakewright/base/units.hpp"
#include "running_server.hpp"

using namespace bakewright::page;

namespace {

std::string demo_log() {
    std::ifstream file(std::string(BAKEWRIGHT_TEST_DATA) + "/demo/clear_group_1.csv", std::ios::binary);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

nlohmann::json done(const RunningServer& running, const nlohmann::json& started) {
    const std::string path = "/api/jobs/" + std::to_string(started.at("job").get<int>());
    for (;;) {
        auto job = running.get_json(path);
        if (job.at("state") != "running") return job;
        std::this_thread::sleep_for(std::chrono::milliseconds(20));
    }
}

}  // namespace

TEST_CASE("a bake is prepared as the planner's cycle, and a longer hold never lowers a dose") {
    const RunningServer running;
    auto body = demo_bake();
    const auto shorter = running.post_json("/api/prepare", body);
    REQUIRE(shorter.at("format") == "bakewright.prepared");
    CHECK(shorter.at("prediction").at("stages").at(0).at("kind") == "flash_off");
    CHECK(shorter.at("words").at("worst").get<std::string>().find(": ") != std::string::npos);
    body["hold_s"] = 7200.0;
    const auto longer = running.post_json("/api/prepare", body);
    const auto least = [](const nlohmann::json& answer) {
        double dose = 1e9;
        for (const auto& zone : answer.at("verdict").at("zones"))
            dose = std::min(dose, zone.at("dose").at("at_value").get<double>());
        return dose;
    };
    CHECK(least(longer) > least(shorter));
}

TEST_CASE("how sure it is and the map of set points come as work that is asked after") {
    const RunningServer running;
    const auto certain = done(running, running.post_json("/api/prepare/certainty", demo_bake()));
    REQUIRE(certain.at("state") == "done");
    CHECK_FALSE(certain.at("answer").at("words").at("certainty").empty());
    CHECK_FALSE(certain.at("answer").at("verdict").at("zones").at(0).at("certainty").is_null());
    const auto map = done(running, running.post_json("/api/prepare/map", demo_bake()));
    REQUIRE(map.at("state") == "done");
    CHECK(map.at("answer").at("format") == "bakewright.map");
    const auto stopped = running.post_json("/api/prepare/map", demo_bake());
    CHECK(running.client().Delete("/api/jobs/" + std::to_string(stopped.at("job").get<int>()), running.bearer())->status == 200);
    CHECK(done(running, stopped).at("state") != "running");
}

TEST_CASE("a prediction and its log are kept, compared and shown together") {
    const RunningServer running;
    CHECK(running.get_json("/api/bakes").at("bakes").empty());
    auto body = demo_bake();
    body["title"] = "<script>alert(1)</script>";
    const int predicted = running.post_json("/api/prepare/keep", body).at("bake");
    const auto uploaded = running.post("/api/logs?name=clear%20group.csv", demo_log(), "application/octet-stream");
    REQUIRE(uploaded->status == 200);
    const std::string log = "/api/logs/" + std::to_string(nlohmann::json::parse(uploaded->body).at("log").get<int>());
    const nlohmann::json task = {{"shell", "library_van"}, {"coating", "clear_low_bake"}, {"of", predicted}};
    const auto read = running.post_json(log + "/read", task);
    CHECK(read.at("log").at("rows_kept").get<int>() > 200);
    CHECK(running.get_json("/api/bakes").at("bakes").size() == 1);
    const auto kept = running.post_json(log + "/keep", task);
    CHECK(kept.at("was_known") == false);
    CHECK(running.post_json(log + "/keep", task).at("was_known") == true);
    const auto view = running.get_json("/api/bakes/" + std::to_string(kept.at("bake").get<int>()));
    CHECK(view.at("report").at("comparison").at("channels").size() > 3);
    CHECK(view.at("words").at("verdicts").size() == 2);
    const auto report = running.get("/report/" + std::to_string(predicted) + "?units=us");
    REQUIRE(report);
    CHECK(report->body.find("<script>alert") == std::string::npos);
    CHECK(report->get_header_value("Content-Security-Policy").find("sandbox") != std::string::npos);
}

TEST_CASE("a history is entered, judged and corrected") {
    const RunningServer running;
    const int bake = running.post_json("/api/prepare/keep", demo_bake()).at("bake");
    const std::string shell = "/api/history/library_van";
    CHECK(running.get_json(shell).at("words").is_null());
    CHECK(running.post_json(shell + "/coats", {{"coating", "clear_low_bake"}, {"name", "clear"}, {"at", "2027-03-01T08:00"}})
              .contains("coat"));
    CHECK(running.post_json(shell + "/bakes", {{"bake", bake}, {"at", "2027-03-01T08:20"}}).at("bake") == bake);
    const auto judged = running.get_json(shell);
    CHECK(judged.at("verdict").at("coats").size() > 5);
    CHECK(judged.at("words").at("coats").at("rows").size() == 1);
    CHECK(running.post(shell + "/bakes", nlohmann::json{{"bake", bake}, {"at", "2027-03-01T08:20"}}.dump())->status == 400);
    CHECK(running.client().Delete(shell + "/bakes/" + std::to_string(bake), running.bearer())->status == 200);
    CHECK(running.get_json(shell).at("bakes").at("bakes").empty());
}

TEST_CASE("a profile is checked while it is typed, and a mistaken one is never saved") {
    const RunningServer running;
    const auto shown = running.get_json("/api/profiles/coating/clear_low_bake");
    const std::string text = shown.at("text");
    CHECK(running.post_json("/api/profiles/coating/check", {{"text", text}}).at("profiles").at(0).at("good") == true);
    const auto wrong = running.post_json("/api/profiles/coating/check", {{"text", "flash_of = \"1 min\"\n" + text}});
    CHECK(wrong.at("profiles").at(0).at("good") == false);
    CHECK(running.post("/api/profiles/coating/ours/save", nlohmann::json{{"text", "kind = \"coating\""}}.dump())->status == 400);
    const auto saved = running.post_json("/api/profiles/coating/ours/save", {{"text", text}});
    CHECK(saved.at("goes_before") == "");
    CHECK(running.get_json("/api/profiles/coating/ours").at("sha256") == saved.at("sha256"));
    // Somebody else opened it before and saves another text over it.
    CHECK(running.post("/api/profiles/coating/ours/save", nlohmann::json{{"text", text + "# later\n"}}.dump())->status == 409);
    CHECK(running
              .post_json("/api/profiles/coating/ours/save", {{"text", text + "# later\n"}, {"sha256_before", saved.at("sha256")}})
              .contains("sha256"));
}

TEST_CASE("two windows at once keep what both enter") {
    const RunningServer running;
    std::vector<std::thread> windows;
    for (int window = 0; window < 2; ++window)
        windows.emplace_back([&] {
            for (int i = 0; i < 5; ++i) CHECK(running.post("/api/prepare/keep", demo_bake().dump())->status == 200);
        });
    for (std::thread& window : windows) window.join();
    CHECK(running.get_json("/api/bakes").at("bakes").size() == 10);
}
