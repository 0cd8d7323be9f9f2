// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <random>

#include "profile_texts.hpp"

using namespace bakewright;
using namespace profile_texts;

namespace {

std::string first_problem(const std::string& text) {
    const std::vector<Problem> problems = profile::read_shell(text, "s.toml", {}).problems;
    REQUIRE_FALSE(problems.empty());
    return problems.front().text();
}

bool holds(const std::string& text, std::string_view piece) { return text.find(piece) != std::string::npos; }

std::string repeated(std::string_view piece, int count) {
    std::string text;
    for (int i = 0; i < count; ++i) text += piece;
    return text;
}

}  // namespace

TEST_CASE("an empty text is told to be empty") {
    CHECK(holds(first_problem(""), "is empty"));
    CHECK(holds(first_problem(" \n\r\n\t"), "is empty"));
    CHECK(holds(first_problem("# only a remark\n"), "kind: is missing"));
}

TEST_CASE("a binary text is told to be no text") {
    CHECK(holds(first_problem(std::string("\x7f"
                                          "ELF\0\0\0",
                                          7)),
                "is not a text file"));
    const std::string utf16("k\0i\0n\0d\0", 8);
    CHECK(holds(first_problem(utf16), "is not a text file"));
    CHECK(holds(first_problem("kind = \"shell\xff\xfe\""), "s.toml:1: is not correct TOML"));
}

TEST_CASE("a text of more than 1 MiB is refused before it is parsed") {
    CHECK(holds(first_problem("# " + std::string(profile::kLargestProfileBytes, 'x')), "larger than 1 MiB"));
}

TEST_CASE("a byte order mark and line ends of any system are read") {
    CHECK(profile::read_material("\xef\xbb\xbf" + std::string(kMaterial), "m.toml").problems.empty());
    std::string text;
    for (const char letter : kMaterial) text += letter == '\n' ? std::string("\r\n") : std::string(1, letter);
    CHECK(profile::read_material(text, "m.toml").problems.empty());
}

TEST_CASE("nesting without end is refused and not followed") {
    CHECK(holds(first_problem("a = " + repeated("[", 200000)), "s.toml:1:"));
    CHECK(holds(first_problem("a = " + repeated("{a=", 200000)), "s.toml:1:"));
    CHECK(holds(first_problem("a" + repeated(".a", 400000) + " = 1"), "more than 16 dots"));
    CHECK(holds(first_problem("\n[a" + repeated(" . \"a\"", 100000) + "]"), "s.toml:2: a key has more than 16 dots"));
    CHECK(holds(first_problem("t = \"\"\"x\n\"y\n\"\"\"\na" + repeated(".'a'", 100000) + " = 1"),
                "s.toml:4: a key has more than 16 dots"));
}

TEST_CASE("a deep key is not hidden by quotes that touch the end of a text of several lines") {
    for (const std::string_view text : {"\"\"\"x\"\"\"\"", "\"\"\"x\"\"\"\"\"", "'''x''''", "\"\"\"x\\\"\"\"\"", "\"\"", "'\\'"})
        CHECK(holds(first_problem("a = { x = " + std::string(text) + ", b" + repeated(".b", 100000) + " = 1 }"),
                    "more than 16 dots"));
}

TEST_CASE("typographic quotes, no-break spaces and letters outside of quotes are told with their line") {
    CHECK(holds(first_problem("kind = \"shell\"\ntitle = \u201cvan\u201d\n"), "s.toml:2: \"\u201c\" stands outside of quotes"));
    CHECK(holds(first_problem("kind\u00a0= \"shell\"\n"), "s.toml:1:"));
    CHECK(holds(first_problem("kind = \"shell\" # \u00e9\n\u00e9 = 1\n"), "s.toml:2:"));
}

TEST_CASE("a foreign letter in quotes that open no text is refused, and is read in a defined way") {
    // Found by the fuzzer: within a number the quote is one of its letters, and what follows belongs to it.
    for (const std::string_view value : {"0n\"\u00b2o\"", "1\"\u00b2\"", "1['\u1681']", "x='\u2010'", "1.\"\u00a1\""})
        CHECK(holds(first_problem("kind = \"shell\"\nid = " + std::string(value)), "s.toml:2:"));
}

