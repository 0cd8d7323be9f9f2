// SPDX-License-Identifier: Apache-2.0
#include "bakewright/builder/sanity.hpp"

#include <algorithm>

#include "bakewright/builder/parts.hpp"
#include "bakewright/profile/edit.hpp"
#include "bakewright/profile/file_text.hpp"
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

TEST_CASE("answers that a profile keeps are as it was made: a change on the drawing or by hand is told, and they stay") {
    const auto says = [](const std::vector<std::string>& notes) {
        return std::ranges::any_of(notes, [](const std::string& note) { return note.starts_with("answers:"); });
    };
    using profile::Kind;
    const std::string made = builder::build_shell("outreach_van", outreach_van(), shipped()).text;
    CHECK_FALSE(says(builder::notes_on(Kind::shell, made, "outreach_van", shipped())));
    const std::string thicker = builder::with_part_changed(made, "box_sides_upper", {{"thickness[0]", "3 mm"}}, shipped()).text;
    CHECK(says(builder::notes_on(Kind::shell, thicker, "outreach_van", shipped())));
    CHECK(profile::read_shell(thicker, "outreach_van.toml", shipped()).record.shell.answers == outreach_van());
    CHECK(says(builder::notes_on(Kind::shell, builder::without_part(made, "box_sides_upper", shipped()).text, "outreach_van",
                                 shipped())));
    // Taken back it is as it was made; a remark changes nothing.
    CHECK_FALSE(says(builder::notes_on(Kind::shell, "# ours\n" + made, "outreach_van", shipped())));
    const std::string booth = builder::build_booth("north", {{"size", "11 x 5 x 4.5 m"}, {"heat", "150 kW"}}).text;
    CHECK_FALSE(says(builder::notes_on(Kind::booth, booth, "north", shipped())));
    CHECK(says(builder::notes_on(Kind::booth, profile::with_value(booth, "burner.power", "\"120 kW\""), "north", shipped())));
    CHECK(says(builder::notes_on(Kind::booth, profile::with_value(booth, "answers.size", "\"wide\""), "north", shipped())));
    const std::string coating = builder::build_coating("clear", {{"bakes", "35 min at 60 C"}}).text;
    CHECK_FALSE(says(builder::notes_on(Kind::coating, coating, "clear", shipped())));
    CHECK(says(builder::notes_on(Kind::coating, profile::with_value(coating, "title", "\"another\""), "clear", shipped())));
    // Nobody is told of answers that there are not.
    CHECK_FALSE(says(builder::notes_on(Kind::shell, profile::file_text(shipped().find_name(Kind::shell, "library_van")),
                                       "library_van", shipped())));
}
