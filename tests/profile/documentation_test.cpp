// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <algorithm>
#include <sstream>

#include "field_tables.hpp"
#include "profile_texts.hpp"

using namespace bakewright;
using namespace profile_texts;

namespace {

std::string documentation() {
    std::ifstream stream(BAKEWRIGHT_PROFILES "/../docs/profiles.md");
    std::ostringstream text;
    text << stream.rdbuf();
    return text.str();
}

/// The texts between ```toml and ``` of a page.
std::vector<std::string> examples(const std::string& page) {
    constexpr std::string_view begin = "```toml\n";
    std::vector<std::string> found;
    for (std::size_t at = page.find(begin); at != std::string::npos; at = page.find(begin, at)) {
        at += begin.size();
        found.push_back(page.substr(at, page.find("```", at) - at));
    }
    return found;
}

}  // namespace

TEST_CASE("the worked examples of the documentation are good profiles, one of every kind, with a source for every number") {
    const Folder folder;
    const profile::Library library = shipped_library();
    std::vector<profile::Kind> kinds;
    for (const std::string& example : examples(documentation())) {
        const profile::CheckReport report = profile::check_file(folder.write("example.toml", example), library);
        const std::string problems = all_texts(report.problems);
        CAPTURE(problems);
        CHECK(report.good());
        REQUIRE(report.kind.has_value());
        kinds.push_back(*report.kind);
        for (const std::string& note : report.notes) {
            CAPTURE(note);
            CHECK(note.find("no source") == std::string::npos);
        }
    }
    CHECK(kinds == std::vector<profile::Kind>{profile::Kind::material, profile::Kind::coating, profile::Kind::booth,
                                              profile::Kind::cycle, profile::Kind::shell, profile::Kind::probes,
                                              profile::Kind::source});
}

TEST_CASE("the tables of the documentation are what the records' fields say") {
    // Where this is red: build the target write_field_tables and run it on docs/profiles.md.
    const std::string page = documentation();
    CHECK(field_tables::with_tables(page) == page);
    CHECK(std::ranges::count(page, '|') > 500);
}
