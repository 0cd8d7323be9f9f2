// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include "profile_texts.hpp"

using namespace bakewright;
using namespace profile_texts;

TEST_CASE("a mistake in a shell is told with its line and what is accepted") {
    const std::vector<Mistake> mistakes{
        {"unknown material", "{ material = \"steel\", thickness = \"18 gauge\" }",
         "{ material = \"stel\", thickness = \"1 mm\" }", 16,
         "zone[0].layers[0].material: unknown material \"stel\"; did you mean \"steel\"?"},
        {"material defined twice", "[[zone]]",
         "[[material]]\nid = \"steel\"\ndensity = \"1000 kg/m3\"\nspecific_heat = \"470 J/kgK\"\n"
         "conductivity = \"50 W/mK\"\n[[zone]]",
         12, "\"steel\" is defined twice"},
        {"material out of range, told once", "\"7850 kg/m3\"", "\"0 kg/m3\"", 6, "material[0].density: is 0 kg/m3"},
        {"negative thickness", "\"1 mm\"", "\"-1 mm\"", 18, "zone[0].layers[2].thickness"},
        {"bare thickness", "\"1 mm\"", "1", 18, "zone[0].layers[2].thickness: is the bare number 1; expected a length"},
        {"gauge of a material without gauge", "gauge = \"steel\"\n", "", 15, "zone[0].layers[0].thickness"},
        {"gap with a material", "{ gap = \"20 mm\" }", "{ gap = \"20 mm\", material = \"steel\" }", 17, "does not go with gap"},
        {"gap at the face", "{ material = \"steel\", thickness = \"18 gauge\" },\n", "\n", 17, "zone[0].layers[0].gap"},
        {"no layers", "layers = [{ material = \"steel\", thickness = \"3 mm\" }]\n", "", 22, "zone[1].layers: is missing"},
        {"zero area", "\"20 m2\"", "\"0 m2\"", 13, "zone[0].area"},
        {"no area", "area = \"20 m2\"\n", "", 11, "zone[0].area: is missing; expected"},
        {"no name", "name = \"sill\"\n", "", 22, "zone[1].name: is missing"},
        {"name used twice", "name = \"battery\"", "name = \"roof\"", 41, "item[0].name"},
        {"name with a control character", "name = \"interior\"", "name = \"interior\\u001b[31m\"", 37,
         "holds a control character"},
        {"unknown view", "view = \"booth\"", "view = \"boot\"", 20, "(did you mean \"booth\"?)"},
        {"view into no cavity", ", cavity = \"interior\" }", " }", 21, "zone[0].inner.cavity: is missing"},
        {"unknown cavity of a face", "cavity = \"interior\" }", "cavity = \"interor\" }", 21, "zone[0].inner.cavity"},
        {"unknown masking", "\"paper\"", "\"cloth\"", 20, "expected \"none\", \"paper\" or \"film\""},
        {"emissivity out of range", "emissivity = 0.9", "emissivity = 9", 20, "zone[0].outer.emissivity"},
        {"link to itself", "to = \"sill\"", "to = \"roof\"", 30, "link[0].to"},
        {"link to nowhere", "to = \"sill\"", "to = \"still\"", 30, "link[0].to"},
        {"link without conductance", "conductance = \"20 W/K\"\n", "", 28, "link[0].conductance: is missing"},
        {"negative conductance", "\"20 W/K\"", "\"-20 W/K\"", 31, "link[0].conductance"},
        {"conductance given twice", "contact =", "conductance = \"1 W/K\"\ncontact =", 35, "write either conductance or contact"},
        {"contact of no length", "\"70 mm\"", "\"0 mm\"", 35, "link[1].contact.length: must be greater than 0"},
        {"contact that is no table", "{ area = \"0.14 m2\", length = \"70 mm\", material = \"steel\" }", "1", 35,
         "link[1].contact: is the bare number 1"},
        {"cavity without volume", "volume = \"40 m3\"\n", "", 36, "cavity[0].volume: is missing"},
        {"item in two places", "cavity = \"interior\"\nmass", "cavity = \"interior\"\nzone = \"roof\"\nmass", 42,
         "exactly one place"},
        {"item in no place", "cavity = \"interior\"\nmass", "mass", 40, "exactly one place"},
        {"item in an unknown cavity", "cavity = \"interior\"\nmass", "cavity = \"inside\"\nmass", 42, "item[0].cavity"},
        {"item without heat capacity", "mass = \"14 kg\"\nspecific_heat = \"1000 J/kgK\"\nfilm", "film", 40,
         "item[0].heat_capacity: is missing"},
        {"mass without specific heat", "specific_heat = \"1000 J/kgK\"\nfilm", "film", 40, "item[0].specific_heat: is missing"},
        {"heat capacity given twice", "film =", "heat_capacity = \"1 kJ/K\"\nfilm =", 45,
         "write either heat_capacity, or mass and specific_heat"},
        {"item without mass", "\"14 kg\"", "\"0 kg\"", 43, "item[0].mass: must be greater than 0"},
        {"item without limits", "limits = [{", "start = \"20 degC\"\nsources = {}\n#", 40, "item[0].limits: is missing"},
        {"limit without time", ", allowed = \"1 h\"", "", 47, "item[0].limits[0].allowed: is missing"},
        {"unknown scope", "\"lifetime\"", "\"life\"", 47, "expected \"bake\" or \"lifetime\""},
    };
    for (const Mistake& mistake : mistakes)
        check_one_problem(profile::read_shell(with(kShell, mistake.piece, mistake.replacement), "s.toml", {}).problems, mistake);
}

