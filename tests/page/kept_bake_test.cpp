// SPDX-License-Identifier: Apache-2.0
// A bake of the book on the page: how sure it is, whether log and prediction are one, and its card.

#include <doctest/doctest.h>

#include "bakewright/report/checklist.hpp"
#include "demo_work.hpp"

using namespace bakewright::page;

TEST_CASE("how sure a kept bake is comes with the bands of its prediction") {
    const RunningServer running;
    const int bake = running.post_json("/api/prepare/keep", demo_bake()).at("bake");
    const std::string path = "/api/bakes/" + std::to_string(bake);
    CHECK(running.get_json(path).at("report").at("bands").empty());
    const auto job = done(running, running.post_json(path + "/certainty", nlohmann::json::object()));
    REQUIRE(job.at("state") == "done");
    const auto& band = job.at("answer").at("report").at("bands").at(0);
    REQUIRE(band.at("low_k").size() == band.at("time_s").size());
    CHECK(band.at("low_k").back().get<double>() < band.at("high_k").back().get<double>());
    CHECK_FALSE(job.at("answer").at("words").at("verdicts").at(0).at("certainty").empty());
}

TEST_CASE("whether each channel of a log is one with its prediction comes with how sure the bake is, as in the report") {
    const RunningServer running;
    keep_demo(running);
    CHECK(running.get_json("/api/bakes/2").at("words").at("agreement").is_null());
    const auto job = done(running, running.post_json("/api/bakes/2/certainty", {{"units", "us"}}));
    REQUIRE(job.at("state") == "done");
    const auto& told = job.at("answer").at("words").at("agreement");
    const auto& channels = job.at("answer").at("report").at("agreement").at("channels");
    const auto& rows = told.at("channels").at("rows");
    REQUIRE(rows.size() == channels.size());
    REQUIRE(rows.size() > 3);
    for (std::size_t i = 0; i < rows.size(); ++i) {
        CAPTURE(i);
        const bool agrees = channels.at(i).at("agrees");
        CHECK(rows.at(i).at("cells").at(1).at("mark") == (agrees ? "none" : "strong"));
    }
    const std::string text = told.dump();
    CHECK(text.find("rocker panels") != std::string::npos);
    CHECK(text.find("rocker_panels") == std::string::npos);
    CHECK(told.at("channels").at("columns").at(2).at("head") == "Probe\n°F");
    CHECK(told.at("said").at(0).get<std::string>().find("channels agree within") != std::string::npos);
    // One table, wherever it is shown.
    CHECK(running.get("/report/2?units=us")->body.find(told.at("caption").get<std::string>()) != std::string::npos);
}

TEST_CASE("a card tells what is set now, by the clock, and there is none with gas aboard") {
    const RunningServer running;
    auto body = demo_bake();
    body["start"] = "2027-03-01T16:20";
    body["checked"] = {"rags"};
    body["title"] = "<i>clear</i>";
    const auto address = [](const nlohmann::json& task) {
        return "/card?task=" + bakewright::support::percent_encoded(task.dump());
    };
    const auto card = running.get(address(body));
    REQUIRE(card->status == 200);
    CHECK(card->body.find("starts 2027-03-01 16:20") != std::string::npos);
    CHECK(card->body.find("60 °C") != std::string::npos);
    CHECK(card->body.find("rocker panels") != std::string::npos);
    CHECK(card->body.find("<i>clear") == std::string::npos);
    CHECK(card->field("content-security-policy").find("sandbox") != std::string::npos);
    body["aboard"] = {"gas"};
    const auto refused = running.get(address(body));
    CHECK(refused->status == 409);
    CHECK(refused->body.find("LP-gas") != std::string::npos);
    CHECK(running.get("/card/99")->status == 400);
}

TEST_CASE("the card of a kept bake claims no check but those it is asked with") {
    const RunningServer running;
    auto body = demo_bake();
    body["checked"] = {"gas"};  // what was out when the bake was kept says nothing of the day it is baked
    const std::string path = "/card/" + std::to_string(running.post_json("/api/prepare/keep", body).at("bake").get<int>());
    const auto card = [&](const nlohmann::json& task) {
        return running.get(path + "?task=" + bakewright::support::percent_encoded(task.dump()));
    };
    const auto count = [](const std::string& text, const std::string& part) {
        std::size_t found = 0;
        for (std::size_t at = 0; (at = text.find(part, at)) != std::string::npos; at += part.size()) ++found;
        return found;
    };
    const std::size_t things = bakewright::report::checked_things().size();
    CHECK(count(running.get(path)->body, ">NOT CHECKED ") == things);
    const auto checked = card({{"checked", {"rags", "gas"}}, {"written_limit", {"struts"}}});
    REQUIRE(checked->status == 200);
    CHECK(count(checked->body, ">NOT CHECKED ") == things - 3);
    CHECK(count(checked->body, ">out ") == 2);
    CHECK(count(checked->body, ">in, by its written limit ") == 1);
    for (const char* still_in : {"gas", "tyres", "rags"}) CHECK(card({{"aboard", {still_in}}})->status == 409);
    CHECK(card({{"checked", {"rag"}}})->status == 400);
    CHECK(card({{"checked", {"all"}}})->status == 400);
}
