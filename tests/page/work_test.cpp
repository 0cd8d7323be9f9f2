// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include "demo_work.hpp"

using namespace bakewright::page;

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
    CHECK(running.remove("/api/jobs/" + std::to_string(stopped.at("job").get<int>()))->status == 200);
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
    CHECK(report->field("content-security-policy").find("sandbox") != std::string::npos);
}

TEST_CASE("a log teaches a shell, which is kept under a name and then prepared with") {
    const RunningServer running;
    keep_demo(running);
    CHECK(running.get_json("/api/tune").at("versions").empty());
    CHECK(running.get_json("/api/tune").at("what").size() == 9);
    CHECK(running.post("/api/tune", R"({"bakes":[]})")->status == 400);
    CHECK(running.post("/api/tune", R"({"bakes":[1]})")->status == 400);  // a prediction
    CHECK(running.post("/api/tune", R"({"bakes":[2],"what":["filn"]})")->status == 400);
    const auto job = done(running, running.post_json("/api/tune", {{"bakes", {2}}, {"what", {"film"}}}));
    REQUIRE(job.at("state") == "done");
    const auto& answer = job.at("answer");
    CHECK(answer.at("result").at("format") == "bakewright.tuning");
    CHECK(answer.at("result").at("shell").is_null());
    CHECK(answer.at("result").at("used_k").get<double>() < answer.at("result").at("errors").at(0).at("before_k").get<double>());
    CHECK(answer.at("words").at("numbers").at("rows").size() == answer.at("result").at("numbers").size());
    CHECK(answer.at("words").at("headline").get<std::string>().find("held out") != std::string::npos);

    const std::string tuning = "/api/tune/" + std::to_string(answer.at("tuning").get<int>());
    CHECK(running.post(tuning + "/keep", R"({"name":"../../etc"})")->status == 400);
    const auto kept = running.post_json(tuning + "/keep", {{"name", "van_march"}});
    CHECK(kept.at("shell") == "van_march");
    CHECK(running.post_json(tuning + "/keep", {{"name", "van_march"}}).at("shell") == "van_march_2");
    const auto versions = running.get_json("/api/tune").at("versions");
    REQUIRE(versions.size() == 4);
    CHECK(versions.at(0).at("learned_from").size() == 1);
    auto body = demo_bake();
    body["shell"] = "van_march";
    body["booth"] = "van_march";
    const auto tuned = running.post_json("/api/prepare", body), stated = running.post_json("/api/prepare", demo_bake());
    REQUIRE(tuned.at("format") == "bakewright.prepared");
    CHECK(tuned.at("margins") != stated.at("margins"));

    // The history follows the link of the tuned shell, twice over, and no likeness of names.
    const auto has_history = [&](const std::string& shell) {
        return running.get_json("/api/prepare?shell=" + shell + "&booth=stirred_insulated&coating=clear_low_bake")
            .at("has_history");
    };
    CHECK_FALSE(has_history("van_march").get<bool>());
    CHECK(running.post("/api/history/library_van/coats", R"({"coating":"clear_low_bake","at":"2027-03-03T14:00"})")->status ==
          200);
    CHECK(has_history("library_van").get<bool>());
    CHECK(has_history("van_march").get<bool>());
    CHECK(has_history("van_march_2").get<bool>());
    const auto text = running.get_json("/api/profiles/shell/library_van").at("text");
    for (const char* alike : {"library_van_tuned_up", "library_van_tuned"}) {
        CHECK(running.post_json(std::string("/api/profiles/shell/") + alike + "/save", {{"text", text}}).at("format") ==
              "bakewright.saved");
        CHECK_FALSE(has_history(alike).get<bool>());
    }
}

TEST_CASE("learning that is stopped leaves nothing to keep") {
    const RunningServer running;
    keep_demo(running);
    const auto started = running.post_json("/api/tune", {{"bakes", {2}}});
    CHECK(running.remove("/api/jobs/" + std::to_string(started.at("job").get<int>()))->status == 200);
    CHECK(done(running, started).at("state") == "stopped");
    CHECK(running.post("/api/tune/1/keep", "{}")->status == 400);
}

TEST_CASE("why no cycle does is told by what people call zones and items") {
    const RunningServer running;
    auto body = demo_bake();
    body["coating"] = "clear_two_component";
    const auto job = done(running, running.post_json("/api/prepare/search", body));
    REQUIRE(job.at("state") == "done");
    REQUIRE(job.at("answer").at("plan").at("feasible") == false);
    const std::string conflict = job.at("answer").at("conflict");
    CHECK(conflict.find("There: ") == std::string::npos);  // nothing is wrong there but how sure it is, and that is said
    CHECK(conflict.find("% sure") != std::string::npos);
    CHECK(conflict.find('_') == std::string::npos);
}

