// SPDX-License-Identifier: Apache-2.0
// A log that is read page by page is the log that is read whole, bit for bit, wherever its pieces and pages are cut.
#include "bakewright/probe/paged_log.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <memory>

#include "bakewright/codec/block.hpp"
#include "log_text.hpp"
#include "support/same_log.hpp"

using namespace probe_test;
using bakewright::FileBytes;
using bakewright::probe::NeedsWholeLog;
using bakewright::probe::PagedLog;
using bakewright::probe::PagedSizes;
namespace fs = std::filesystem;

namespace {

class TextFile {
public:
    explicit TextFile(const std::string& text)
        : path_((fs::temp_directory_path() / fmt::format("bakewright-paged-{}.csv", ::getpid())).string()) {
        std::ofstream(path_, std::ios::binary) << text;
    }
    ~TextFile() { fs::remove(path_); }
    TextFile(const TextFile&) = delete;
    TextFile& operator=(const TextFile&) = delete;
    [[nodiscard]] const std::string& path() const { return path_; }

private:
    std::string path_;
};

std::unique_ptr<PagedLog> read_paged(const std::string& path, const PagedSizes& sizes, const ReadOptions& options = {}) {
    return PagedLog::read(FileBytes(path), path, options, {}, sizes);
}

/// Pieces and pages so small that a log of a few lines has many.
constexpr PagedSizes kSmall{.head_bytes = std::size_t{1} << 24U, .piece_bytes = 700, .page_rows = 5, .threads = 2};

void check_as_whole(const std::string& path, const PagedSizes& sizes, const ReadOptions& options = {}) {
    const std::unique_ptr<PagedLog> paged = read_paged(path, sizes, options);
    const ProbeLog whole = bakewright::probe::read_log(file_text(path), path, options);
    CHECK(same_log::difference(*paged, whole) == "");
}

/// Invented: air, two zones and a furnace every 10 s, with all that the rules of quality look for. The furnace passes through 999
/// and 1200 degC, which are full-scale numbers only where they come out of the blue.
std::string faulty_log(std::string_view time_heading, const std::function<std::string(int)>& time) {
    std::string text = fmt::format("{},Air (°C),Roof (°C),Sill (°C),Furnace (°C),Logger (s),Note\n", time_heading);
    for (int i = 0; i < 400; ++i) {
        const double air = std::round(10.0 * (20.0 + 40.0 * std::min(i / 90.0, 1.0) + 0.2 * (i % 3))) / 10.0;
        const double roof = i >= 120 && i < 260 ? 47.3 : 20.0 + 0.1 * std::floor(0.9 * std::min(i, 300));
        std::string air_text = fmt::format("{:.1f}", i == 150 ? air + 40.0 : air);
        if (i == 77 || i == 78) air_text = "OL";
        if (i == 99) air_text = "9999";
        const std::string sill = i % 50 == 7 ? "" : i > 380 ? "125.0" : fmt::format("{:.1f}", 20.0 + 0.05 * i);
        if (i == 200) text += "Time,,,,,,\n";
        text += fmt::format("{},{},{:.1f},{},{}.0,{:.2f},{}\n", time(i), air_text, roof, sill, 900 + i, 10.003 * i,
                            i == 10 ? "\"door, open\"" : "");
    }
    return text;
}

}  // namespace

TEST_CASE("real logs read page by page are those read whole") {
    for (const char* name : {"nist-oven-rods/Oven_Test_001_avg.csv", "macfp-pmma-kelvin/Aalto_Cone_65kW_3.csv",
                             "steel-plate-heatflux/DATA.csv", "macfp-pmma-kelvin/Aalto_Gasification_65kW_2.csv"}) {
        CAPTURE(name);
        const std::string path = std::string(BAKEWRIGHT_TEST_DATA) + "/" + name;
        check_as_whole(path, kSmall);
        check_as_whole(path, {});
    }
}

