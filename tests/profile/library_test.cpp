// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include "profile_texts.hpp"

using namespace bakewright;
using namespace profile_texts;
using profile::Kind;
using profile::Library;

namespace {

std::string refusal(const Library& library, Kind kind, std::string_view name) {
    try {
        return "found " + library.find(kind, name);
    } catch (const InputError& error) {
        return error.problems().front().text();
    }
}

}  // namespace

TEST_CASE("a name is looked up in the folder of its kind, the first directory winning") {
    const Folder mine;
    const Folder shipped;
    const std::string of_mine = mine.write("materials/steel.toml", kMaterial);
    shipped.write("materials/steel.toml", kMaterial);
    const std::string only_shipped = shipped.write("materials/zinc.toml", kMaterial);
    shipped.write("booths/steel.toml", kBooth);
    const Library library({mine.path(), shipped.path()});
    CHECK(library.find(Kind::material, "steel") == of_mine);
    CHECK(library.find(Kind::material, "zinc") == only_shipped);
    CHECK(library.names(Kind::material) == std::vector<std::string>{"steel", "zinc"});
    CHECK(library.names(Kind::cycle).empty());
}

TEST_CASE("a text with a slash or the ending .toml is a path") {
    CHECK(Library{}.find(Kind::shell, "my/van") == "my/van");
    CHECK(Library{}.find(Kind::shell, "van.toml") == "van.toml");
}

TEST_CASE("an unknown name is answered with the nearest one and where it was looked for") {
    const std::string near = refusal(shipped_library(), Kind::coating, "clear_two_componnt");
    CHECK(near.find("there is no coating named \"clear_two_componnt\"") != std::string::npos);
    CHECK(near.find("did you mean \"clear_two_component\"?") != std::string::npos);
    CHECK(near.find("coatings)") != std::string::npos);
    const std::string far = refusal(shipped_library(), Kind::booth, "xyz");
    CHECK(far.find("known: drive_through_insulated, single_skin, stirred_insulated") != std::string::npos);
    CHECK(refusal(Library{}, Kind::booth, "xyz").find("no profile folder") != std::string::npos);
}

TEST_CASE("a missing file, a directory and an unreadable text are refused with the file's name") {
    const Folder folder;
    const Library library({folder.path()});
    CHECK_THROWS_WITH_AS((void)profile::load_booth("nowhere/booth.toml", library), "nowhere/booth.toml: there is no such file",
                         InputError);
    CHECK_THROWS_AS((void)profile::load_booth(folder.path() + "/", library), InputError);
    CHECK_THROWS_AS((void)profile::load_booth("/dev/zero", library), InputError);
    const std::string large = folder.write("large.toml", std::string(2 * profile::kLargestProfileBytes, '#'));
    CHECK_THROWS_WITH_AS((void)profile::load_booth(large, library),
                         (large + ": is larger than 1 MiB; a profile is a page or two of text").c_str(), InputError);
}

TEST_CASE("loading throws every problem of a file at once") {
    const Folder folder;
    const std::string file = folder.write("m.toml", with(with(kMaterial, "0.6", "6"), "\"50 W/mK\"", "50"));
    try {
        (void)profile::load_material(file, Library{});
        FAIL("a material with two mistakes was taken");
    } catch (const InputError& error) {
        REQUIRE(error.problems().size() == 2);
        CHECK(error.problems()[0].file == file);
        CHECK(error.problems()[0].line == 5);
        CHECK(error.problems()[1].line == 6);
    }
}

TEST_CASE("a record takes its id from the file's name, or from its own key") {
    CHECK(profile::read_material(kMaterial, "some/folder/my_steel.toml").record.id == "my_steel");
    CHECK(profile::read_material("id = \"tin\"\n" + std::string(kMaterial), "my_steel.toml").record.id == "tin");
}
