// SPDX-License-Identifier: Apache-2.0
#include "bakewright/builder/parts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <sstream>

#include "bakewright/builder/joints.hpp"
#include "bakewright/profile/file_text.hpp"
#include "bakewright/profile/read.hpp"
#include "builder_support.hpp"

using namespace bakewright;
using namespace builder_support;
using builder::Answers;
using builder::PartWords;

namespace {

std::string made_van() {
    static const std::string text = builder::build_shell("outreach_van", outreach_van(), shipped()).text;
    return text;
}

std::string demo_van() { return profile::file_text(shipped().find_name(profile::Kind::shell, "library_van")); }

PartWords part_of(const std::string& text, const std::string& name) {
    for (PartWords& part : builder::parts_in(text, shipped()).parts)
        if (part.name == name) return part;
    FAIL("no part " << name);
    return {};
}

std::string changed(const std::string& text, const std::string& part, const Answers& said) {
    return builder::with_part_changed(text, part, said, shipped()).text;
}

bake::Shell shell_of(const std::string& text) { return profile::read_shell(text, "s.toml", shipped()).record.shell; }
const bake::Zone& zone_of(const bake::Shell& shell, const std::string& name) { return *shell.find_zone(name); }

/// Lines of one text that another has not.
std::vector<std::string> lines_beyond(const std::string& text, const std::string& other) {
    std::vector<std::string> lines;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);)
        if (("\n" + other).find("\n" + line + "\n") == std::string::npos) lines.push_back(line);
    return lines;
}

std::size_t number_of_link(const std::string& text, const std::string& part, const std::string& other) {
    for (const builder::JointWords& joint : part_of(text, part).joints)
        if (joint.part == other) return joint.link;
    FAIL("no joint of " << part << " with " << other);
    return 0;
}

/// Key that was not understood, or "understood".
std::string key_asked(const std::string& text, const std::string& part, const Answers& said) {
    try {
        static_cast<void>(changed(text, part, said));
        return "understood";
    } catch (const builder::AnswerNotUnderstood& asked) {
        return asked.key();
    }
}

}  // namespace

TEST_CASE("what a form shows, said again, leaves a text as it is to the byte") {
    for (const std::string& text : {made_van(), demo_van()})
        for (const PartWords& part : builder::parts_in(text, shipped()).parts) {
            CAPTURE(part.name);
            Answers said{{"title", part.title}, {"behind", part.behind}, {"finish", part.finish}, {"area", part.area}};
            for (std::size_t i = 0; i < part.layers.size(); ++i) {
                said["material[" + std::to_string(i) + "]"] = part.layers[i].material;
                said["thickness[" + std::to_string(i) + "]"] = part.layers[i].thickness;
            }
            for (const builder::JointWords& joint : part.joints) {
                said["joint[" + std::to_string(joint.link) + "]"] = joint.how;
                said["extent[" + std::to_string(joint.link) + "]"] = joint.extent;
            }
            CHECK(changed(text, part.name, said) == text);
        }
}

TEST_CASE("a thickness is put where it stands, in the unit that was said, and remarks by hand stay") {
    const std::string before = demo_van(), after = changed(before, "wheel_arches", {{"thickness[0]", "16 ga"}});
    CHECK(lines_beyond(after, before) ==
          std::vector<std::string>{R"(layers = [{ material = "mild_steel", thickness = "16 gauge" }])"});
    CHECK(std::count(after.begin(), after.end(), '#') == std::count(before.begin(), before.end(), '#'));
    // Source: published steel gauge, 16 = 1.518 mm (Manufacturers' Standard). Tolerance: its last digit.
    CHECK(is_near(zone_of(shell_of(after), "wheel_arches").layers[0].thickness_m, 1.518e-3, 1e-6));
    CHECK(is_near(
        zone_of(shell_of(changed(before, "wheel_arches", {{"thickness[0]", "3/16\""}})), "wheel_arches").layers[0].thickness_m,
        4.7625e-3, 1e-9));
}

TEST_CASE("of a generated shell what was assumed becomes typed, and nothing else changes its remark") {
    const std::string after = changed(made_van(), "box_sides_upper", {{"thickness[0]", "1.5"}, {"area", "8 m2"}});
    CHECK(part_of(made_van(), "box_sides_upper").is_assumed);
    CHECK_FALSE(part_of(after, "box_sides_upper").is_assumed);
    std::vector<std::string> lines = lines_beyond(after, made_van());
    std::erase_if(lines, [](const std::string& line) { return line.starts_with("conductance"); });  // they follow the sheet
    CHECK(lines == std::vector<std::string>{"area = \"8 m2\"  # typed",
                                            "    { material = \"mild_steel\", thickness = \"1.5 mm\" },", "]  # typed"});
    CHECK(zone_of(shell_of(after), "box_sides_upper").area_m2 == 8.0);
}