TEST_CASE("flags, gaps, repeated headings and a second clock are found page by page as in the whole") {
    const auto seconds = [](int i) { return std::to_string(10 * i + (i > 300 ? 900 : 0)); };
    const auto dates = [](int i) {
        return fmt::format("{:02}.04.2026 {:02}:{:02}:{:02}", 3 + i / 360, 20 + i / 360 % 24 - 20 * (i / 360), i / 6 % 60,
                           i % 6 * 10);
    };
    for (const std::string& text : {faulty_log("Elapsed (s)", seconds), faulty_log("Time", dates)}) {
        const TextFile file(text);
        check_as_whole(file.path(), kSmall);
        for (std::size_t rows : {1U, 3U, 64U, 1000U}) {
            PagedSizes sizes = kSmall;
            sizes.page_rows = rows;
            sizes.piece_bytes = 60 + 131 * rows;
            check_as_whole(file.path(), sizes);
        }
    }
    // The flags the text was made for are there, so that the comparison above is one of flags.
    const ProbeLog whole = read(faulty_log("Elapsed (s)", seconds));
    CHECK(whole.reading.find("Air")->spikes == 1);
    CHECK(whole.reading.find("Air")->open_circuit == 3);
    CHECK(whole.reading.find("Roof")->stuck > 100);
    CHECK(whole.reading.find("Sill")->missing == 8);
    CHECK(whole.reading.find("Sill")->clipped > 0);
    CHECK(whole.reading.find("Furnace")->open_circuit == 0);
    CHECK(whole.reading.longest_gap_s == doctest::Approx(910.0));
}

TEST_CASE("byte-order mark, CRLF, semicolons, decimal commas and a cut last row make no difference") {
    std::string text = "\xEF\xBB\xBFZeit [s];Dach [°C];Schweller [°C]\r\n";
    for (int i = 0; i < 300; ++i) text += fmt::format("{};{},5;{},25\r\n", i, 20 + i / 10, 21 + i / 20);
    check_as_whole(TextFile(text).path(), kSmall);
    check_as_whole(TextFile(text + "300;50").path(), kSmall);
    ReadOptions part;
    part.from_line = 40;
    part.to_line = 90;
    check_as_whole(TextFile(text).path(), kSmall, part);
}

TEST_CASE("times of day without a date, past two midnights, and a date in the first row only") {
    const auto log = [](std::string_view date, std::string_view heading) {
        std::string text = fmt::format("{},Roof (°C)\n", heading);
        for (int i = 0; i < 400; ++i) {
            const int s = 80000 + 301 * i;
            text += fmt::format("{}{:02}:{:02}:{:02}.{},{}.5\n", i == 0 ? date : "", s / 3600 % 24, s / 60 % 60, s % 60, i % 10,
                                20 + i / 20);
        }
        return text;
    };
    check_as_whole(TextFile(log("", "Time")).path(), kSmall);
    check_as_whole(TextFile(log("2026-11-24 ", "Time")).path(), kSmall);
    const ProbeLog whole = read(log("", "Time"));
    CHECK(whole.reading.time_form == TimeForm::clock_of_day);
    CHECK(same(whole.reading.last_time_s, 301.0 * 399 + 0.9));
    CHECK(read(log("2026-11-24 ", "Time")).traces.started_at == "2026-11-24T22:13:20");
}