TEST_CASE("every mistake of a shell is told at once, in the order of lines") {
    std::string text = with(kShell, "\"20 m2\"", "\"-20 m2\"");
    text = with(text, "emissivity = 0.9", "emissivity = 9");
    text = with(text, "conductance = \"20 W/K\"", "conductence = \"20 W/K\"");
    text = with(text, "\"40 m3\"", "40");
    const std::vector<Problem> problems = profile::read_shell(text, "s.toml", {}).problems;
    const std::string texts = all_texts(problems);
    CAPTURE(texts);
    REQUIRE(problems.size() == 4);
    CHECK(problems[0].line == 13);
    CHECK(problems[1].line == 20);
    CHECK(problems[2].line == 31);
    CHECK(problems[3].line == 38);
}

TEST_CASE("a broken material of the library is told with its own file and line, and where it was used") {
    const Folder folder;
    const std::string file = folder.write("materials/tin.toml", with(kMaterial, "\"50 W/mK\"", "\"-50 W/mK\""));
    const std::string text =
        with(kShell, "{ material = \"steel\", thickness = \"3 mm\" }", "{ material = \"tin\", thickness = \"3 mm\" }");
    const std::vector<Problem> problems = profile::read_shell(text, "s.toml", profile::Library({folder.path()})).problems;
    const std::string texts = all_texts(problems);
    CAPTURE(texts);
    REQUIRE(problems.size() == 2);
    CHECK(problems[0].file == "s.toml");
    CHECK(problems[0].line == 26);
    CHECK(problems[1].file == file);
    CHECK(problems[1].line == 5);
}

TEST_CASE("a material in a shell file is a name and never a path") {
    const Folder folder;
    folder.write("secret.toml", kMaterial);
    folder.write("materials/tin.toml", kMaterial);
    folder.write("materials/.hidden.toml", kMaterial);
    folder.write("materials/a/b.toml", kMaterial);
    for (const std::string_view name : {"../secret", "./secret.toml", "/etc/passwd", ".hidden", "a/b"}) {
        const std::string text = with(kShell, "{ material = \"steel\", thickness = \"3 mm\" }",
                                      "{ material = \"" + std::string(name) + "\", thickness = \"3 mm\" }");
        const std::vector<Problem> problems = profile::read_shell(text, "s.toml", profile::Library({folder.path()})).problems;
        CAPTURE(name);
        REQUIRE(problems.size() == 1);
        CHECK(problems[0].text().find("unknown material") != std::string::npos);
    }
}

TEST_CASE("a shell whose zones are misspelt is told so, and that no zone is left") {
    std::string text = with(kShell, "[[zone]]\nname = \"roof\"", "[[zones]]\nname = \"roof\"");
    text = with(text, "[[zone]]\nname = \"sill\"", "[[zones]]\nname = \"sill\"");
    const std::string texts = all_texts(profile::read_shell(text, "s.toml", {}).problems);
    CHECK(texts.find("s.toml:11: unknown key \"zones\"; did you mean zone?") != std::string::npos);
}