TEST_CASE("another material goes by the shop's words, and a gauge it has not is asked about") {
    const std::string ally = changed(demo_van(), "roof_skin", {{"material[0]", "ally"}, {"thickness[0]", "1.5 mm"}});
    CHECK(zone_of(shell_of(ally), "roof_skin").layers[0].material.id == "aluminium_5052");
    CHECK(key_asked(demo_van(), "roof_skin", {{"material[0]", "GRP"}}) == "thickness[0]");
    CHECK(key_asked(demo_van(), "roof_skin", {{"material[0]", "foam"}}) == "material[0]");
    CHECK(key_asked(demo_van(), "roof_skin", {{"thickness[0]", "thick"}}) == "thickness[0]");
}

TEST_CASE("layers that come and go are written anew, others keep what is said of them") {
    const std::string three = changed(demo_van(), "roof_skin",
                                      {{"material[0]", "mild steel"},
                                       {"thickness[0]", "18 gauge"},
                                       {"material[1]", "gap"},
                                       {"thickness[1]", "30"},
                                       {"material[2]", "ply"},
                                       {"thickness[2]", "3 mm"}});
    const bake::Shell with_lining = shell_of(three);
    const bake::Zone& roof = zone_of(with_lining, "roof_skin");
    REQUIRE(roof.layers.size() == 3);
    CHECK(roof.layers[0] == zone_of(shell_of(demo_van()), "roof_skin").layers[0]);
    CHECK(roof.layers[1].kind == bake::Layer::Kind::air_gap);
    CHECK(is_near(roof.layers[1].thickness_m, 0.03, 1e-12));
    CHECK(roof.layers[2].material.id == "plywood");
    CHECK(
        key_asked(demo_van(), "roof_skin",
                  {{"material[0]", "mild steel"}, {"thickness[0]", "1 mm"}, {"material[1]", "gap"}, {"thickness[1]", "30 mm"}}) ==
        "material[0]");
}

TEST_CASE("what is behind a part: the booth, the inside, a box section, a lining") {
    const auto inner = [](const std::string& text) { return zone_of(shell_of(text), "rocker_panels").inner; };
    CHECK(inner(changed(demo_van(), "rocker_panels", {{"behind", "booth"}})).view == bake::FaceView::booth);
    CHECK(inner(changed(demo_van(), "rocker_panels", {{"behind", "cavity interior"}})).cavity == "interior");
    const std::string closed = changed(demo_van(), "roof_skin", {{"behind", "nothing"}});
    CHECK(zone_of(shell_of(closed), "roof_skin").inner == bake::Face{});
    const std::string lined = changed(demo_van(), "rocker_panels", {{"behind", "lining"}});
    CHECK(zone_of(shell_of(lined), "rocker_panels").layers.size() == 3);
    CHECK(inner(lined).cavity == "interior");
}

TEST_CASE("a shell without air inside gets it with the first part that looks at it") {
    std::string open = R"(kind = "shell"
title = "box"
size = { length = "4 m", width = "2 m", height = "2 m" }

[[zone]]
name = "side"
area = "8 m2"
height = "1 m"
layers = [{ material = "mild_steel", thickness = "1 mm" }]
)";
    const bake::Shell shell = shell_of(changed(open, "side", {{"behind", "cavity"}}));
    REQUIRE(shell.cavities.size() == 1);
    CHECK(is_near(shell.cavities[0].volume_m3, 0.7 * 4.0 * 2.0 * 2.0, 0.05));  // rounded to a tenth
    CHECK(shell.zones[0].inner.cavity == shell.cavities[0].name);
    open.erase(open.find("size"), open.find("[[zone]]") - open.find("size"));
    CHECK(key_asked(open, "side", {{"behind", "cavity"}}) == "behind");
}