TEST_CASE("a second logger is laid on the first, and a reading is kept for the next file of its kind") {
    const RunningServer running;
    REQUIRE(running.post("/api/logs?name=one.csv", demo_log(), "application/octet-stream")->status == 200);
    REQUIRE(running.post("/api/logs?name=two.csv", demo_log(), "application/octet-stream")->status == 200);
    const nlohmann::json task = {{"shell", "library_van"},
                                 {"and", 2},
                                 {"shift_s", 30.0},
                                 {"reading", {{"spike-limit", "12 K"}}},
                                 {"save_reading", "shop logger"}};
    const auto read = running.post_json("/api/logs/1/read", task);
    REQUIRE(read.contains("log"));
    CHECK(read.at("log").at("merge").at("shift_s") == 30.0);
    CHECK(read.at("log").at("merge").at("renamed").size() > 5);
    CHECK(running.get_json("/api/readings").at("readings").empty());
    REQUIRE(running.post("/api/logs/1/keep", task.dump())->status == 200);
    const auto readings = running.get_json("/api/readings").at("readings");
    REQUIRE(readings.size() == 1);
    CHECK(readings.at(0).at("options").at(0).at(1) == "12 K");
    CHECK(running.post("/api/logs/1/read", R"({"saved_reading":"shop logger"})")->status == 200);
    CHECK(running.post("/api/logs/1/read", R"({"saved_reading":"none such"})")->status == 400);
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
    CHECK(running.get("/report/shell/library_van")->body.find("History of mobile library van") != std::string::npos);
    CHECK(running.post(shell + "/bakes", nlohmann::json{{"bake", bake}, {"at", "2027-03-01T08:20"}}.dump())->status == 400);
    CHECK(running.remove(shell + "/bakes/" + std::to_string(bake))->status == 200);
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

TEST_CASE("notes by hand are kept, held against the log, shown and taken out; bakes are found by words and uid") {
    const RunningServer running;
    const auto uploaded = running.post("/api/logs?name=clear%20group.csv", demo_log(), "application/octet-stream");
    REQUIRE(uploaded->status == 200);
    const std::string log = "/api/logs/" + std::to_string(nlohmann::json::parse(uploaded->body).at("log").get<int>());
    nlohmann::json task = {{"shell", "library_van"}, {"coating", "clear_low_bake"}, {"title", "clear on the van"}};
    (void)running.post_json(log + "/keep", task);
    const auto found = running.get_json("/api/bakes?search=CLEAR%20ON").at("bakes");
    REQUIRE(found.size() == 1);
    CHECK(running.get_json("/api/bakes?search=nothing%20like%20it").at("bakes").empty());
    const std::string uid = found.at(0).at("uid");
    const std::string bake = "/api/bakes/" + uid.substr(0, 10);

    const nlohmann::json note = {
        {"kind", "cure_test"}, {"zone", "door"}, {"how", "rub"}, {"found", "soft"}, {"after_bake_s", 64800}};
    const std::string kept = running.post_json(bake + "/hand", note).at("note");
    (void)running.post_json(bake + "/hand",
                            {{"kind", "temperature"}, {"zone", "door"}, {"temperature_k", 330.0}, {"at_s", 3000}});
    (void)running.post_json(bake + "/hand", {{"kind", "film_build"}, {"zone", "door"}, {"film_build_m", 55e-6}});
    const auto view = running.get_json(bake);
    CHECK(view.at("report").at("noted_by_hand").size() == 3);
    CHECK(view.at("words").at("noted").at("rows").size() == 3);
    CHECK(view.at("report").at("verdicts").at(0).at("zones").dump().find("found soft by the rub test 18 h after the bake") !=
          std::string::npos);
    CHECK(running.get_json("/api/hand/soft").at("counts").at(0).at("soft") == 1);
    CHECK(running.remove("/api/hand/" + kept)->status == 200);
    CHECK(running.remove("/api/hand/" + kept)->status == 400);
    CHECK(running.get_json(bake).at("report").at("noted_by_hand").size() == 2);
    const auto refused = running.post(
        bake + "/hand", R"({"kind": "temperature", "zone": "nose", "temperature_k": 330, "at_s": 0})", "application/json");
    REQUIRE(refused);
    CHECK(refused->status == 400);
    CHECK(refused->body.find("nose") != std::string::npos);

    // The same file with another reading is a new reading of the same bake.
    task["reading"] = {{"scale", {"door=0.5"}}};
    const auto again = running.post_json(log + "/keep", task);
    CHECK(again.at("was_known") == true);
    CHECK(again.at("former").is_number());
    CHECK(running.get_json("/api/bakes").at("bakes").size() == 1);
}
