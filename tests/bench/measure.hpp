// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace bakewright::bench {

/// One number of a benchmark, beside a peer's that does the same job.
struct Record {
    std::string name;
    double value = 0.0;
    std::string unit;
    std::string peer;                  ///< empty: none at hand
    std::optional<double> peer_value;  ///< in the same unit
    std::string note;                  ///< what the numbers hold for, such as the error reached

    /// How many times better than the peer; a time is better where it is shorter.
    [[nodiscard]] std::optional<double> ratio() const {
        if (!peer_value) return std::nullopt;
        return *peer_value / value;
    }
};

/// A benchmark that can be asked for by name.
struct Benchmark {
    std::string name;
    std::function<Record()> run;
};

/// Median wall time [s] of each job over several rounds; every round runs each job once, so that what else the machine does falls
/// on all alike. One round goes before that does not count.
[[nodiscard]] std::vector<double> interleaved_medians_s(const std::vector<std::function<void()>>& jobs, int rounds);

/// Runs a program in a shell; its wall time [s] and the most memory it held [MB].
[[nodiscard]] std::array<double, 2> run_measured(const std::string& command);

[[nodiscard]] Record ensemble_demo();
[[nodiscard]] Record solve_demo();
[[nodiscard]] Record solve_60_zones();
[[nodiscard]] Record solve_240_zones();
[[nodiscard]] Record startup();
/// A study of a thousand cycles beside as many commands.
[[nodiscard]] Record study_1000();
/// A minute of 32 channels at 1 Hz recorded by the program: share of a core, and memory.
[[nodiscard]] Record record_cpu();
[[nodiscard]] Record record_rss();
Record page_first_paint();
Record page_slider();
/// The page under the attacks of tests/page/attack.py.
Record page_attacked();
Record page_stop();
/// The feasible map of the demo van: 40 set points, holds up to 4 h; wanted under 50 ms on two cores.
[[nodiscard]] Record map_demo();
[[nodiscard]] Record map_demo_256();
/// A plan over the same set points, with the trade-off between what may be sought.
[[nodiscard]] Record plan_demo();
/// Eight numbers of the demo van tuned on three logged bakes; wanted under 2 s on two cores.
[[nodiscard]] Record tune_8x3();
/// Judging a log of 24 channels, 4 h at 1 Hz, with certainty; wanted under 20 ms.
[[nodiscard]] Record judge_24ch_4h();
/// Size of the report of a log of 24 channels, 4 h at 1 Hz; wanted under 3 MB.
[[nodiscard]] Record report_bytes();

/// Bytes of a stored sample of the real logs.
[[nodiscard]] Record store_bytes_per_sample();
/// Time to store many short bakes.
[[nodiscard]] Record store_write();
/// One channel of a day read back; wanted under 1 ms.
[[nodiscard]] Record store_day();
/// A book of 30,000 logged bakes, ten years of a busy shop with three booths: opening it, listing the last twenty, loading one.
[[nodiscard]] Record book_open_30000();
[[nodiscard]] Record book_list_30000();
[[nodiscard]] Record book_load_one();
/// Every zone of a bake from eight probes, scored; and how often its bands hold beside the peer's.
[[nodiscard]] Record estimate_demo();
/// One of the updates of a bake that goes on, a minute after the last.
[[nodiscard]] Record live_update();
[[nodiscard]] Record live_second();
/// Verdict and report of a log of 5 million rows of 12 channels, by the program, and the memory they take; wanted within 100 MB,
/// and for the verdict within three times reading the blocks.
[[nodiscard]] Record judge_60m();
[[nodiscard]] Record report_60m();
/// Forty books of 500 bakes into one.
[[nodiscard]] Record merge_40x500();
/// A log of 200 MB into a book, by the program.
[[nodiscard]] Record import_200mb();

}  // namespace bakewright::bench