TEST_CASE("a finish says whether a part is judged, covered, and how it takes heat") {
    const auto face = [](const std::string& finish, const std::string& part) {
        const bake::Shell shell = shell_of(changed(demo_van(), part, {{"finish", finish}}));
        CHECK(part_of(changed(demo_van(), part, {{"finish", finish}}), part).finish == finish);
        return std::pair{zone_of(shell, part).coated, zone_of(shell, part).outer};
    };
    bake::Face to_booth;
    to_booth.view = bake::FaceView::booth;
    CHECK(face("painted", "rub_rail") == std::pair{true, to_booth});
    CHECK(face("bare", "roof_skin").second.emissivity ==
          zone_of(shell_of(demo_van()), "roof_skin").layers[0].material.emissivity);
    CHECK_FALSE(face("primed", "roof_skin").first);
    CHECK(face("primed", "roof_skin").second.emissivity == 0.9);
    CHECK(face("masked", "roof_skin").second.masking == bake::Masking::paper);
    CHECK(face("painted", "belt_trim").second.masking == bake::Masking::none);
}

TEST_CASE("a joint by what one sees has the heat path of that seam, and reads back as what was said") {
    const std::size_t link = number_of_link(made_van(), "box_sides_upper", "posts");
    const std::string key = std::to_string(link);
    CHECK(part_of(made_van(), "posts").joints.size() >= 4);
    const std::string welded = changed(made_van(), "box_sides_upper", {{"joint[" + key + "]", "welded"}});
    const bake::Shell shell = shell_of(welded);
    // 18 ga steel over posts, welded all along 14 m: 1.559 W/mK a metre (Incropera & DeWitt, table 3.4; seams_test.cpp).
    // Tolerance: 0.02 W/K, three digits of the metre's number.
    CHECK(is_near(shell.links[link].conductance_w_per_k, 14.0 * 1.559, 0.02));
    CHECK(shell.links[link].seam_m == 14.0);
    for (const builder::JointWords& joint : part_of(welded, "box_sides_upper").joints)
        if (joint.link == link) {
            CHECK(joint.how == "welded all along");
            CHECK(joint.extent == "14 m");
        }
    const std::string shorter = changed(welded, "box_sides_upper", {{"extent[" + key + "]", "7 m"}});
    CHECK(is_near(shell_of(shorter).links[link].conductance_w_per_k, 7.0 * 1.559, 0.01));
    const std::string loose = changed(made_van(), "box_sides_upper", {{"joint[" + key + "]", "not touching"}});
    CHECK(shell_of(loose).links.size() + 1 == shell.links.size());
    CHECK(std::ranges::none_of(shell_of(loose).links,
                               [](const bake::Link& one) { return one.from == "box_sides_upper" && one.to == "posts"; }));
}

TEST_CASE("a seam that becomes bolts counts them along its length, and a hand's number stays until it is said anew") {
    const std::string key = std::to_string(number_of_link(made_van(), "box_sides_upper", "posts"));
    const std::string bolted = changed(made_van(), "box_sides_upper", {{"joint[" + key + "]", "bolts"}});
    CHECK(part_of(bolted, "box_sides_upper").joints[0].extent == "47");  // 14 m, one every 0.3 m
    const std::size_t door = number_of_link(demo_van(), "door", "frame_posts");
    CHECK(part_of(demo_van(), "door").joints[0].how.empty());
    const std::string hinged = changed(
        demo_van(), "door", {{"joint[" + std::to_string(door) + "]", "hinges"}, {"extent[" + std::to_string(door) + "]", "3"}});
    CHECK(is_near(shell_of(hinged).links[door].conductance_w_per_k, 3 * 0.15, 1e-12));
    CHECK(hinged.find("three hinges; common practice") == std::string::npos);
    const std::size_t roof = number_of_link(demo_van(), "roof_skin", "frame_posts");  // a contact so far
    const std::string spots = changed(demo_van(), "roof_skin", {{"joint[" + std::to_string(roof) + "]", "spots"}});
    CHECK(shell_of(spots).links[roof].seam_m == 29.0);
    // Spots over a post: 1.188 W/mK, 29 m. Tolerance: three digits.
    CHECK(is_near(shell_of(spots).links[roof].conductance_w_per_k, 29.0 * 1.188, 0.03));
}

TEST_CASE("a joint more takes its length from the drawing, or asks") {
    const std::string joined = changed(demo_van(), "front_cap", {{"join", "side_upper"}, {"join_how", "glued"}});
    const bake::Link& link = shell_of(joined).links.back();
    CHECK(link.from == "front_cap");
    // The cap's rear edge and the skin's front one: 0.57 to 0.92 of 3.2 m, on both sides. Tolerance: rounded to 0.1 m.
    CHECK(is_near(link.seam_m.value_or(0.0), 2.0 * 0.35 * 3.2, 0.05));
    CHECK(key_asked(demo_van(), "front_cap", {{"join", "floor"}, {"join_how", "glued"}}) == "join_extent");
    CHECK(key_asked(demo_van(), "front_cap", {{"join", "floor"}, {"join_how", "magnets"}}) == "join_how");
}

