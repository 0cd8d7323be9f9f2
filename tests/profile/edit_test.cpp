// SPDX-License-Identifier: Apache-2.0
#include "bakewright/profile/edit.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <sstream>

#include "bakewright/profile/fields.hpp"
#include "profile_texts.hpp"

using namespace bakewright;
using namespace profile_texts;
using profile::with_value;

namespace {

constexpr std::string_view kRemarked = R"(# our booth, June
kind = "booth"
title = "Größe # 2"  # not a remark inside
air = "normal"       # asked the maker
film = { low = "3 W/m2K", value = "5 W/m2K", high = "8 W/m2K" } # measured
wall = 'insulated'
vertical_profile = [
    { height = "0.3 m", offset = "-8 K" }, # floor
    { height = "3.2 m", offset = "8 K" },
]
[burner] # plate
turndown = 10 # full over least
[ventilation.bake]
make_up = "2 m3/s"
)";

/// Every line of a text is one of another's, but for so many.
int lines_that_differ(const std::string& text, const std::string& of) {
    int count = 0;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);)
        if (of.find(line + "\n") == std::string::npos) ++count;
    return count;
}

}  // namespace

TEST_CASE("a value is replaced where it stands, and nothing else of the text changes") {
    struct Case {
        std::string_view key, value, line;
    };
    for (const Case& one :
         {Case{"air", "\"strong\"", "air = \"strong\"       # asked the maker\n"},
          Case{"title", "\"x\"", "title = \"x\"  # not a remark inside\n"},
          Case{"wall", "\"single_skin\"", "wall = \"single_skin\"\n"},
          Case{"film.value", "\"4 W/m2K\"", "film = { low = \"3 W/m2K\", value = \"4 W/m2K\", high = \"8 W/m2K\" } # measured\n"},
          Case{"film", "\"5 W/m2K\"", "film = \"5 W/m2K\" # measured\n"},
          Case{"vertical_profile[1].offset", "\"7 K\"", "    { height = \"3.2 m\", offset = \"7 K\" },\n"},
          Case{"burner.turndown", "4", "turndown = 4 # full over least\n"},
          Case{"ventilation.bake.make_up", "\"1 m3/s\"", "make_up = \"1 m3/s\"\n"}}) {
        CAPTURE(one.key);
        const std::string text = with_value(kRemarked, one.key, one.value);
        CHECK(text.find(one.line) != std::string::npos);
        CHECK(lines_that_differ(text, std::string(kRemarked)) == 1);
        CHECK(profile::read_booth(text, "b.toml").problems.empty());
    }
}

TEST_CASE("a key that is not there is written behind the last of its table, with the table where that is missing too") {
    struct Case {
        std::string_view key, value, line;
    };
    for (const Case& one : {Case{"volume", "\"200 m3\"", "]\nvolume = \"200 m3\"\n[burner] # plate\n"},
                            Case{"burner.power", "\"90 kW\"", "turndown = 10 # full over least\npower = \"90 kW\"\n"},
                            Case{"ventilation.bake.film_factor", "0.5", "make_up = \"2 m3/s\"\nfilm_factor = 0.5\n"},
                            Case{"controller.kind", "\"ideal\"", "]\ncontroller = { kind = \"ideal\" }\n[burner]"}}) {
        CAPTURE(one.key);
        const std::string text = with_value(kRemarked, one.key, one.value);
        CAPTURE(text);
        CHECK(text.find(one.line) != std::string::npos);
        CHECK(lines_that_differ(std::string(kRemarked), text) == 0);
        CHECK(profile::read_booth(text, "b.toml").problems.empty());
    }
    CHECK(with_value("a = {}", "a.b", "1") == "a = { b = 1}");
    CHECK(with_value("a = { c = 2 }", "a.b", "1") == "a = { c = 2, b = 1 }");
}

TEST_CASE("what cannot be put in is refused, and the text is not made wrong") {
    CHECK_THROWS_AS((void)with_value("a = ", "b", "1"), InputError);
    CHECK_THROWS_AS((void)with_value(kRemarked, "volume", "\"200 m3"), InputError);
    CHECK_THROWS_AS((void)with_value(kRemarked, "vertical_profile[7].offset", "\"7 K\""), InputError);
    CHECK_THROWS_AS((void)with_value(kRemarked, "air.strength", "1"), InputError);
    CHECK_THROWS_AS((void)with_value(kRemarked, "burner", "1"), InputError);
}

