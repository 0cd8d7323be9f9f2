// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <algorithm>

#include "profile_texts.hpp"

using namespace bakewright;
using namespace profile_texts;
using profile::CheckReport;
using profile::Kind;

TEST_CASE("every profile that comes with the program is good, and every number of it has a source") {
    const std::vector<CheckReport> reports = check_library(shipped_library());
    CHECK(reports.size() >= 30);
    for (const CheckReport& report : reports) {
        CAPTURE(report.file);
        const std::string problems = all_texts(report.problems);
        CAPTURE(problems);
        CHECK(report.good());
        CHECK(report.kind.has_value());
        CHECK_FALSE(report.title.empty());
        for (const std::string& note : report.notes) {
            CAPTURE(note);
            CHECK(note.find("no source is given") == std::string::npos);
        }
    }
}

TEST_CASE("profiles of every kind come with the program") {
    for (const Kind kind : profile::all_kinds()) {
        CAPTURE(kind_name(kind));
        CHECK(shipped_library().names(kind).size() >= 3);
    }
}

TEST_CASE("a check tells kind, title and the numbers without a source") {
    const Folder folder;
    const CheckReport report = profile::check_file(folder.write("m.toml", kMaterial), profile::Library{});
    CHECK(report.good());
    CHECK(report.kind == Kind::material);
    CHECK(report.title == "mild steel");
    REQUIRE(report.notes.size() == 1);
    CHECK(report.notes[0].find("no source is given for specific_heat, conductivity, emissivity;") != std::string::npos);
}

TEST_CASE("a source of a list covers what is in it") {
    std::string text(kCoating);
    text +=
        "[sources]\nschedule = \"sheet\"\nfloor = \"sheet\"\nabsolute_maximum = \"sheet\"\n\"activation_energy\" = \"sheet\"\n";
    const auto located = profile::read_coating(text, "c.toml");
    REQUIRE(located.notes.size() == 1);
    CHECK(located.notes[0].find("for flash_off_minimum, flash_off_maximum, largest_heating_rate;") != std::string::npos);
}

TEST_CASE("a check tells the defaults that stand in for missing keys") {
    const std::string text = with(kBooth, "volume = \"300 m3\"\n", "");
    const auto located = profile::read_booth(text, "b.toml");
    CHECK(located.problems.empty());
    CHECK(std::any_of(located.notes.begin(), located.notes.end(), [](const std::string& note) {
        return note.find("volume is not given: 300 m3 is used (common practice") == 0;
    }));
}

TEST_CASE("a file without a kind, with a strange kind, or that is no file at all is a problem of the report") {
    const Folder folder;
    const auto problem_of = [](const std::string& file) {
        return all_texts(profile::check_file(file, profile::Library{}).problems);
    };
    CHECK(problem_of(folder.write("a.toml", "title = \"x\"\n")).find("kind: is missing; expected kind = \"material\"") !=
          std::string::npos);
    CHECK(problem_of(folder.write("b.toml", "kind = \"oven\"\n")).find("b.toml:1: kind: is \"oven\"; expected") !=
          std::string::npos);
    CHECK(problem_of(folder.write("c.toml", "kind = 3\n")).find("c.toml:1: kind: is not a text") != std::string::npos);
    CHECK(problem_of(folder.path("none.toml")).find("there is no such file") != std::string::npos);
    CHECK(problem_of(folder.path()).find("is a directory") != std::string::npos);
    CHECK(problem_of(folder.write("d.toml", "")).find("is empty") != std::string::npos);
}
