// SPDX-License-Identifier: Apache-2.0
#include "bakewright/probe/map_channels.hpp"

#include <doctest/doctest.h>

#include "log_text.hpp"

using namespace bakewright;
using namespace bakewright::probe;

namespace {

TraceSet log_with(const std::vector<std::string>& names) {
    TraceSet set;
    for (const std::string& name : names) set.traces.push_back({name, TraceRole::unmapped, {0.0, 1.0}, {300.0, 301.0}, {}});
    return set;
}

std::string problems_of(TraceSet& set, const std::vector<ChannelMapping>& given, const std::vector<MappingTarget>& targets = {}) {
    try {
        map_channels(set, given, targets);
    } catch (const InputError& error) {
        std::string out;
        for (const Problem& problem : error.problems()) out += problem.text() + "\n";
        return out;
    }
    return {};
}

}  // namespace

TEST_CASE("given entries set role and name, in any case of letters") {
    TraceSet set = log_with({"TC1", "TC2", "TC3"});
    const MappingResult result = map_channels(set, {{"TC1", TraceRole::zone, "roof skin"}, {"tc2", TraceRole::booth_air, ""}});
    CHECK(set.traces[0].name == "roof skin");
    CHECK(set.traces[0].role == TraceRole::zone);
    CHECK(set.traces[1].name == "TC2");
    CHECK(set.traces[1].role == TraceRole::booth_air);
    CHECK(set.traces[2].role == TraceRole::unmapped);
    REQUIRE(result.matched.size() == 2);
    CHECK(result.matched[0].channel == "TC1");
    CHECK(result.matched[0].how == "given");
    CHECK(result.unmatched == std::vector<std::string>{"TC3"});
}

TEST_CASE("channels take the names of zones and items they equal but for case and punctuation") {
    TraceSet set = log_with({"ROOF-SKIN", "Left sill", "frame"});
    const std::vector<MappingTarget> targets = {
        {"roof skin", TraceRole::zone}, {"left_sill", TraceRole::zone}, {"battery", TraceRole::item}};
    const MappingResult result = map_channels(set, {}, targets);
    CHECK(set.traces[0].name == "roof skin");
    CHECK(set.traces[1].name == "left_sill");
    CHECK(result.matched[1].how == "same name");
    CHECK(result.unmatched == std::vector<std::string>{"frame"});
}

TEST_CASE("the booth air is found by its words") {
    for (const std::string name : {"Air", "Oven temp", "booth_air", "Oven Temperature", "Booth air 1.5 m"}) {
        CAPTURE(name);
        TraceSet set = log_with({"roof", name, "room air", "interior air"});
        map_channels(set, {});
        CHECK(set.traces[1].role == TraceRole::booth_air);
        CHECK(set.traces[1].name == name);
        CHECK(set.traces[2].role == TraceRole::unmapped);
        CHECK(set.traces[3].role == TraceRole::unmapped);
    }
}

TEST_CASE("of several air channels the plainest is taken, and none where they are alike") {
    TraceSet plain = log_with({"Air high", "Air", "Air low"});
    map_channels(plain, {});
    CHECK(plain.traces[1].role == TraceRole::booth_air);
    TraceSet alike = log_with({"Air high", "Air low"});
    const MappingResult result = map_channels(alike, {});
    CHECK(alike.first(TraceRole::booth_air) == nullptr);
    REQUIRE(result.remarks.size() == 1);
    CHECK(probe_test::contains(result.remarks[0], "'Air high', 'Air low'"));
}

TEST_CASE("what the user gave is not overruled by a match") {
    TraceSet set = log_with({"roof", "air", "TC9"});
    map_channels(set, {{"TC9", TraceRole::booth_air, "booth air"}, {"roof", TraceRole::item, "fan"}},
                 {{"roof", TraceRole::zone}});
    CHECK(set.traces[0].name == "fan");
    CHECK(set.traces[0].role == TraceRole::item);
    CHECK(set.traces[1].role == TraceRole::unmapped);
}

TEST_CASE("mistakes are all told, and nothing is changed") {
    TraceSet set = log_with({"TC1", "TC2"});
    const std::string problems = problems_of(set, {{"TC1", TraceRole::zone, "roof"},
                                                   {"TC2", TraceRole::zone, "roof"},
                                                   {"TC7", TraceRole::zone, "sill"},
                                                   {"TC1", TraceRole::item, "fan"}});
    CHECK(probe_test::contains(problems, "no channel 'TC7'; it has 'TC1', 'TC2'"));
    CHECK(probe_test::contains(problems, "'TC1' is mapped twice"));
    CHECK(probe_test::contains(problems, "two channels would have the name 'roof'"));
    CHECK(set.traces[0].name == "TC1");
    CHECK(set.traces[0].role == TraceRole::unmapped);
}

TEST_CASE("a new name that another channel bears already is refused") {
    TraceSet set = log_with({"TC1", "roof"});
    CHECK(probe_test::contains(problems_of(set, {{"TC1", TraceRole::zone, "roof"}}), "two channels would have the name 'roof'"));
}
