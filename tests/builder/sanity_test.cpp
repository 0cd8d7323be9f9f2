// SPDX-License-Identifier: Apache-2.0
#include "bakewright/builder/sanity.hpp"

#include <algorithm>

#include "bakewright/profile/read.hpp"
#include "builder_support.hpp"

using namespace bakewright;
using namespace builder_support;

namespace {

std::vector<std::string> questions_about(const profile::ShellProfile& profile) {
    std::vector<std::string> questions;
    for (const builder::Doubt& doubt : builder::doubts_in(profile)) questions.push_back(doubt.question);
    return questions;
}

profile::ShellProfile van() { return builder::build_shell("own", outreach_van(), shipped()).shell; }

bake::Zone& zone_of(profile::ShellProfile& profile, const std::string& name) {
    const auto found = std::ranges::find(profile.shell.zones, name, &bake::Zone::name);
    REQUIRE(found != profile.shell.zones.end());
    return *found;
}

}  // namespace

TEST_CASE("shells that are whole are asked nothing: every shipped one, and what questions make") {
    const profile::Library library = shipped();
    for (const std::string& name : library.names(profile::Kind::shell)) {
        CAPTURE(name);
        CHECK(questions_about(profile::load_shell(name, library).record) == std::vector<std::string>{});
    }
    CHECK(questions_about(van()) == std::vector<std::string>{});
}

TEST_CASE("heavy metal without a heat path, air left out, a part without a place, an area too large are asked about") {
    const auto asks = [](const profile::ShellProfile& profile, const char* about) {
        const std::vector<std::string> questions = questions_about(profile);
        REQUIRE(questions.size() == 1);
        CAPTURE(questions[0]);
        CHECK(questions[0].find(about) != std::string::npos);
    };
    profile::ShellProfile loose = van();
    std::erase_if(loose.shell.links, [](const bake::Link& link) { return link.from == "posts" || link.to == "posts"; });
    asks(loose, "posts and bows, 142 kg of metal: no heat path");
    profile::ShellProfile airless = van();
    airless.shell.cavities.clear();
    asks(airless, "air inside, about 33 m3");
    profile::ShellProfile lost = van();
    zone_of(lost, "rear_doors").places.clear();
    asks(lost, "Where is rear doors?");
    profile::ShellProfile large = van();
    zone_of(large, "box_roof").area_m2 = 19.0;
    asks(large, "box roof of 19 m2?");
    profile::ShellProfile heavy = van();
    heavy.shell.answers["mass"] = "900 kg";
    asks(heavy, "The parts weigh 1089 kg, you said 900 kg");
}
