// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include "profile_texts.hpp"

using namespace bakewright;
using namespace profile_texts;

TEST_CASE("the small good profiles that the mistakes are made in have no problem") {
    CHECK(all_texts(profile::read_material(kMaterial, "m.toml").problems) == "");
    CHECK(all_texts(profile::read_coating(kCoating, "c.toml").problems) == "");
    CHECK(all_texts(profile::read_booth(kBooth, "b.toml").problems) == "");
    CHECK(all_texts(profile::read_cycle(kCycle, "y.toml").problems) == "");
    CHECK(all_texts(profile::read_shell(kShell, "s.toml", {}).problems) == "");
}

TEST_CASE("a mistake in a material is told with its line and what is accepted") {
    const std::vector<Mistake> mistakes{
        {"no kind", "kind = \"material\"\n", "", 1, "kind: is missing"},
        {"another kind", "\"material\"", "\"booth\"", 1, "this is a booth, where a material is expected"},
        {"no known kind", "\"material\"", "\"metal\"", 1, "expected \"material\""},
        {"no title", "title = \"mild steel\"\n", "", 1, "title: is missing"},
        {"empty title", "\"mild steel\"", "\"\"", 2, "title: is empty"},
        {"missing number", "conductivity = \"50 W/mK\"\n", "", 1, "conductivity: is missing; expected"},
        {"misspelt key", "conductivity =", "conductivty =", 5, "unknown key \"conductivty\"; did you mean conductivity?"},
        {"strange key", "emissivity = 0.6", "emissivity = 0.6\ncolour = \"red\"", 7,
         "unknown key \"colour\"; accepted here: also, conductivity"},
        {"bare number", "\"7850 kg/m3\"", "7850", 3, "is the bare number 7850; expected"},
        {"wrong unit", "\"7850 kg/m3\"", "\"7850 kg\"", 3, "density:"},
        {"no unit", "\"7850 kg/m3\"", "\"7850\"", 3, "density:"},
        {"not a number", "\"7850 kg/m3\"", "\"heavy\"", 3, "density:"},
        {"number as text", "0.6", "\"0.6\"", 6, "emissivity: is the text \"0.6\"; expected a number from 0 to 1, without quotes"},
        {"not finite", "0.6", "nan", 6, "expected a number from 0 to 1"},
        {"out of range", "0.6", "9.2", 6, "emissivity: is 9.2, accepted is 0 to 1"},
        {"negative", "\"7850 kg/m3\"", "\"-7850 kg/m3\"", 3, "density: is -7850 kg/m3, accepted is 1 to 25000 kg/m3"},
        {"unknown word", "gauge = \"steel\"", "gauge = \"steal\"", 7, "(did you mean \"steel\"?)"},
        {"source that is no text", "\"handbook\"", "17", 9, "sources.density: is the bare number 17"},
        {"sources that are no table", "[sources]\ndensity = \"handbook\"", "sources = 1", 8, "expected a table of texts"},
        {"broken TOML", "\"7850 kg/m3\"", "\"7850 kg/m3", 3, "is not correct TOML"},
        {"limit without a source", "gauge = \"steel\"", "gauge = \"steel\"\nnever = \"90 degC\"", 8, "never: has no source"},
        {"limit that is no part's", "[sources]", "never = \"9 degC\"\n[sources]\nnever = \"invented\"", 8, "never"},
        {"key given twice", "emissivity = 0.6", "density = \"1 kg/m3\"", 6, "is not correct TOML"},
    };
    for (const Mistake& mistake : mistakes)
        check_one_problem(profile::read_material(with(kMaterial, mistake.piece, mistake.replacement), "m.toml").problems,
                          mistake);
}

TEST_CASE("a mistake in a coating is told with its line and what is accepted") {
    const std::vector<Mistake> mistakes{
        {"unknown basis", "\"part\"", "\"metal\"", 3, "expected \"part\", \"booth_air\" or \"not_stated\""},
        {"no basis", "basis = \"part\"\n", "", 1, "basis: is missing"},
        {"row without time", ", minimum = \"60 min\"", "", 5, "schedule[0].minimum: is missing"},
        {"row that is no table", "{ temperature = \"50 degC\", minimum = \"60 min\" }", "\"50 degC\"", 5, "expected a table"},
        {"hotter needs longer", "\"30 min\", maximum", "\"90 min\", maximum", 6, "schedule[1]"},
        {"maximum under minimum", "\"2 h\"", "\"10 min\"", 6, "schedule[1].maximum"},
        {"a row without unit bounds nothing else", "\"60 degC\"", "\"60\"", 6, "schedule[1].temperature:"},
        {"floor above every row", "floor = \"45 degC\"", "floor = \"190 degF\"", 8, "floor: is 190 degF, above every row"},
        {"negative time", "flash_off_minimum = \"10 min\"", "flash_off_minimum = \"-10 min\"", 10, "flash_off_minimum"},
        {"temperature difference for a temperature", "floor = \"45 degC\"", "floor = \"45 min\"", 8, "floor:"},
        {"energy without low", "low = \"30 kJ/mol\", ", "", 13, "activation_energy.low: is missing"},
        {"energies in disorder", "\"30 kJ/mol\"", "\"90 kJ/mol\"", 13, "activation_energy"},
        {"maker's word without a source", "floor = \"45 degC\"", "floor = \"45 degC\"\ncured_below_the_sheet_from = \"47 degC\"",
         9, "cured_below_the_sheet_from: has no source"},
        {"misspelt key in a row", "maximum = \"2 h\"", "maximun = \"2 h\"", 6, "did you mean maximum?"},
    };
    for (const Mistake& mistake : mistakes)
        check_one_problem(profile::read_coating(with(kCoating, mistake.piece, mistake.replacement), "c.toml").problems, mistake);
}

