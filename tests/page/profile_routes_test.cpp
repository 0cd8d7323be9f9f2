// SPDX-License-Identifier: Apache-2.0
// Profiles that are saved from several windows at one time.

#include <doctest/doctest.h>

#include "running_server.hpp"

using namespace bakewright::page;

namespace {

constexpr const char* kSave = "/api/profiles/coating/ours/save";

std::string shown(const RunningServer& running, const std::string& name, const char* key = "text") {
    return running.get_json("/api/profiles/coating/" + name).at(key);
}

}  // namespace

TEST_CASE("of four who save over one text exactly one wins, and the others learn what changed") {
    const RunningServer running;
    const std::string text = shown(running, "clear_low_bake");
    std::string base = running.post_json(kSave, {{"text", text}}).at("sha256");
    for (int round = 0; round < 10; ++round) {
        CAPTURE(round);
        std::vector<HttpAnswer> answers(4);
        std::vector<std::thread> savers;
        for (std::size_t saver = 0; saver < answers.size(); ++saver)
            savers.emplace_back([&, saver] {
                const std::string line = "# round " + std::to_string(round) + " of saver " + std::to_string(saver);
                answers[saver] = running.post(kSave, nlohmann::json{{"text", text + line + "\n"}, {"sha256_before", base}}.dump())
                                     .value_or(HttpAnswer{});
            });
        for (std::thread& saver : savers) saver.join();
        int won = 0;
        for (std::size_t saver = 0; saver < answers.size(); ++saver) {
            const auto answer = nlohmann::json::parse(answers[saver].body);
            if (answers[saver].status == 200) {
                ++won;
                base = answer.at("sha256");
                CHECK(shown(running, "ours").ends_with("of saver " + std::to_string(saver) + "\n"));
                continue;
            }
            CHECK(answers[saver].status == 409);
            CHECK(answer.at("format") == "bakewright.problems");
            CHECK(answer.at("there").size() == 1);
            CHECK(answer.at("yours").at(0) == "# round " + std::to_string(round) + " of saver " + std::to_string(saver));
            CHECK(answer.at("problems").at(0).at("line").get<int>() > 10);
        }
        CHECK(won == 1);
        CHECK(shown(running, "ours", "sha256") == base);
    }
}

TEST_CASE("of several who save a new name one wins") {
    const RunningServer running;
    const std::string text = shown(running, "clear_low_bake");
    std::atomic<int> won = 0, lost = 0;
    std::vector<std::thread> savers;
    for (int saver = 0; saver < 4; ++saver)
        savers.emplace_back([&, saver] {
            const auto answer = running.post(kSave, nlohmann::json{{"text", text + "# " + std::to_string(saver) + "\n"}}.dump());
            if (answer && answer->status == 200) ++won;
            if (answer && answer->status == 409) ++lost;
        });
    for (std::thread& saver : savers) saver.join();
    CHECK(won == 1);
    CHECK(lost == 3);
}

TEST_CASE("a text that is there already is saved; one that lacks lines of the file is told them") {
    const RunningServer running;
    const std::string text = shown(running, "clear_low_bake");
    CHECK(running.post(kSave, nlohmann::json{{"text", text + "# more\n"}}.dump())->status == 200);
    CHECK(running.post(kSave, nlohmann::json{{"text", text + "# more\n"}}.dump())->status == 200);
    const auto lost = running.post_json(kSave, {{"text", text}});
    CHECK(lost.at("there") == nlohmann::json{"# more"});
    CHECK(lost.at("yours").empty());
    CHECK(lost.at("problems").at(0).at("message").get<std::string>().find("it has '# more' here, where your text has nothing") !=
          std::string::npos);
}
