// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <sqlite3.h>
#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <memory>
#include <stdexcept>
#include <string>

#include "bakewright/base/trace.hpp"
#include "bakewright/base/units.hpp"

/// What the benchmarks of the book share: a peer that uses SQLite plainly, and invented bakes.
namespace bakewright::bench {

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

inline constexpr std::size_t kChannels = 8, kSamples = 240;

/// Four hours at one a minute of eight probes with one decimal, invented.
inline TraceSet logged_bake(std::size_t number) {
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

}  // namespace bakewright::bench
