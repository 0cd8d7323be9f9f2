// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include "profile_texts.hpp"

using namespace bakewright;
using namespace profile_texts;

TEST_CASE("the line of a key is found by its path, and that of a missing key by its table") {
    const auto located = profile::read_shell(kShell, "s.toml", {});
    CHECK(located.lines.line_of("zone[0].area") == 13);
    CHECK(located.lines.line_of("zone[0].layers[1].gap") == 17);
    CHECK(located.lines.line_of("zone[0].outer.masking") == 20);
    CHECK(located.lines.line_of("zone[1].inner.emissivity") == 22);
    CHECK(located.lines.line_of("item[0].limits[1].scope") == 47);
    CHECK(located.lines.line_of("nothing.of.the.kind") == 1);
    CHECK(profile::LineIndex{}.line_of("zone") == 0);
}

TEST_CASE("problems found later get the file and the line of their key; those with a file keep it") {
    const auto located = profile::read_cycle(kCycle, "y.toml");
    bake::Booth booth;
    booth.highest_setpoint_k = 300.0;
    const std::vector<Problem> problems = profile::locate(problems_in(located.record, booth), located);
    REQUIRE_FALSE(problems.empty());
    CHECK(problems.front().file == "y.toml");
    CHECK(problems.front().line == 5);
    CHECK(problems.front().message.find("hotter than the booth") != std::string::npos);
    CHECK(problems.front().message.ends_with("accepted is up to 26.85 degC"));  // the unit that is written there
    const std::vector<Problem> kept = profile::locate({Problem{"other.toml", 7, "stage[0].setpoint", "x"}}, located);
    CHECK(kept.front().file == "other.toml");
    CHECK(kept.front().line == 7);
}
