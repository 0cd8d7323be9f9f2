// What a book of many bakes costs, against plain SQLite on the same disk.
#include <sqlite3.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <memory>
#include <sstream>
#include <stdexcept>

#include "bakewright/base/units.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/probe/read_log.hpp"
#include "measure.hpp"

namespace bakewright::bench {
namespace {

namespace fs = std::filesystem;

/// A folder that goes with the object.
class ScratchFolder {
public:
    ScratchFolder() : path_(fs::temp_directory_path() / ("bakewright-bench-" + std::to_string(::getpid()))) {
        fs::create_directories(path_);
    }
    ~ScratchFolder() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    ScratchFolder(const ScratchFolder&) = delete;
    ScratchFolder& operator=(const ScratchFolder&) = delete;
    [[nodiscard]] fs::path file(const std::string& name) const { return path_ / name; }

private:
    fs::path path_;
};

/// Plain SQLite, as a peer would use it.
class Plain {
public:
    explicit Plain(const fs::path& file) {
        sqlite3* handle = nullptr;
        if (sqlite3_open(file.c_str(), &handle) != SQLITE_OK) throw std::runtime_error("sqlite3_open failed");
        handle_.reset(handle);
    }
    void run(const std::string& sql) const {
        if (sqlite3_exec(handle_.get(), sql.c_str(), nullptr, nullptr, nullptr) != SQLITE_OK)
            throw std::runtime_error(sqlite3_errmsg(handle_.get()));
    }
    /// All rows of a query; returns how many numbers it read.
    [[nodiscard]] std::size_t read(const std::string& sql) const {
        sqlite3_stmt* statement = nullptr;
        if (sqlite3_prepare_v2(handle_.get(), sql.c_str(), -1, &statement, nullptr) != SQLITE_OK)
            throw std::runtime_error(sqlite3_errmsg(handle_.get()));
        std::size_t count = 0;
        volatile double sink = 0.0;
        while (sqlite3_step(statement) == SQLITE_ROW)
            for (int column = 0; column < sqlite3_column_count(statement); ++column, ++count)
                sink = sink + sqlite3_column_double(statement, column);
        sqlite3_finalize(statement);
        return count;
    }
    /// One row a sample, the key in front: the layout that the packed blocks are held against.
    void keep_by_row(std::size_t trace, const Trace& samples) const {
        sqlite3_stmt* insert = nullptr;
        sqlite3_prepare_v2(handle_.get(), "INSERT INTO sample VALUES (?, ?, ?, ?)", -1, &insert, nullptr);
        for (std::size_t i = 0; i < samples.size(); ++i) {
            sqlite3_bind_int64(insert, 1, static_cast<sqlite3_int64>(trace));
            sqlite3_bind_double(insert, 2, samples.time_s[i]);
            sqlite3_bind_double(insert, 3, samples.temperature_k[i]);
            sqlite3_bind_int(insert, 4, samples.quality.empty() ? 0 : static_cast<int>(samples.quality[i]));
            sqlite3_step(insert);
            sqlite3_reset(insert);
        }
        sqlite3_finalize(insert);
    }
    void make_sample_table() const {
        run("CREATE TABLE sample (trace INTEGER, time_s REAL, temperature_k REAL, quality INTEGER, "
            "PRIMARY KEY (trace, time_s)) STRICT, WITHOUT ROWID");
    }

private:
    struct Close {
        void operator()(sqlite3* handle) const { sqlite3_close(handle); }
    };
    std::unique_ptr<sqlite3, Close> handle_;
};

constexpr std::size_t kBakes = 30000, kChannels = 8, kSamples = 240;

/// Four hours at one a minute of eight probes with one decimal, invented.
TraceSet logged_bake(std::size_t number) {
    TraceSet set;
    for (std::size_t channel = 0; channel < kChannels; ++channel) {
        Trace trace;
        trace.name = "probe " + std::to_string(channel + 1);
        trace.role = channel == 0 ? TraceRole::booth_air : TraceRole::zone;
        for (std::size_t i = 0; i < kSamples; ++i) {
            const double time_s = 60.0 * static_cast<double>(i);
            const double lag_s = 600.0 + 300.0 * static_cast<double>(channel) + static_cast<double>(number % 97);
            const double celsius =
                20.0 + 42.0 * (1.0 - std::exp(-time_s / lag_s)) + 0.3 * std::sin(static_cast<double>(i * (channel + 3)));
            trace.time_s.push_back(time_s);
            trace.temperature_k.push_back(celsius_to_kelvin(std::round(celsius * 10.0) / 10.0));
        }
        set.traces.push_back(std::move(trace));
    }
    return set;
}

/// Made once for all records that ask of it.
const fs::path& large_book() {
    static const ScratchFolder folder;
    static const fs::path file = [] {
        book::Book book = book::Book::open(folder.file("large.book"), book::Mode::create);
        book::BakeRepository bakes(book);
        book::TraceRepository traces(book);
        book::Transaction transaction(book);
        for (std::size_t i = 0; i < kBakes; ++i) {
            book::NewBake bake;
            bake.kind = book::BakeKind::logged;
            bake.title = "bake " + std::to_string(i);
            traces.store(bakes.add(bake), logged_bake(i));
        }
        transaction.commit();
        return folder.file("large.book");
    }();
    return file;
}

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

/// Runs a program in a folder; returns its wall time [s] and the most memory it held [MB].
std::array<double, 2> run_measured(const std::string& command) {
    const auto from = std::chrono::steady_clock::now();
    const pid_t child = ::fork();
    if (child == 0) {
        ::execl("/bin/sh", "sh", "-c", ("exec " + command).c_str(), nullptr);
        ::_exit(127);
    }
    int status = 0;
    rusage used{};
    if (::wait4(child, &status, 0, &used) != child || status != 0) throw std::runtime_error("failed: " + command);
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - from;
    return {took.count(), static_cast<double>(used.ru_maxrss) / 1024.0};
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

Record book_open_30000() {
    const fs::path& file = large_book();
    const auto ours = [&] { static_cast<void>(book::Book::open(file, book::Mode::read_only)); };
    const auto plain = [&] { static_cast<void>(Plain(file).read("PRAGMA schema_version")); };
    const std::vector<double> median_s = interleaved_medians_s({ours, plain}, 21);
    return {"book.open-30000",
            median_s[0] * 1e3,
            "ms",
            "plain SQLite",
            median_s[1] * 1e3,
            "opening with the checks of what it is; the file has " + std::to_string(fs::file_size(file) / 1000000) + " MB"};
}

Record book_list_30000() {
    book::Book book = book::Book::open(large_book(), book::Mode::read_only);
    const book::BakeRepository bakes(book);
    const Plain plain(large_book());
    const auto ours = [&] {
        if (bakes.list({.limit = 20}).size() != 20) throw std::runtime_error("book.list-30000: not twenty");
    };
    const auto ids = [&] {
        static_cast<void>(plain.read("SELECT bake_id FROM bake ORDER BY created_at DESC, bake_id DESC LIMIT 20"));
    };
    const std::vector<double> median_s = interleaved_medians_s({ours, ids}, 21);
    return {"book.list-30000",
            median_s[0] * 1e3,
            "ms",
            "SQL, numbers alone",
            median_s[1] * 1e3,
            "the last twenty of 30,000 bakes with titles, profiles, numbers of traces and lengths"};
}

Record book_load_one() {
    book::Book book = book::Book::open(large_book(), book::Mode::read_only);
    const book::TraceRepository traces(book);
    const ScratchFolder folder;
    const Plain rows(folder.file("rows.sqlite"));
    rows.make_sample_table();
    rows.run("BEGIN");
    // The like of every hundredth bake: a table of all samples would take hours to make.
    for (std::size_t bake = 0; bake < kBakes / 100; ++bake) {
        const TraceSet set = logged_bake(100 * bake);
        for (std::size_t channel = 0; channel < kChannels; ++channel)
            rows.keep_by_row(kChannels * bake + channel, set.traces[channel]);
    }
    rows.run("COMMIT");
    const auto ours = [&] {
        if (traces.load(book::BakeId{15000}).traces.size() != kChannels)
            throw std::runtime_error("book.load-one: not all traces");
    };
    const auto by_row = [&] {
        const std::size_t read = rows.read("SELECT time_s, temperature_k FROM sample WHERE trace BETWEEN 1200 AND 1207");
        if (read != 2 * kChannels * kSamples) throw std::runtime_error("book.load-one: the peer reads something else");
    };
    const std::vector<double> median_s = interleaved_medians_s({ours, by_row}, 51);
    return {"book.load-one",
            median_s[0] * 1e3,
            "ms",
            "one row a sample",
            median_s[1] * 1e3,
            "8 channels of 4 h, one of 30,000 bakes, hashes checked; the peer's table has 300 bakes"};
}

Record import_200mb() {
    const ScratchFolder folder;
    const std::string csv = folder.file("large.csv").string(), book = folder.file("large.book").string(),
                      plain = folder.file("plain.sqlite").string();
    write_large_csv(csv);
    const double megabytes = static_cast<double>(fs::file_size(csv)) / 1e6;
    const auto ours = run_measured(std::string(BAKEWRIGHT_PROGRAM) + " import " + csv + " --book " + book + " >/dev/null 2>&1");
    const auto peer = run_measured("sqlite3 " + plain + " '.mode csv' '.import " + csv + " log' >/dev/null 2>&1");
    std::ostringstream note;
    note << std::fixed;
    note.precision(0);
    note << megabytes << " MB, 2.5 million rows of 12 channels; raw file kept and hashed: " << megabytes / ours[0] << " MB/s in "
         << ours[1] << " MB of memory; .import: " << megabytes / peer[0] << " MB/s";
    return {"import.200mb", ours[0], "s", "sqlite3 .import", peer[0], note.str()};
}

}  // namespace bakewright::bench
