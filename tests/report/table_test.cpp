// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/table.hpp"

#include <doctest/doctest.h>

#include "bakewright/base/error.hpp"
#include "bakewright/report/plain_text.hpp"
#include "report/lines.hpp"

using namespace bakewright::report;

namespace {

Table two_columns() { return Table({{.head = "Zone", .may_wrap = true}, {.head = "Peak\n°C", .align = Align::right}}); }

}  // namespace

TEST_CASE("columns are aligned by display width and heads stand on the rule") {
    Table table = two_columns();
    table.add({"roof", "61.0"});
    table.add({"漆 sill", "9.5"});
    CHECK(table.text() ==
          "         Peak\n"
          "Zone       °C\n"
          "-------  ----\n"
          "roof     61.0\n"
          "漆 sill   9.5\n");
}

TEST_CASE("a table keeps within its width by wrapping, loses no text and widens on request") {
    const std::string name = "left rear wheel arch panel behind the locker with the very long name that nobody would print";
    Table table = two_columns();
    table.add({name, "61.0"}, "A reason that is itself longer than forty columns and has to be wrapped to be read.");
    for (const std::size_t width : {30U, 40U, 80U}) {
        CAPTURE(width);
        CHECK(widest_line(table.text({.width = width})) <= width);
    }
    std::string words;
    for (const std::string& line : lines_of(table.text({.width = 40}))) words += line + ' ';
    for (const std::string& word : wrap(name, 8)) CHECK(words.find(word.substr(0, word.find(' '))) != std::string::npos);
    CHECK(table.text({.width = 200}).find(name) != std::string::npos);
}

TEST_CASE("numbers are never broken, even where the table then is too wide") {
    Table table = two_columns();
    table.add({"roof", "1234567.0"});
    CHECK(table.text({.width = 10}).find("1234567.0") != std::string::npos);
}

TEST_CASE("marks are ANSI sequences only when asked for, and the words are the same") {
    Table table({{.head = "Verdict"}});
    table.add({Cell("UNDER", Mark::alarm)});
    table.add({Cell("CHECK", Mark::strong)});
    const std::string plain = table.text();
    std::string ansi = table.text({.ansi = true});
    CHECK(plain.find('\x1b') == std::string::npos);
    CHECK(ansi.find("\x1b[7mUNDER\x1b[0m") != std::string::npos);
    CHECK(ansi.find("\x1b[1mCHECK\x1b[0m") != std::string::npos);
    for (const std::string sequence : {"\x1b[7m", "\x1b[1m", "\x1b[0m"})
        for (std::size_t at = ansi.find(sequence); at != std::string::npos; at = ansi.find(sequence))
            ansi.erase(at, sequence.size());
    CHECK(ansi == plain);
}

TEST_CASE("user text cannot bring escape sequences or line ends into a table") {
    Table table = two_columns();
    table.add({"\x1b[2Jroof\nGOOD", "61.0"}, "why\x07\nthat");
    const std::string text = table.text();
    CHECK(text.find('\x1b') == std::string::npos);
    CHECK(text.find('\x07') == std::string::npos);
    CHECK(lines_of(text).size() == 5);
}

TEST_CASE("no line of a table ends in blanks") {
    Table table = two_columns();
    table.add({"roof", ""});
    for (const std::string& line : lines_of(table.text())) CHECK_FALSE(line.ends_with(' '));
}

TEST_CASE("a row with another number of cells than columns is refused") {
    Table table = two_columns();
    CHECK_THROWS_AS(table.add({"roof"}), bakewright::PromiseError);
    CHECK_THROWS_AS(Table({}), bakewright::PromiseError);
}