TEST_CASE("every field of a profile that is there can be written anew, remarks and all, and reads the same") {
    for (const std::string& name : shipped_library().names(profile::Kind::booth)) {
        std::ifstream stream(shipped_library().find(profile::Kind::booth, name));
        std::stringstream whole;
        whole << stream.rdbuf();
        const std::string shipped = whole.str();
        const auto remarks = std::count(shipped.begin(), shipped.end(), '#');
        const bake::Booth before = profile::read_booth(whole.str(), name + ".toml").record;
        std::string text = whole.str();
        for (const FieldFacts& field : profile::fields_of(profile::Kind::booth))
            if (field.kind == FieldFacts::Kind::word && text.find("\n" + field.path + " = ") != std::string::npos)
                for (const std::string_view word : {field.words.back(), field.words.front()})
                    text = with_value(text, field.path, "\"" + std::string(word) + "\"");
        const bake::Booth after = profile::read_booth(text, name + ".toml").record;
        CAPTURE(name);
        CHECK(after.air == bake::AirStrength::gentle);
        CHECK(after.wall == bake::WallKind::insulated);
        CHECK(after.volume_m3 == before.volume_m3);
        CHECK(after.sources == before.sources);
        CHECK(std::count(text.begin(), text.end(), '#') == remarks);
    }
}

TEST_CASE("a key is taken out with its line and remark, or its entry") {
    struct Case {
        std::string_view key, gone;
    };
    for (const Case& one :
         {Case{"air", "air = \"normal\"       # asked the maker\n"}, Case{"burner.turndown", "turndown = 10 # full over least\n"},
          Case{"film.low", "low = \"3 W/m2K\", "}, Case{"film.high", ", high = \"8 W/m2K\""},
          Case{"vertical_profile",
               "vertical_profile = [\n    { height = \"0.3 m\", offset = \"-8 K\" }, # floor\n    { height = \"3.2 m\", offset = "
               "\"8 K\" },\n]\n"}}) {
        CAPTURE(one.key);
        std::string expected(kRemarked);
        expected.erase(expected.find(one.gone), one.gone.size());
        CHECK(profile::without_value(kRemarked, one.key) == expected);
    }
    CHECK(profile::without_value(kRemarked, "volume") == kRemarked);
    CHECK(profile::without_value("a = { b = 1 }\n", "a.b") == "a = { }\n");
    CHECK_THROWS_AS((void)profile::without_value(kRemarked, "vertical_profile[0]"), InputError);
    CHECK_THROWS_AS((void)profile::without_value("a = ", "a"), InputError);
}

namespace {

constexpr std::string_view kHeaded = R"(kind = "x"
# --- first ---

[[zone]]
name = "a [b] # c"
list = [
    [1, 2], # [[zone]]
]

# its own remark
[[zone]]
name = "b"
[zone.sources] # of b
one = "two"

# --- last ---
[end]
key = 1
)";

}  // namespace

TEST_CASE("what has a heading goes with its remark and the tables below it; sections of the text stay") {
    std::string expected(kHeaded);
    const std::string_view second = "\n# its own remark\n[[zone]]\nname = \"b\"\n[zone.sources] # of b\none = \"two\"\n";
    expected.erase(expected.find(second), second.size());
    CHECK(profile::without_value(kHeaded, "zone[1]") == expected);
    expected = kHeaded;
    const std::string_view first = "\n[[zone]]\nname = \"a [b] # c\"\nlist = [\n    [1, 2], # [[zone]]\n]\n";
    expected.erase(expected.find(first), first.size());
    CHECK(profile::without_value(kHeaded, "zone[0]") == expected);
    CHECK(profile::without_value(kHeaded, "end").ends_with("one = \"two\"\n"));  // with the remark right above it
}

TEST_CASE("an element is put behind the last of its list, or at the end") {
    std::string expected(kHeaded);
    expected.insert(expected.find("\n# --- last"), "\n[[zone]]\nname = \"c\"\n");
    CHECK(profile::with_element(kHeaded, "zone", "[[zone]]\nname = \"c\"\n") == expected);
    CHECK(profile::with_element(kHeaded, "link", "[[link]]\n") == std::string(kHeaded) + "\n[[link]]\n");
    CHECK(profile::with_element("a = 1", "link", "[[link]]\n") == "a = 1\n\n[[link]]\n");
    CHECK_THROWS_AS((void)profile::with_element("zone = [{ a = 1 }]", "zone", "[[zone]]\n"), InputError);
    CHECK_THROWS_AS((void)profile::with_element(kHeaded, "zone", "[[zone]\n"), InputError);
}

TEST_CASE("the remark behind a value is read and exchanged") {
    CHECK(profile::remark_behind(kRemarked, "air") == "asked the maker");
    CHECK(profile::remark_behind(kRemarked, "film") == "measured");
    CHECK(profile::remark_behind(kRemarked, "film.high").empty());
    CHECK(profile::remark_behind(kRemarked, "wall").empty());
    CHECK(profile::with_remark(kRemarked, "air", "typed").find("air = \"normal\"  # typed\n") != std::string::npos);
    CHECK(profile::with_remark(kRemarked, "air", "").find("air = \"normal\"\n") != std::string::npos);
    CHECK(profile::with_remark(kRemarked, "wall", "typed").find("wall = 'insulated'  # typed\n") != std::string::npos);
    CHECK(profile::with_remark(kRemarked, "film.high", "typed") == kRemarked);
}
