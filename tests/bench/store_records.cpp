// SPDX-License-Identifier: Apache-2.0
// How samples are stored and how a large log comes in, against plain SQLite on the same disk.
#include <fast_float/fast_float.h>

#include <array>
#include <chrono>
#include <cstdio>
#include <fstream>
#include <sstream>

#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/probe/read_log.hpp"
#include "book_peers.hpp"
#include "measure.hpp"

namespace bakewright::bench {
namespace {

constexpr std::array<const char*, 5> kRealLogs{
    "nist-oven-rods/Oven_Test_001_avg.csv", "pi-thermometers-5ch/Boiling_Water_250131.csv", "pi-thermometers-5ch/Cups_of_Tea.csv",
    "steel-plate-heatflux/DATA.csv", "macfp-pmma-kelvin/Aalto_Cone_65kW_3.csv"};

std::string bytes_of(const fs::path& file) {
    std::ifstream stream(file, std::ios::binary);
    if (!stream) throw std::runtime_error("cannot read " + file.string());
    std::ostringstream text;
    text << stream.rdbuf();
    return text.str();
}

/// 2.5 million rows of 12 channels, one a second, invented.
void write_large_csv(const fs::path& file) {
    std::FILE* out = std::fopen(file.c_str(), "wb");
    if (out == nullptr) throw std::runtime_error("cannot write " + file.string());
    std::fputs("elapsed s", out);
    for (int channel = 1; channel <= 12; ++channel) std::fprintf(out, ",zone %d (degC)", channel);
    for (int row = 0; row < 2500000; ++row) {
        std::fprintf(out, "\n%d", row);
        const double celsius = 20.0 + 40.0 * std::pow(std::sin(row / 7000.0), 2);
        for (int channel = 0; channel < 12; ++channel)
            std::fprintf(out, ",%.2f", celsius + 0.1 * channel + 0.01 * ((row * 7 + channel * 13) % 17));
    }
    std::fputc('\n', out);
    std::fclose(out);
}

/// Every number of a file of commas, read and forgotten: what no import can be quicker than on one core. Returns the time [s].
double plain_parse_s(const fs::path& file) {
    const auto from = std::chrono::steady_clock::now();
    std::ifstream stream(file, std::ios::binary);
    std::string text(std::size_t{1} << 20U, '\0');
    volatile double sink = 0.0;
    std::size_t kept = 0;
    while (stream.read(text.data() + kept, static_cast<std::streamsize>(text.size() - kept)) || stream.gcount() > 0) {
        const std::size_t size = kept + static_cast<std::size_t>(stream.gcount());
        const std::size_t whole = text.rfind('\n', size - 1) + 1;
        for (const char *at = text.data(), *const end = at + whole; at < end;) {
            double value = 0.0;
            const auto read = fast_float::from_chars(at, end, value);
            sink = sink + value;
            at = read.ptr == at ? at + 1 : read.ptr + 1;
        }
        kept = size - whole;
        text.replace(0, kept, text, whole, kept);
    }
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count();
}

}  // namespace

Record store_bytes_per_sample() {
    const ScratchFolder folder;
    book::Book book = book::Book::open(folder.file("logs.book"), book::Mode::create);
    book::BakeRepository bakes(book);
    book::TraceRepository traces(book);
    const Plain rows(folder.file("rows.sqlite"));
    rows.make_sample_table();
    rows.run("BEGIN");
    std::size_t samples = 0, stored = 0, trace_number = 0;
    for (const char* name : kRealLogs) {
        const probe::ProbeLog log = probe::read_log(bytes_of(fs::path(BAKEWRIGHT_TEST_DATA) / name), name, {});
        book::NewBake bake;
        bake.kind = book::BakeKind::logged;
        const book::BakeId id = bakes.add(bake);
        traces.store(id, log.traces);
        for (const book::TraceSummary& summary : traces.summaries(id)) {
            samples += summary.sample_count;
            stored += summary.stored_bytes;
        }
        for (const Trace& trace : log.traces.traces) rows.keep_by_row(++trace_number, trace);
    }
    rows.run("COMMIT; VACUUM");
    const auto row_bytes = static_cast<double>(fs::file_size(folder.file("rows.sqlite")));
    return {"store.bytes-per-sample",
            static_cast<double>(stored) / static_cast<double>(samples),
            "B",
            "one row a sample",
            row_bytes / static_cast<double>(samples),
            std::to_string(kRealLogs.size()) + " real logs, " + std::to_string(samples) + " samples with times and flags"};
}

Record store_write() {
    constexpr std::size_t kWritten = 300;
    const ScratchFolder folder;
    const std::vector<TraceSet> bakes = [] {
        std::vector<TraceSet> made;
        for (std::size_t i = 0; i < kWritten; ++i) made.push_back(logged_bake(i));
        return made;
    }();
    int round = 0;
    const auto packed = [&] {
        book::Book book = book::Book::open(folder.file(std::to_string(++round) + ".book"), book::Mode::create);
        book::Transaction transaction(book);
        for (const TraceSet& set : bakes) {
            book::NewBake bake;
            bake.kind = book::BakeKind::logged;
            book::TraceRepository(book).store(book::BakeRepository(book).add(bake), set);
        }
        transaction.commit();
    };
    const auto by_row = [&] {
        const Plain rows(folder.file(std::to_string(++round) + ".sqlite"));
        rows.make_sample_table();
        rows.run("BEGIN");
        std::size_t trace = 0;
        for (const TraceSet& set : bakes)
            for (const Trace& samples : set.traces) rows.keep_by_row(++trace, samples);
        rows.run("COMMIT");
    };
    const std::vector<double> median_s = interleaved_medians_s({packed, by_row}, 5);
    return {"store.write",
            median_s[0] * 1e3,
            "ms",
            "one row a sample",
            median_s[1] * 1e3,
            std::to_string(kWritten * kChannels * kSamples) + " samples of 300 bakes, hashed, with the rows of their bakes"};
}

Record store_day() {
    constexpr std::size_t kDay = 86400;
    TraceSet set;
    Trace& day = set.traces.emplace_back();
    day.name = "sill";
    for (std::size_t i = 0; i < kDay; ++i) {
        const double time_s = static_cast<double>(i);
        day.time_s.push_back(time_s);
        day.temperature_k.push_back(celsius_to_kelvin(
            std::round(10.0 * (40.0 + 20.0 * std::sin(time_s / 9000.0)) + static_cast<double>(i * 7 % 3)) / 10.0));
    }
    const ScratchFolder folder;
    book::Book book = book::Book::open(folder.file("day.book"), book::Mode::create);
    book::NewBake bake;
    bake.kind = book::BakeKind::logged;
    const book::BakeId id = book::BakeRepository(book).add(bake);
    book::TraceRepository traces(book);
    traces.store(id, set);
    const Plain rows(folder.file("rows.sqlite"));
    rows.make_sample_table();
    rows.run("BEGIN");
    rows.keep_by_row(1, day);
    rows.run("COMMIT");
    const auto ours = [&] {
        if (traces.load_one(id, "sill")->size() != kDay) throw std::runtime_error("store.day: not all samples");
    };
    const auto by_row = [&] {
        if (rows.read("SELECT time_s, temperature_k FROM sample WHERE trace = 1") != 2 * kDay)
            throw std::runtime_error("store.day: the peer reads something else");
    };
    const std::vector<double> median_s = interleaved_medians_s({ours, by_row}, 51);
    return {"store.day",        median_s[0] * 1e3, "ms",
            "one row a sample", median_s[1] * 1e3, "one channel of a day at one a second, back from the book"};
}

Record import_200mb() {
    const ScratchFolder folder;
    const std::string csv = folder.file("large.csv").string(), book = folder.file("large.book").string(),
                      plain = folder.file("plain.sqlite").string();
    write_large_csv(csv);
    const double megabytes = static_cast<double>(fs::file_size(csv)) / 1e6;
    const auto ours = run_measured(std::string(BAKEWRIGHT_PROGRAM) + " import " + csv + " --book " + book + " >/dev/null 2>&1");
    const auto alone = run_measured(std::string(BAKEWRIGHT_PROGRAM) + " --version >/dev/null");
    const auto peer = run_measured("sqlite3 " + plain + " '.mode csv' '.import " + csv + " log' >/dev/null 2>&1");
    const double parse_s = plain_parse_s(csv);
    std::ostringstream note;
    note << std::fixed;
    note.precision(0);
    note << megabytes << " MB, 2.5 million rows of 12 channels; raw file kept and hashed: " << megabytes / ours[0] << " MB/s in "
         << ours[1] << " MB of memory (the program alone has " << alone[1] << "); .import: " << megabytes / peer[0]
         << " MB/s; a plain parse that stores nothing: " << megabytes / parse_s << " MB/s";
    return {"import.200mb", ours[0], "s", "sqlite3 .import", peer[0], note.str()};
}

}  // namespace bakewright::bench