TEST_CASE("a part is added by side and extents, and reads as a hand would have written it") {
    const builder::PartEdit edit = builder::with_part_added(demo_van(),
                                                            {{"title", "Side locker"},
                                                             {"side", "right_side"},
                                                             {"from", "2.2 m"},
                                                             {"to", "4.4 m"},
                                                             {"low", "0.8 m"},
                                                             {"high", "1.6 m"},
                                                             {"made_of", "1.5 mm ally"}},
                                                            shipped());
    const bake::Shell shell = shell_of(edit.text);
    const bake::Zone& locker = zone_of(shell, edit.part);
    CHECK(edit.part == "side_locker");
    CHECK(is_near(locker.area_m2, 2.2 * 0.8, 1e-4));  // four decimals are written
    CHECK(is_near(locker.height_m, 1.2, 1e-3));
    CHECK(locker.inner.cavity == "interior");
    CHECK(locker.coated);
    CHECK(lines_beyond(demo_van(), edit.text).empty());  // nothing was taken away
    CHECK(shell.zones.back().name == edit.part);
    const auto both = builder::with_part_added(
        demo_van(), {{"title", "roof skin"}, {"side", "top"}, {"made_of", "18 ga steel"}, {"finish", "bare"}}, shipped());
    CHECK(both.part == "roof_skin_2");
    CHECK_FALSE(zone_of(shell_of(both.text), both.part).coated);
    CHECK_THROWS_AS((void)builder::with_part_added(
                        demo_van(), {{"title", "x"}, {"side", "top"}, {"to", "12 m"}, {"made_of", "18 ga steel"}}, shipped()),
                    builder::AnswerNotUnderstood);
}

TEST_CASE("a part that is taken out takes its joints and items with it, and nothing else") {
    const std::string left = builder::without_part(demo_van(), "front_cap", shipped()).text;
    const bake::Shell before = shell_of(demo_van()), after = shell_of(left);
    CHECK(after.zones.size() + 1 == before.zones.size());
    CHECK(after.links.size() + 1 == before.links.size());
    CHECK(after.items.size() + 1 == before.items.size());
    CHECK(lines_beyond(left, demo_van()).empty());
    CHECK(left.find("# --- caps ---") != std::string::npos);
    CHECK(left.find("# --- frame: primed") != std::string::npos);
    CHECK_THROWS_AS((void)builder::without_part(demo_van(), "nothing", shipped()), InputError);
}

TEST_CASE("every part of a generated shell can be taken out, and added parts be changed") {
    const bake::Shell whole = shell_of(made_van());
    for (const bake::Zone& zone : whole.zones) {
        CAPTURE(zone.name);
        const bake::Shell left = shell_of(builder::without_part(made_van(), zone.name, shipped()).text);
        CHECK(left.zones.size() + 1 == whole.zones.size());
        CHECK(left.find_zone(zone.name) == nullptr);
        CHECK(left.cavities == whole.cavities);
    }
}

TEST_CASE("heat paths that follow from a sheet follow its thickness; a hand's number stays") {
    const std::string thick = changed(made_van(), "box_sides_upper", {{"thickness[0]", "16 ga"}});
    const bake::Shell before = shell_of(made_van()), after = shell_of(thick);
    const std::size_t posts = number_of_link(made_van(), "box_sides_upper", "posts");
    // Spots over posts, 14 m: G' = 1 / (1 / (2 sqrt(k t h)) + 0.2), k 50, h 10, 16 ga = 1.518 mm: 1.291 W/mK (Incropera & DeWitt,
    // 6th ed., table 3.4). Tolerance: 0.02 W/K of 18, its digits.
    CHECK(is_near(after.links[posts].conductance_w_per_k, 14.0 / (1.0 / (2.0 * std::sqrt(50.0 * 1.518e-3 * 10.0)) + 0.2), 0.02));
    for (std::size_t i = 0; i < before.links.size(); ++i) {
        const bool is_its = before.links[i].from == "box_sides_upper" || before.links[i].to == "box_sides_upper";
        CAPTURE(i);
        CHECK((before.links[i] == after.links[i]) == !is_its);
    }
    const bake::Shell by_hand = shell_of(changed(demo_van(), "door", {{"thickness[0]", "2 mm"}}));
    CHECK(by_hand.links == shell_of(demo_van()).links);
}

