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
#include <filesystem>
#include <stdexcept>
#include <string>
#include <thread>

#include "measure.hpp"

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

Record record_cpu() {
    return {"record.cpu", 100.0 * recording().share,
            "%",          "",
            std::nullopt, "of one core, 32 channels at 1 Hz, start and end in it; wanted at most 5 %"};
}

Record record_rss() {
    return {"record.rss", recording().mb, "MB", "", std::nullopt, "most memory of the same; wanted at most 150 MB"};
}

}  // namespace bakewright::bench
