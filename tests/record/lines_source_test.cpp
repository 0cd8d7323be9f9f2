// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>
#include <fcntl.h>
#include <sys/stat.h>

#include "live.hpp"

using namespace live;

namespace {

probe::SourceRecord lines_of(const std::filesystem::path& file, bool from_start = false) {
    probe::SourceRecord record;
    record.id = "logger";
    record.title = "the logger";
    record.interval_s = 0.1;
    record.lines = probe::LineSettings{.path = file.string(), .reading = {}, .is_from_start = from_start};
    return record;
}

const std::string kHead = "time [s],air [°C],roof [°C]\n0,20.0,19.0\n1,20.5,19.1\n2,21.0,19.2\n";

}  // namespace

TEST_CASE("a file that grows is followed from now on, or from its start") {
    for (const bool from_start : {false, true}) {
        CAPTURE(from_start);
        const TemporaryFolder folder;
        append_to(folder.file("log.csv"), kHead);
        Running source(lines_of(folder.file("log.csv"), from_start));
        REQUIRE(source.wait_until([](const Running& now) { return now.channels.size() == 2; }));
        CHECK(source.wait_for_notice("2 channels"));
        append_to(folder.file("log.csv"), "3,21.4,19.3\n4,21.");
        append_to(folder.file("log.csv"), "8,19.4\n");
        REQUIRE(source.wait_for_rows(from_start ? 5 : 2));
        source.stop();
        CHECK(source.rows.size() == (from_start ? 5 : 2));
        CHECK(*source.rows.back().told_s == 4.0);
    }
}

TEST_CASE("a file that is not there yet is waited for, one that is cut short or replaced is read anew") {
    const TemporaryFolder folder;
    const auto file = folder.file("log.csv");
    Running source(lines_of(file, true));
    REQUIRE(source.wait_for_notice("No such file"));
    append_to(folder.file("made.csv"), kHead);
    std::filesystem::rename(folder.file("made.csv"), file);
    REQUIRE(source.wait_for_rows(3));
    append_to(folder.file("made.csv"), "time [s],air [°C],roof [°C]\n10,30.0,29.0\n11,30.5,29.1\n");
    std::filesystem::rename(folder.file("made.csv"), file);
    REQUIRE(source.wait_for_notice("read anew"));
    REQUIRE(source.wait_for_rows(5));
    CHECK(*source.rows.back().told_s == 11.0);
    CHECK(source.channels.size() == 2);  // announced once
}

TEST_CASE("a named pipe outlives the program that writes to it") {
    const TemporaryFolder folder;
    const auto pipe = folder.file("pipe");
    REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
    Running source(lines_of(pipe));
    append_to(pipe, kHead);
    REQUIRE(source.wait_for_rows(3));
    REQUIRE(source.wait_for_notice("waiting for the next"));
    append_to(pipe, kHead);
    REQUIRE(source.wait_for_rows(6));
}
