// SPDX-License-Identifier: Apache-2.0
// Files that cannot be read, or could be read wrongly. All are invented.
#include <doctest/doctest.h>

#include "log_text.hpp"

using namespace probe_test;

TEST_CASE("an empty file, a blank one and one without a table are refused by name") {
    CHECK(problems_of("") == "bake.csv: the file is empty\n");
    CHECK(contains(problems_of("\xEF\xBB\xBF"), "nothing but blank lines"));
    CHECK(contains(problems_of(" \n\n,,,\n"), "nothing but blank lines"));
    CHECK(contains(problems_of("Dear painter,\nthe log is attached.\n"), "no table"));
    CHECK(contains(problems_of("Time (s),Roof\n"), "no table"));
    CHECK(contains(problems_of("1\n2\n3\n"), "no table"));
}

TEST_CASE("binary files are refused, workbooks with advice") {
    CHECK(contains(problems_of(std::string_view("Time,Roof\n\0\1\2\3", 14)), "binary file"));
    CHECK(contains(problems_of("PK\x03\x04 and so on"), "save the sheet as CSV"));
    CHECK(contains(problems_of("\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1"), "save the sheet as CSV"));
}

TEST_CASE("a file without a time column is refused and its columns are named") {
    const std::string problem = problems_of("Roof,Sill\n20,21\n22,23\n24,25\n");
    CHECK(contains(problem, "bake.csv:1: no time column"));
    CHECK(contains(problem, "'Roof', 'Sill'"));
}

TEST_CASE("spoilt numbers are refused, each with line and column") {
    const std::string problems = problems_of("Time (s),Roof,Sill\n0,20,21\n10,2o.5,21\n20,20,2l\n30,20,21\n40,20,21\n");
    CHECK(contains(problems, "bake.csv:3: Roof: '2o.5' is not a number"));
    CHECK(contains(problems, "bake.csv:4: Sill: '2l' is not a number"));
}

TEST_CASE("words among numbers say that there is no reading; a word of its own is kept as a note with its time") {
    const ProbeLog log =
        read("Time (s),Roof,Sill\n0,20,21\n10,door open,+OVER\n20,20,+OVER\n30,20,+OVER\n40,20,21\n50,20,21\n60,20,21\n");
    CHECK(log.traces.find("Roof")->quality[1] == SampleQuality::missing);
    CHECK(log.reading.find("Sill")->missing == 3);
    REQUIRE(log.reading.notes.size() == 1);
    CHECK(log.reading.notes[0].line == 3);
    CHECK(log.reading.notes[0].time == "10");
    CHECK(log.reading.notes[0].channel == "Roof");
    CHECK(log.reading.notes[0].text == "door open");
    REQUIRE(log.reading.remarks.size() == 3);
    CHECK(contains(log.reading.remarks[1], "column 'Sill' says '+OVER' instead of a number 3 times (first in line 3)"));
}

TEST_CASE("lines of words among the rows are notes, with their time where they have one") {
    const ProbeLog log = read("Time (s),Roof,Sill\n0,20,21\n10,burner on\n20,20,21\n*** door opened ***\n30,20,21\n");
    CHECK(log.traces.find("Roof")->size() == 3);
    REQUIRE(log.reading.notes.size() == 2);
    CHECK(log.reading.notes[0].time == "10");
    CHECK(log.reading.notes[0].text == "burner on");
    CHECK(log.reading.notes[1].line == 5);
    CHECK(log.reading.notes[1].text == "*** door opened ***");
}

TEST_CASE("a word or number that the user names stands for no reading") {
    ReadOptions options;
    options.missing_words = {"-1", "E4"};
    const ProbeLog log = read("Time (s),Roof\n0,20\n10,-1\n20,e4\n30,21\n", options);
    CHECK(log.reading.find("Roof")->missing == 2);
    CHECK(log.reading.find("Roof")->numbers == 2);
}

TEST_CASE("words in a column of temperatures are refused however many they are") {
    CHECK(contains(problems_of("Time (s),Roof (°C),Sill\n0,a,20\n10,b,20\n20,c,20\n"), "'a' is not a number"));
}

TEST_CASE("a time that cannot be read is refused with its line") {
    CHECK(contains(problems_of("Time (s),Roof\n0,20\nsoon,21\n20,22\n"), "bake.csv:3: Time (s): 'soon' is not a time"));
    CHECK(contains(problems_of("Time (s),Roof\n0,20\n,21\n20,22\n"), "bake.csv:3: Time (s): the row has no time"));
    CHECK(contains(problems_of("Time (s),Roof\n0,20\n2026-01-01 10:00,21\n20,22\n"), "is not a time; the column holds numbers"));
}

