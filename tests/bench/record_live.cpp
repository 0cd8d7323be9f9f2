// SPDX-License-Identifier: Apache-2.0
#include <fcntl.h>
#include <fmt/format.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cmath>
#include <csignal>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <stdexcept>
#include <string>
#include <thread>
#include <utility>
#include <vector>

#include "bakewright/base/units.hpp"
#include "bakewright/profile/library.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/services/live.hpp"
#include "measure.hpp"
#include "tune/estimate_bakes.hpp"

namespace bakewright::bench {
namespace {

constexpr int kSeconds = 60, kChannels = 32;

struct Usage {
    double share = 0.0, mb = 0.0;
};

/// The program records 32 channels at one a second from a pipe for a minute; what it took of a core, and the most memory.
Usage measure_recording() {
    const std::filesystem::path folder = std::filesystem::temp_directory_path() / fmt::format("bakewright-bench-{}", ::getpid());
    std::filesystem::create_directory(folder);
    int ends[2];
    if (::pipe(ends) != 0) throw std::runtime_error("no pipe");
    const auto began = std::chrono::steady_clock::now();
    const pid_t child = ::fork();
    if (child == 0) {
        ::dup2(ends[0], STDIN_FILENO);
        ::close(ends[0]);
        ::close(ends[1]);
        const int nowhere = ::open("/dev/null", O_WRONLY);
        ::dup2(nowhere, STDOUT_FILENO);
        ::setenv("BAKEWRIGHT_BOOK", (folder / "bench.book").c_str(), 1);
        ::execl(BAKEWRIGHT_PROGRAM, "bakewright", "record", "--lines", "-", nullptr);
        ::_exit(127);
    }
    ::close(ends[0]);
    std::signal(SIGPIPE, SIG_IGN);
    std::string heading = "time [s]";
    for (int c = 0; c < kChannels; ++c) heading += fmt::format(",channel {} [°C]", c);
    heading += '\n';
    bool is_written = ::write(ends[1], heading.data(), heading.size()) > 0;
    for (int second = 0; second < kSeconds && is_written; ++second) {
        std::string row = fmt::format("{}", second);
        for (int c = 0; c < kChannels; ++c)
            row += fmt::format(",{:.1f}", 20.0 + 40.0 * (1.0 - std::exp(-second / (600.0 + 50.0 * c))));
        row += '\n';
        is_written = ::write(ends[1], row.data(), row.size()) > 0;
        std::this_thread::sleep_until(began + std::chrono::seconds(second + 1));
    }
    ::close(ends[1]);
    int status = 0;
    rusage used{};
    ::wait4(child, &status, 0, &used);
    std::filesystem::remove_all(folder);
    if (status != 0 || !is_written) throw std::runtime_error("the program did not record");
    const double wall_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();
    const auto seconds = [](const timeval& time) {
        return static_cast<double>(time.tv_sec) + 1e-6 * static_cast<double>(time.tv_usec);
    };
    return {(seconds(used.ru_utime) + seconds(used.ru_stime)) / wall_s, static_cast<double>(used.ru_maxrss) / 1024.0};
}

const Usage& recording() {
    static const Usage measured = measure_recording();
    return measured;
}

}  // namespace

namespace {

constexpr double kSecondsPerMinute = 60.0, kMidHoldS = 75.0 * kSecondsPerMinute;
constexpr std::size_t kEveryZone = 100;  // or more than there are

/// A reading each second on the straight line between two of a log; channels beyond those of the log say what its own say.
TraceSet each_second(const TraceSet& log) {
    TraceSet dense;
    for (int c = 0; c < kChannels; ++c) {
        const Trace& of = log.traces[static_cast<std::size_t>(c) % log.traces.size()];
        const bool is_first = static_cast<std::size_t>(c) < log.traces.size();
        Trace trace{is_first ? of.name : fmt::format("channel {}", c), is_first ? of.role : TraceRole::unmapped, {}, {}, {}};
        for (double time_s = of.time_s.front(); time_s <= of.time_s.back(); time_s += 1.0) {
            trace.time_s.push_back(time_s);
            trace.temperature_k.push_back(temperature_at_k(of, time_s));
        }
        dense.traces.push_back(std::move(trace));
    }
    return dense;
}

struct Knowing {
    double update_s = 0.0, second_s = 0.0;  ///< of the processor, a minute's full update and a second's move
    std::size_t members = 0, readings = 0;
};

/// The demo van in mid-hold, every zone probed, in this process: as `record` does it, on one thread.
Knowing measure_knowing() {
    const test::DemoVan van;
    services::StoredBake whole;
    whole.record.kind = book::BakeKind::logged;
    whole.traces = each_second(test::made_bake(van, {.seed = 1, .probed = kEveryZone}).task.bakes.front().traces);
    whole.shell = profile::load_shell("library_van", profile::Library({BAKEWRIGHT_PROFILES})).record;
    whole.booth = van.booth;
    whole.coating = van.coating;
    whole.cycle = van.cycle;
    services::LiveOptions options;
    options.thread_count = 1;
    options.moves_each_second = true;
    services::LiveBake live(options);
    const auto until = [&](double time_s) {
        services::StoredBake bake = whole;
        services::cut_off_at(bake, time_s);
        return bake;
    };
    const auto processor_s = [](const auto& work) {
        const std::clock_t began = std::clock();
        work();
        return static_cast<double>(std::clock() - began) / CLOCKS_PER_SEC;
    };
    static_cast<void>(live.update(until(kMidHoldS - kSecondsPerMinute)));
    const services::StoredBake now = until(kMidHoldS);
    report::LiveState state;
    Knowing knowing;
    knowing.update_s = processor_s([&] { state = live.update(now); });
    if (!live.seconds()) throw std::runtime_error("the demo bake is not known: " + state.why_not);
    knowing.members = state.members, knowing.readings = state.readings;
    const TraceSet later = until(kMidHoldS + kSecondsPerMinute).traces;
    TraceSet recent;
    services::add_recent(recent, now.traces);
    for (int second = 1; second <= kSeconds; ++second) {
        TraceSet fresh = later;
        for (Trace& trace : fresh.traces) {
            const auto at = static_cast<std::size_t>(kMidHoldS - trace.time_s.front()) + static_cast<std::size_t>(second);
            trace.time_s = {trace.time_s[at]};
            trace.temperature_k = {trace.temperature_k[at]};
        }
        knowing.second_s += processor_s([&] {
                                services::add_recent(recent, fresh);
                                if (!live.seconds()->at(recent)) throw std::runtime_error("a second did not move");
                            }) /
                            kSeconds;
    }
    return knowing;
}

const Knowing& knowing() {
    static const Knowing measured = measure_knowing();
    return measured;
}

}  // namespace

Record record_cpu() {
    const double share = recording().share + knowing().update_s / kSecondsPerMinute + knowing().second_s;
    return {"record.cpu",
            100.0 * share,
            "%",
            "",
            std::nullopt,
            fmt::format(
                "of one core, 32 channels at 1 Hz, {} members: recording {:.1f} %, a full update a minute ({:.2f} s) {:.1f} %, "
                "moved each second ({:.1f} ms) {:.1f} %; wanted at most 5 %",
                knowing().members, 100.0 * recording().share, knowing().update_s, 100.0 * knowing().update_s / kSecondsPerMinute,
                1e3 * knowing().second_s, 100.0 * knowing().second_s)};
}

Record live_second() {
    return {"live.second",
            1e3 * knowing().second_s,
            "ms",
            "the full update of a minute",
            1e3 * knowing().update_s,
            fmt::format("of the processor for the live state moved to a second's readings, {} members, 32 channels",
                        knowing().members)};
}

namespace {

/// Runs the program to its end. @return the most memory it took [MB]
double memory_of(const std::filesystem::path& book, std::vector<std::string> words) {
    words.insert(words.begin(), "bakewright");
    words.insert(words.end(), {"--book", book.string()});
    const pid_t child = ::fork();
    if (child == 0) {
        const int nowhere = ::open("/dev/null", O_RDWR);
        for (const int descriptor : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) ::dup2(nowhere, descriptor);
        ::setenv("BAKEWRIGHT_PROFILES", BAKEWRIGHT_PROFILES, 1);
        std::vector<char*> arguments;
        for (std::string& word : words) arguments.push_back(word.data());
        arguments.push_back(nullptr);
        ::execv(BAKEWRIGHT_PROGRAM, arguments.data());
        ::_exit(127);
    }
    int status = 0;
    rusage used{};
    ::wait4(child, &status, 0, &used);
    if (!WIFEXITED(status) || WEXITSTATUS(status) > 1) throw std::runtime_error("the program failed at " + words[1]);
    return static_cast<double>(used.ru_maxrss) / 1024.0;
}

/// A bake of 32 channels at 1 Hz is recorded from start to verdict, and foretold each minute of it.
double measure_memory_of_knowing() {
    const std::filesystem::path folder = std::filesystem::temp_directory_path() / fmt::format("bakewright-know-{}", ::getpid());
    std::filesystem::create_directory(folder);
    const TraceSet log =
        each_second(test::made_bake(test::DemoVan(), {.seed = 1, .probed = kEveryZone}).task.bakes.front().traces);
    {
        std::ofstream file(folder / "log.csv");
        file << "time [s]";
        for (const Trace& trace : log.traces) file << ',' << trace.name << " [°C]";
        for (std::size_t i = 0; i < log.traces.front().size(); ++i) {
            file << '\n' << log.traces.front().time_s[i];
            for (const Trace& trace : log.traces) file << fmt::format(",{:.2f}", kelvin_to_celsius(trace.temperature_k[i]));
        }
        file << '\n';
    }
    const std::vector<std::string> job{"--shell", "library_van", "--booth", "stirred_insulated", "--coating", "clear_low_bake"};
    const auto with_job = [&](std::vector<std::string> words) {
        words.insert(words.end(), job.begin(), job.end());
        return words;
    };
    static_cast<void>(memory_of(folder / "bench.book", with_job({"import", (folder / "log.csv").string()})));
    const double mb =
        memory_of(folder / "bench.book", with_job({"record", "--replay", "1", "--speed", "60", "--cycle", "clear_60"}));
    std::filesystem::remove_all(folder);
    return mb;
}

}  // namespace

Record record_rss() {
    return {"record.rss",
            measure_memory_of_knowing(),
            "MB",
            "",
            std::nullopt,
            "most memory while 32 channels at 1 Hz are recorded and foretold with 256 members, and judged in the end; "
            "wanted at most 150 MB"};
}

}  // namespace bakewright::bench