TEST_CASE("a mistake in a booth is told with its line and what is accepted") {
    const std::vector<Mistake> mistakes{
        {"unknown air", "\"normal\"", "\"breezy\"", 4, "expected \"gentle\", \"normal\" or \"strong\""},
        {"unknown wall", "\"insulated\"", "\"brick\"", 6, "expected \"insulated\" or \"single_skin\""},
        {"out of range, in the unit that was written", "\"300 m3\"", "\"300 m3\"\nambient = \"572 degF\"", 4,
         "ambient: is 572 degF, accepted is -40 to 122 degF"},
        {"a rate out of range", "\"2 K/min\"", "\"200 degF/min\"", 14, "is 200 degF/min, accepted is 0.0018 to 108 degF/min"},
        {"zero volume", "\"300 m3\"", "\"0 m3\"", 3, "volume: is 0 m3, accepted is 0.01 to 100000 m3"},
        {"heat capacity of a body", "\"8 kJ/m2K\"", "\"8 kJ/K\"", 8, "such as \"8 kJ/m2K\""},
        {"unreadable heat capacity", "\"8 kJ/m2K\"", "\"many kJ/m2K\"", 8, "wall_heat_capacity"},
        {"film out of order", "low = \"3 W/m2K\"", "low = \"6 W/m2K\"", 5, "film"},
        {"film that is a list", "{ low = \"3 W/m2K\", value = \"5 W/m2K\", high = \"8 W/m2K\" }", "[1, 2, 3]", 5,
         "or a table of low, value and high"},
        {"heights that do not rise", "height = \"3.2 m\"", "height = \"0.2 m\"", 12, "vertical_profile[1].height"},
        {"height without offset", ", offset = \"-8 K\"", "", 11, "vertical_profile[0].offset: is missing"},
        {"high limit under the highest set point", "\"95 degC\"", "\"70 degC\"", 16, "high_limit"},
        {"no purge", "\"95 degC\"", "\"95 degC\"\npurge = \"0 min\"", 17, "purge"},
        {"turndown under one", "turndown = 10", "turndown = 0.5", 17, "burner.turndown"},
        {"unknown controller", "\"on_off\"", "\"fuzzy\"", 19,
         "expected \"ideal\", \"burner_limited\", \"proportional_integral\" or \"on_off\""},
        {"zero band", "band = \"3 K\"", "band = \"0 K\"", 20, "controller.band"},
        {"unknown fan mode", "[ventilation.bake]", "[ventilation.baking]", 21, "unknown key \"baking\""},
        {"truth as text", "burner_may_fire = true", "burner_may_fire = \"yes\"", 24, "expected true or false, without quotes"},
        {"controller that is no table", "[controller]\nkind = \"on_off\"\nband = \"3 K\"", "controller = \"ideal\"\n", 18,
         "expected a table"},
    };
    for (const Mistake& mistake : mistakes)
        check_one_problem(profile::read_booth(with(kBooth, mistake.piece, mistake.replacement), "b.toml").problems, mistake);
}

TEST_CASE("a mistake in a cycle is told with its line and what is accepted") {
    const std::vector<Mistake> mistakes{
        {"unknown stage", "\"ramp\"", "\"rampe\"", 4, "(did you mean \"ramp\"?)"},
        {"stage without kind", "kind = \"hold\"\n", "", 7, "stage[1].kind: is missing"},
        {"duration and rate", "rate = \"2 K/min\"", "rate = \"2 K/min\"\nduration = \"10 min\"", 6, "stage[0].rate"},
        {"neither duration nor rate", "duration = \"45 min\"\n", "", 7, "stage[1].duration"},
        {"ramp without set point", "setpoint = \"65 degC\"\n", "", 3, "stage[0].setpoint"},
        {"negative duration", "\"45 min\"", "\"-45 min\"", 9, "stage[1].duration"},
        {"infrared without flux", ", flux = \"500 W/m2\"", "", 10, "stage[1].infrared.flux: is missing"},
        {"infrared zones that are no list", "[\"sill\"]", "\"sill\"", 10, "expected a list of names"},
        {"one stage written as a table", "[[stage]]\nkind = \"ramp\"\nsetpoint = \"65 degC\"\nrate = \"2 K/min\"\n[[stage]]\n",
         "[stage]\n", 3, "each written [[stage]]"},
    };
    for (const Mistake& mistake : mistakes)
        check_one_problem(profile::read_cycle(with(kCycle, mistake.piece, mistake.replacement), "y.toml").problems, mistake);
}