TEST_CASE("dots in texts and remarks are not dots of keys") {
    const std::string dots = repeated(".", 100);
    CHECK(
        profile::read_material(with(kMaterial, "\"mild steel\"", "\"mild " + dots + "\" # " + dots), "m.toml").problems.empty());
    CHECK(profile::read_material(with(kMaterial, "\"mild steel\"", "\"a \\\" " + dots + "\""), "m.toml").problems.empty());
}

TEST_CASE("a text cut off at any byte is read without a fault of ours") {
    for (const std::string_view whole : {kShell, kBooth}) {
        for (std::size_t length = 0; length < whole.size(); ++length) {
            const std::string_view cut = whole.substr(0, length);
            const auto located = profile::read_shell(cut, "s.toml", {});
            for (const Problem& problem : located.problems) CHECK(problem.file == "s.toml");
        }
    }
}

TEST_CASE("a text with bytes changed at random is read without a fault of ours") {
    std::mt19937 random(20240611);
    for (int round = 0; round < 2000; ++round) {
        std::string text(kShell);
        for (int change = 0; change < 3; ++change) text[random() % text.size()] = static_cast<char>(random() % 256);
        const auto located = profile::read_shell(text, "s.toml", {});
        for (const Problem& problem : located.problems) CHECK_FALSE(problem.message.empty());
    }
}

TEST_CASE("a shell with a thousand faults tells the first hundred and that there are more") {
    std::string text = "kind = \"shell\"\ntitle = \"van\"\n" + repeated("[[zone]]\nfoo = 1\n", 900);
    const std::vector<Problem> problems = profile::read_shell(text, "s.toml", {}).problems;
    CHECK(problems.size() == 101);
    CHECK(holds(all_texts(problems), "has more problems, not listed"));
}

TEST_CASE("more zones than any shell has are refused") {
    std::string text = "kind = \"shell\"\ntitle = \"van\"\n" + repeated("[[zone]]\n", 20000);
    CHECK(holds(all_texts(profile::read_shell(text, "s.toml", {}).problems), "has 20000 entries, allowed at most 1000"));
}

TEST_CASE("script in names and titles is kept as the text it is") {
    constexpr std::string_view script = "<script>alert('x')</script>";
    const std::string text = with(kShell, "title = \"van\"", "title = \"" + std::string(script) + "\"");
    const auto located = profile::read_shell(text, "s.toml", {});
    CHECK(located.problems.empty());
    CHECK(located.record.shell.title == script);
}

TEST_CASE("control and direction characters never reach a message or a record") {
    for (const std::string_view escape : {"\\u001b[2J", "\\u0000", "\\u202e", "\\u0085", "\\u2066", "\\n"}) {
        CAPTURE(escape);
        const std::string in_title = with(kShell, "title = \"van\"", "title = \"van" + std::string(escape) + "\"");
        const std::string in_key = with(kShell, "title = \"van\"", "title = \"van\"\n\"key" + std::string(escape) + "\" = 1");
        for (const std::string& text : {in_title, in_key}) {
            const std::vector<Problem> problems = profile::read_shell(text, "s.toml", {}).problems;
            REQUIRE(problems.size() == 1);
            CHECK(holds(problems.front().text(), "\\x"));
            for (const char letter : problems.front().text()) CHECK(static_cast<unsigned char>(letter) >= 0x20);
        }
    }
}

TEST_CASE("names and titles have a greatest length") {
    CHECK(holds(first_problem(with(kShell, "title = \"van\"", "title = \"" + std::string(401, 'x') + "\"")),
                "is 401 bytes long, allowed at most 400"));
    CHECK(holds(first_problem(with(kShell, "name = \"interior\"", "name = \"" + std::string(81, 'x') + "\"")),
                "is 81 bytes long, allowed at most 80"));
}