TEST_CASE("a part that is moved on the drawing goes to other air, and one that is resized has another area") {
    const std::string text = made_van();
    const PartWords before = part_of(text, "box_sides_upper");
    REQUIRE(before.places.size() >= 1);
    const bake::Zone was = zone_of(shell_of(text), "box_sides_upper");
    const auto metres = [](const std::string& words) { return std::stod(words); };
    const double low = metres(before.places[0].low), high = metres(before.places[0].high);
    const auto length = [](double value) { return fmt::format("{:.2f} m", value); };
    // Down by 0.2 m: the same area, the air 0.2 m lower. Tolerance: shares are written with four digits of 2.9 m.
    const std::string moved =
        changed(text, "box_sides_upper", {{"place[0].low", length(low - 0.2)}, {"place[0].high", length(high - 0.2)}});
    const bake::Zone down = zone_of(shell_of(moved), "box_sides_upper");
    CHECK(std::abs(down.height_m - (was.height_m - 0.2)) <= 0.006);
    CHECK(std::abs(down.area_m2 - was.area_m2) <= 0.03);
    // Half as high: half the area and length along the air, its mass with it, the middle where the drawing has it.
    const std::string halved = changed(text, "box_sides_upper", {{"place[0].low", length(0.5 * (low + high))}});
    const bake::Zone half = zone_of(shell_of(halved), "box_sides_upper");
    CHECK(std::abs(half.area_m2 / was.area_m2 - 0.5) <= 0.01);
    CHECK(std::abs(half.length_m / was.length_m - 0.5) <= 0.01);
    CHECK(std::abs(half.height_m - (was.height_m + 0.25 * (high - low))) <= 0.006);
    CHECK(std::abs(part_of(halved, "box_sides_upper").mass_kg / before.mass_kg - 0.5) <= 0.01);
    // Remarks of everybody stay, and nothing else than the part's lines changes.
    CHECK(std::count(moved.begin(), moved.end(), '#') == std::count(text.begin(), text.end(), '#'));
    CHECK(lines_beyond(moved, text).size() <= 3);
    // What is as it was already is not touched; there and back is where it was.
    CHECK(changed(text, "box_sides_upper", {{"place[0].low", before.places[0].low}, {"place[0].from", before.places[0].from}}) ==
          text);
    const std::string back = changed(moved, "box_sides_upper", {{"place[0].low", length(low)}, {"place[0].high", length(high)}});
    CHECK(std::abs(zone_of(shell_of(back), "box_sides_upper").height_m - was.height_m) <= 0.006);
}

TEST_CASE("an area that somebody wrote stays where a part is resized, and that is said") {
    const std::string text = demo_van();
    const PartWords before = part_of(text, "side_lower");
    const builder::PartEdit edit = builder::with_part_changed(text, "side_lower", {{"place[0].to", "6 m"}}, shipped());
    CHECK(zone_of(shell_of(edit.text), "side_lower").area_m2 == before.area_m2);
    CHECK(std::ranges::any_of(edit.understood, [](const builder::Understood& one) {
        return one.key == "area" && one.said.find("stays") != std::string::npos;
    }));
    // Said in the same breath it counts.
    const std::string both = changed(text, "side_lower", {{"place[0].to", "6 m"}, {"area", "5 m2"}});
    CHECK(zone_of(shell_of(both), "side_lower").area_m2 == 5.0);
    // On the roof moving along changes no height.
    const double roof_m = part_of(text, "roof_skin").height_m;
    CHECK(part_of(changed(text, "roof_skin", {{"place[0].from", "2 m"}}), "roof_skin").height_m == roof_m);
}

TEST_CASE("a place beyond the shell, or upside down, is asked about") {
    const std::string text = made_van();
    CHECK(key_asked(text, "box_sides_upper", {{"place[0].to", "70 m"}}) == "place[0].to");
    CHECK(key_asked(text, "box_sides_upper", {{"place[0].low", "2.8 m"}, {"place[0].high", "1 m"}}) == "place[0].high");
    CHECK(key_asked(text, "box_sides_upper", {{"place[0].side", "cellar"}}) == "place[0].side");
    CHECK(key_asked(text, "box_sides_upper", {{"place[0].from", "soon"}}) == "place[0].from");
}
