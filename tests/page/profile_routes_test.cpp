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

namespace {

std::string problem_of(const HttpAnswer& answer) {
    return nlohmann::json::parse(answer.body).at("problems").at(0).at("message").get<std::string>();
}

nlohmann::json deed(const RunningServer& running, const std::string& name, const std::string& what, const nlohmann::json& body,
                    int status = 200) {
    const auto answer = running.post("/api/profiles/coating/" + name + "/" + what, body.dump());
    REQUIRE(answer);
    CAPTURE(answer->body);
    CHECK(answer->status == status);
    return nlohmann::json::parse(answer->body);
}

bool is_listed(const RunningServer& running, const std::string& name) {
    const nlohmann::json answer = running.get_json("/api/profiles/coating");
    for (const auto& one : answer.at("profiles"))
        if (one.at("name") == name) return true;
    return false;
}

}  // namespace

TEST_CASE("a shipped profile can be copied, and neither renamed nor deleted; the copy can") {
    const RunningServer running;
    const std::string sha256 = shown(running, "clear_low_bake", "sha256");
    CHECK(deed(running, "clear_low_bake", "delete", {{"sha256_before", sha256}}, 400).at("problems").size() == 1);
    CHECK(deed(running, "clear_low_bake", "rename", {{"sha256_before", sha256}, {"title", "ours"}}, 400).at("problems").size() ==
          1);
    const auto copy = deed(running, "clear_low_bake", "copy", {{"title", "Our \"clear\""}});
    CHECK(copy.at("name") == "our_clear");
    CHECK(copy.at("text") == shown(running, "our_clear"));
    CHECK(running.get_json("/api/profiles/coating/our_clear").at("is_own") == true);
    CHECK(running.get_json("/api/profiles/coating/clear_low_bake").at("is_own") == false);
    // All but its title is as it was, remarks too.
    const std::string text = copy.at("text"), before = shown(running, "clear_low_bake");
    CHECK(std::count(text.begin(), text.end(), '#') == std::count(before.begin(), before.end(), '#'));
    CHECK(std::count(text.begin(), text.end(), '\n') == std::count(before.begin(), before.end(), '\n'));
    CHECK(running.post_json("/api/profiles/coating/check", {{"text", text}}).at("profiles").at(0).at("title") == "Our \"clear\"");
    CHECK(deed(running, "clear_low_bake", "copy", {{"title", "our clear"}}, 400).at("problems").size() == 1);
    CHECK(deed(running, "clear_low_bake", "copy", {{"title", " "}}, 400).at("problems").size() == 1);

    const auto renamed = deed(running, "our_clear", "rename", {{"sha256_before", copy.at("sha256")}, {"title", "Best clear"}});
    CHECK(renamed.at("name") == "best_clear");
    CHECK_FALSE(is_listed(running, "our_clear"));
    CHECK(is_listed(running, "best_clear"));
    const auto again =
        deed(running, "best_clear", "rename", {{"sha256_before", renamed.at("sha256")}, {"title", "Best, clear!"}});
    CHECK(again.at("name") == "best_clear");
    CHECK(again.at("text").get<std::string>().find("\"Best, clear!\"") != std::string::npos);

    const auto deleted = deed(running, "best_clear", "delete", {{"sha256_before", again.at("sha256")}});
    CHECK(deleted.at("uncovers") == "");
    CHECK_FALSE(is_listed(running, "best_clear"));
    CHECK_FALSE(std::filesystem::exists(running.folder() / "profiles" / "coatings" / "best_clear.toml"));
}

TEST_CASE("what somebody else saved meanwhile is neither renamed nor deleted") {
    const RunningServer running;
    const auto first = deed(running, "clear_low_bake", "copy", {{"title", "ours"}});
    static_cast<void>(deed(running, "ours", "save",
                           {{"text", first.at("text").get<std::string>() + "# other\n"}, {"sha256_before", first.at("sha256")}}));
    CHECK(deed(running, "ours", "delete", {{"sha256_before", first.at("sha256")}}, 409).contains("sha256"));
    CHECK(deed(running, "ours", "rename", {{"sha256_before", first.at("sha256")}, {"title", "mine"}}, 409).contains("there"));
    CHECK(is_listed(running, "ours"));
    CHECK_FALSE(is_listed(running, "mine"));
}

TEST_CASE("an own profile over a shipped one uncovers it when it goes") {
    const RunningServer running;
    const std::string text = shown(running, "clear_low_bake");
    const auto saved = deed(running, "clear_low_bake", "save", {{"text", text + "# ours\n"}});
    CHECK(shown(running, "clear_low_bake") == text + "# ours\n");
    CHECK_FALSE(deed(running, "clear_low_bake", "delete", {{"sha256_before", saved.at("sha256")}})
                    .at("uncovers")
                    .get<std::string>()
                    .empty());
    CHECK(shown(running, "clear_low_bake") == text);
}

TEST_CASE("a material that shells of the shop are made of stays") {
    const RunningServer running;
    const auto steel = running.post_json("/api/profiles/material/mild_steel/copy", {{"title", "our steel"}});
    std::string van = running.get_json("/api/profiles/shell/test_panel").at("text");
    van.replace(van.find("\"mild_steel\""), 12, "\"our_steel\"");
    CHECK(running.post("/api/profiles/shell/own_panel/save", nlohmann::json{{"text", van}}.dump())->status == 200);
    const nlohmann::json body{{"sha256_before", steel.at("sha256")}, {"title", "other steel"}};
    for (const char* what : {"delete", "rename"}) {
        const auto answer = running.post(std::string("/api/profiles/material/our_steel/") + what, body.dump());
        CHECK(answer->status == 400);
        CHECK(problem_of(*answer).find("own_panel") != std::string::npos);
    }
}

TEST_CASE("a part is changed on the page: the text with it, or what was not understood") {
    const RunningServer running;
    const std::string text = running.get_json("/api/profiles/shell/library_van").at("text");
    const auto ask = [&](const nlohmann::json& body) { return running.post_json("/api/profiles/shell/parts", body); };
    const auto whole = ask({{"text", text}});
    CHECK(whole.at("text") == text);
    CHECK(whole.at("parts").size() == 16);
    CHECK(whole.at("part").is_null());
    CHECK(whole.at("drawing").at("format") == "bakewright.shell-drawing");
    const auto thicker = ask({{"text", text}, {"deed", "change"}, {"part", "side_upper"}, {"said", {{"thickness[0]", "2 mm"}}}});
    CHECK(thicker.at("problem").is_null());
    CHECK(thicker.at("part") == "side_upper");
    CHECK(thicker.at("understood").at(0).at("said") == "2.0 mm");
    CHECK(thicker.at("text") != text);
    const auto asked = ask({{"text", text}, {"deed", "change"}, {"part", "side_upper"}, {"said", {{"thickness[0]", "16g"}}}});
    CHECK(asked.at("problem").at("key") == "thickness[0]");
    CHECK(asked.at("problem").at("meant") == "16 ga");
    CHECK(asked.at("text") == text);
    CHECK(ask({{"text", text}, {"deed", "remove"}, {"part", "door"}}).at("parts").size() == 15);
    CHECK(ask({{"text", text}, {"deed", "remove"}, {"part", "wing"}}).at("format") == "bakewright.problems");
    CHECK(ask({{"text", text}, {"deed", "paint"}}).at("format") == "bakewright.problems");
    CHECK(ask({{"text", "kind = \"shell\"\n"}}).at("format") == "bakewright.problems");
}
