// SPDX-License-Identifier: Apache-2.0
#include "jobs.hpp"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "bakewright/base/error.hpp"

using namespace bakewright::page;
using bakewright::InputError;
using bakewright::Progress;

namespace {

nlohmann::json state(Jobs& jobs, int number) { return nlohmann::json::parse(jobs.state(number).text); }

nlohmann::json state_at_end(Jobs& jobs, int number) {
    while (state(jobs, number).at("state") == "running") std::this_thread::yield();
    return state(jobs, number);
}

Json until_stopped(const Progress& progress) {
    while (progress(0.25)) std::this_thread::yield();
    return {};
}

}  // namespace

TEST_CASE("a job tells how far it is and what came of it") {
    Jobs jobs;
    std::atomic<bool> may_end = false;
    const int number = jobs.start([&](const Progress& progress) {
        CHECK(progress(0.5));
        while (!may_end) std::this_thread::yield();
        return Json{{"a", 1}};
    });
    while (state(jobs, number).at("share") != 0.5) std::this_thread::yield();
    CHECK(state(jobs, number).at("answer").is_null());
    may_end = true;
    const auto end = state_at_end(jobs, number);
    CHECK(end.at("state") == "done");
    CHECK(end.at("answer").at("a") == 1);
}

TEST_CASE("a job that throws has failed, with its problems") {
    Jobs jobs;
    const int number = jobs.start([](const Progress&) -> Json {
        throw InputError(bakewright::Problem{{}, 0, "hold", "is wrong"});
    });
    const auto end = state_at_end(jobs, number);
    CHECK(end.at("state") == "failed");
    CHECK(end.at("answer").at("problems").at(0).at("key") == "hold");
}

TEST_CASE("a job that is stopped ends soon and has no answer") {
    Jobs jobs;
    const int number = jobs.start(until_stopped);
    jobs.stop(number);
    const auto end = state_at_end(jobs, number);
    CHECK(end.at("state") == "stopped");
    CHECK(end.at("answer").is_null());
    CHECK_THROWS_AS(jobs.stop(999), InputError);
    CHECK_THROWS_AS(static_cast<void>(jobs.state(999)), InputError);
}

TEST_CASE("jobs are bounded, and old ones make room") {
    Jobs jobs;
    for (std::size_t i = 0; i < Jobs::kMostRunning; ++i) static_cast<void>(jobs.start(until_stopped));
    CHECK_THROWS_AS(static_cast<void>(jobs.start(until_stopped)), InputError);
    for (std::size_t i = 1; i <= Jobs::kMostRunning; ++i) jobs.stop(static_cast<int>(i));
    for (std::size_t i = 1; i <= Jobs::kMostRunning; ++i) static_cast<void>(state_at_end(jobs, static_cast<int>(i)));
    int last = 0;
    for (std::size_t i = 0; i < 2 * Jobs::kMostKept; ++i) {
        last = jobs.start([](const Progress&) { return Json::object(); });
        static_cast<void>(state_at_end(jobs, last));
    }
    CHECK(state(jobs, last).at("state") == "done");
    CHECK_THROWS_AS(static_cast<void>(jobs.state(1)), InputError);
}

TEST_CASE("an end of everything waits for what goes on") {
    Jobs jobs;
    std::atomic<bool> has_ended = false;
    static_cast<void>(jobs.start([&](const Progress& progress) {
        Json answer = until_stopped(progress);
        has_ended = true;
        return answer;
    }));
    jobs.stop_all();
    CHECK(has_ended);
}