TEST_CASE("what only the whole file can tell is left to whoever reads it whole") {
    const auto why = [](const std::string& text) {
        try {
            const TextFile file(text);
            static_cast<void>(read_paged(file.path(), kSmall));
        } catch (const NeedsWholeLog& needs) {
            return needs.why;
        }
        return std::string();
    };
    std::string rows;
    for (int i = 0; i < 100; ++i) rows += fmt::format("{},20.5\n", i);
    CHECK(why("Time (s),Roof (°C)\n" + rows).empty());
    CHECK(contains(why("Time (s),Roof (°C)\n" + rows + "50,20.5\n"), "line 102: the time does not go on"));
    CHECK(contains(why("Time (s),Roof (mV)\n" + rows), "no column of temperatures"));
    CHECK(contains(why("Time (s),Roof (°C)\n" + rows + "100,\"20\n"), "never closed"));
    CHECK(contains(why("Time (s),R\xF6"
                       "of (°C)\n" +
                       rows),
                   "UTF-8"));
    CHECK(contains(why("Time (s),Roof (°C)\n" + rows + "100,2o.5\n"), "2o.5"));
    CHECK(contains(why("Time,Roof (°C)\n14:00:00,20\n14:00:01,20\n14:00:00,20\n"), "the time does not go on"));
    CHECK(contains(why("Time,Roof (°C)\n3/4/2026 14:00:00,20\n3/4/2026 14:00:01,20\n3/4/2026 14:00:02,20\n"), "month"));
    CHECK(contains(why("Time (s),Roof\n0,20 °C\n1,21 °C\n2,21 °C\n"), "units"));
}

TEST_CASE("full-scale numbers are held against the first plain temperature, wherever it comes") {
    const auto log = [](int full_scale, int temperature) {
        std::string text = "Time (s),Kiln (°C),Roof (°C)\n";
        for (int i = 0; i < 60; ++i) text += fmt::format("{},{},{}\n", i, i < 30 ? full_scale : temperature + i, 20 + i / 7);
        return text;
    };
    const TextFile unplugged(log(1372, 20));
    check_as_whole(unplugged.path(), kSmall);
    CHECK(read_paged(unplugged.path(), kSmall)->reading().find("Kiln")->open_circuit == 30);
    // Only page seven tells that the pages before were a kiln's temperatures.
    const TextFile hot(log(1200, 1170));
    CHECK_THROWS_AS(read_paged(hot.path(), kSmall), NeedsWholeLog);
    CHECK(read(log(1200, 1170)).reading.find("Kiln")->open_circuit == 0);
}

TEST_CASE("blocks that are packed while a log is read are those its samples pack to") {
    namespace codec = bakewright::codec;
    std::string text = "Time (s),Air (°C),Roof (°C),Sill (°F)\n";
    for (int i = 0; i < 70000; ++i)
        text += fmt::format("{},{:.1f},{},{:.2f}\n", i, 20.0 + i % 700 * 0.1, i == 69999 ? "OL" : "25.5", 70.0 + i % 31 * 0.01);
    const TextFile file(text);
    const auto log = read_paged(file.path(), {});
    std::size_t packed = 0;
    for (std::size_t trace = 0; trace < 3; ++trace)
        for (std::size_t first = 0; first < log->size(); first += codec::kBlockSamples) {
            const std::size_t count = std::min(codec::kBlockSamples, log->size() - first);
            CHECK_FALSE(log->packed_part(trace, first, count - 1));
            const auto part = log->packed_part(trace, first, count);
            if (!part) continue;
            ++packed;
            const bakewright::Trace samples = log->part(trace, first, count);
            CHECK(part->block == codec::pack_block(samples, 0, count, trace == 0 ? nullptr : &samples));
            const auto statistics = codec::statistics_of(codec::samples_of(samples, 0, count));
            CHECK(part->statistics.area_ks == statistics.area_ks);
            CHECK(part->statistics.usable_count == count);
        }
    CHECK(packed == 4);  // two blocks each of Air and Sill; Roof has a flag
}

TEST_CASE("a reading that is stopped, and a file that is written to meanwhile, are told") {
    std::string text = "Time (s),Roof (°C)\n";
    for (int i = 0; i < 500; ++i) text += fmt::format("{},20.5\n", i);
    const TextFile file(text);
    const auto stop = [](double share) { return share < 0.5; };
    CHECK_THROWS_AS(PagedLog::read(FileBytes(file.path()), file.path(), {}, stop, kSmall), bakewright::FileError);
    const FileBytes open(file.path());
    std::ofstream(file.path(), std::ios::app) << "500,20.5\n";
    CHECK_THROWS_AS(open.ensure_unchanged(), InputError);
}
