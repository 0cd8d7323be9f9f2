// SPDX-License-Identifier: Apache-2.0
// Benchmarks beside peers that do the same job. Nothing here passes or fails: a timing judges the machine as much as the program.

#include <fmt/core.h>

#include <algorithm>
#include <exception>
#include <fstream>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <string>
#include <vector>

#include "measure.hpp"

namespace {

using namespace bakewright::bench;

const std::vector<Benchmark> kBenchmarks{{"ensemble.demo.10000", ensemble_demo},
                                         {"solve.demo", solve_demo},
                                         {"solve.60-zones", solve_60_zones},
                                         {"solve.240-zones", solve_240_zones},
                                         {"judge.24ch-4h", judge_24ch_4h},
                                         {"map.demo", map_demo},
                                         {"map.demo.256", map_demo_256},
                                         {"plan.demo", plan_demo},
                                         {"tune.8x3", tune_8x3},
                                         {"estimate.demo", estimate_demo},
                                         {"live.update", live_update},
                                         {"live.second", live_second},
                                         {"record.cpu", record_cpu},
                                         {"record.rss", record_rss},
                                         {"startup", startup},
                                         {"study.1000", study_1000},
                                         {"store.bytes-per-sample", store_bytes_per_sample},
                                         {"store.write", store_write},
                                         {"store.day", store_day},
                                         {"book.open-30000", book_open_30000},
                                         {"book.list-30000", book_list_30000},
                                         {"book.load-one", book_load_one},
                                         {"import.200mb", import_200mb},
                                         {"judge.60m", judge_60m},
                                         {"report.60m", report_60m},
                                         {"merge.40x500", merge_40x500},
                                         {"page.first-paint", page_first_paint},
                                         {"page.slider", page_slider},
                                         {"page.attacked", page_attacked},
                                         {"page.stop", page_stop},
                                         {"report.bytes", report_bytes}};

struct Asked {
    std::vector<std::string> names;
    std::string json_file;
};

/// @throws std::invalid_argument
Asked asked_by(const std::vector<std::string>& arguments) {
    Asked asked;
    for (std::size_t i = 0; i < arguments.size(); ++i) {
        if (arguments[i] == "--json") {
            if (++i == arguments.size()) throw std::invalid_argument("--json needs a file");
            asked.json_file = arguments[i];
            continue;
        }
        const auto is_it = [&](const Benchmark& benchmark) { return benchmark.name == arguments[i]; };
        if (std::none_of(kBenchmarks.begin(), kBenchmarks.end(), is_it)) {
            std::string known;
            for (const Benchmark& benchmark : kBenchmarks) known += " " + benchmark.name;
            throw std::invalid_argument("'" + arguments[i] + "' is no benchmark; there are:" + known + ", and --json FILE");
        }
        asked.names.push_back(arguments[i]);
    }
    return asked;
}

nlohmann::json to_json(const Record& record) {
    nlohmann::json json{{"name", record.name},   {"value", record.value}, {"unit", record.unit}, {"peer", record.peer},
                        {"peer_value", nullptr}, {"ratio", nullptr},      {"note", record.note}};
    if (record.peer_value) json["peer_value"] = *record.peer_value;
    if (record.ratio()) json["ratio"] = *record.ratio();
    return json;
}

void print(const Record& record) {
    const std::string peer_value = record.peer_value ? fmt::format("{:.3f} {}", *record.peer_value, record.unit) : "-";
    const std::string ratio = record.ratio() ? fmt::format("{:.2f}", *record.ratio()) : "-";
    fmt::print("{:<22} {:>12} {:>12} {:>7}  {:<20} {}\n", record.name, fmt::format("{:.3f} {}", record.value, record.unit),
               peer_value, ratio, record.peer, record.note);
}

}  // namespace

int main(int argument_count, char** argument_values) {
    try {
        const Asked asked = asked_by({argument_values + 1, argument_values + argument_count});
        nlohmann::json records = nlohmann::json::array();
        fmt::print("{:<22} {:>12} {:>12} {:>7}  {:<20} {}\n", "benchmark", "ours", "peer", "ratio", "the peer", "note");
        for (const Benchmark& benchmark : kBenchmarks) {
            const bool is_asked = std::find(asked.names.begin(), asked.names.end(), benchmark.name) != asked.names.end();
            if (!asked.names.empty() && !is_asked) continue;
            const Record record = benchmark.run();
            print(record);
            records.push_back(to_json(record));
        }
        if (asked.json_file.empty()) return 0;
        std::ofstream file(asked.json_file);
        file << records.dump(2) << '\n';
        if (!file.flush()) throw std::runtime_error("cannot write " + asked.json_file);
        return 0;
    } catch (const std::invalid_argument& error) {
        fmt::print(stderr, "bakewright_bench: {}\n", error.what());
        return 2;
    } catch (const std::exception& error) {
        fmt::print(stderr, "bakewright_bench: {}\n", error.what());
        return 3;
    }
}
