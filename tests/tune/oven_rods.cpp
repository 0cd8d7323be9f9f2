// SPDX-License-Identifier: Apache-2.0
#include "oven_rods.hpp"

#include <doctest/doctest.h>

#include <fstream>
#include <sstream>
#include <vector>

#include "bakewright/probe/map_channels.hpp"
#include "bakewright/probe/read_log.hpp"
#include "bakewright/profile/read.hpp"

namespace bakewright::test {
namespace {

const std::string kFolder = BAKEWRIGHT_TEST_DATA "/nist-oven-rods/";

const profile::Library& library() {
    static const profile::Library made({std::string(BAKEWRIGHT_PROFILES)});
    return made;
}

}  // namespace

TraceSet oven_log(const std::string& file, const std::vector<std::string>& rods) {
    std::ifstream stream(kFolder + file, std::ios::binary);
    std::ostringstream text;
    text << stream.rdbuf();
    REQUIRE(stream.good());
    TraceSet traces = probe::read_log(text.str(), kFolder + file).traces;
    std::vector<probe::MappingTarget> targets;
    for (const std::string& rod : rods) targets.push_back({rod, TraceRole::zone});
    const probe::MappingResult mapped = probe::map_channels(traces, {}, targets);
    REQUIRE(mapped.matched.size() >= rods.size());
    return traces;
}

bake::Shell oven_rods() { return profile::load_shell(kFolder + "profiles/oven_rods.toml", library()).record.shell; }
bake::Booth oven() { return profile::load_booth(kFolder + "profiles/convection_oven.toml", library()).record; }

}  // namespace bakewright::test