TEST_CASE("looking stops at twenty problems") {
    std::string text = "Time (s),Roof,Sill\n";
    for (int i = 0; i < 100; ++i) text += std::to_string(i) + (i % 2 == 0 ? ",20,21\n" : ",2o,21\n");
    try {
        read(text);
        FAIL("the log was read");
    } catch (const InputError& error) {
        CHECK(error.problems().size() == 20);
        CHECK(error.problems()[1].line == 5);
    }
}

TEST_CASE("decimal commas between commas are recognised and refused") {
    CHECK(contains(problems_of("Time (s),Roof,Sill\n0,20,5,21,5\n10,20,6,21,6\n20,20,7,21,7\n"),
                   "was the log written with decimal commas"));
}

TEST_CASE("a row with more values than headings is refused") {
    CHECK(contains(problems_of("Time (s),Roof\n0,20\n10,21\n20,22,99\n30,23\n"), "bake.csv:4: the row has 3 fields"));
}

TEST_CASE("a new heading row with other columns in the middle is refused") {
    CHECK(contains(problems_of("Time (s),Roof,Sill\n0,20,30\n10,21,31\nTime (s),Sill,Roof\n20,32,22\n30,33,23\n"),
                   "bake.csv:4: a row of words"));
}

TEST_CASE("a quotation that never ends is refused with the line where it starts") {
    CHECK(contains(problems_of("Time (s),Roof,Note\n0,20,ok\n10,21,ok\n20,22,\"door\n30,23,ok\n"),
                   "bake.csv:4: a quotation mark opens here"));
}

TEST_CASE("a file without a temperature is refused") {
    CHECK(contains(problems_of("Time (s),Fan (rpm)\n0,900\n10,900\n20,900\n"), "no column of temperatures"));
}

TEST_CASE("options that name nothing or accept nothing are refused") {
    const std::string_view text = "Time (s),Roof\n0,20\n10,21\n20,22\n";
    ReadOptions options;
    options.channels = {"Rooof"};
    CHECK(contains(problems_of(text, options), "channels: the file has no column 'Rooof'; it has 'Time (s)', 'Roof'"));
    options = {};
    options.time_column = "7";
    CHECK(contains(problems_of(text, options), "time column: the file has no column '7'"));
    options = {};
    options.delimiter = 'x';
    options.decimal_mark = '\'';
    options.skip_lines = -1;
    const std::string problems = problems_of(text, options);
    CHECK(contains(problems, "delimiter:"));
    CHECK(contains(problems, "decimal mark:"));
    CHECK(contains(problems, "skip lines:"));
    options = {};
    options.delimiter = ';';
    CHECK(contains(problems_of(text, options), "no table"));
    options = {};
    options.skip_lines = 100;
    CHECK_FALSE(problems_of(text, options).empty());
}

TEST_CASE("names with markup, formulas and paths are taken as they are") {
    const ProbeLog log = read("Time (s),<script>alert(1)</script>,=1+1,../../etc/passwd\n0,20,21,22\n10,20,21,22\n20,20,21,22\n");
    REQUIRE(log.traces.traces.size() == 3);
    CHECK(log.traces.traces[0].name == "<script>alert(1)</script>");
    CHECK(log.traces.traces[1].name == "=1+1");
    CHECK(log.traces.traces[2].name == "../../etc/passwd");
}

TEST_CASE("any prefix of a good file is read or refused, never worse") {
    const std::string text =
        "\xEF\xBB\xBFLarch County\r\nDate;Time;\"Roof \"\"A\"\"\";Sill\r\n;;°C;°F\r\n24.12.2026;23:59:50;20,5;70\r\n"
        "24.12.2026;23:59:55;OL;71\r\n25.12.2026;00:00:00;21,5;72\r\n";
    for (std::size_t length = 0; length <= text.size(); ++length) CHECK_NOTHROW((void)problems_of(text.substr(0, length)));
    CHECK(problems_of(text).empty());
}

TEST_CASE("any single byte of a good file changed to a troublesome one is read or refused, never worse") {
    const std::string text = "Time (s),\"Roof, left\",Sill (°F)\n0,20.5,70\n10,NaN,71\n20,21.5,72\n";
    for (std::size_t at = 0; at < text.size(); ++at)
        for (const char byte : std::string("\0\"',;|\t\n\r -+.:/09eNT\x7F\x80\xB0\xC3\xFF", 25)) {
            std::string damaged = text;
            damaged[at] = byte;
            (void)problems_of(damaged);
        }
    CHECK(problems_of(text).empty());
}
