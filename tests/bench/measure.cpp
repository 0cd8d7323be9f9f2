// SPDX-License-Identifier: Apache-2.0
#include "measure.hpp"

#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <stdexcept>

namespace bakewright::bench {

std::vector<double> interleaved_medians_s(const std::vector<std::function<void()>>& jobs, int rounds) {
    std::vector<std::vector<double>> times_s(jobs.size());
    for (int round = -1; round < rounds; ++round)
        for (std::size_t j = 0; j < jobs.size(); ++j) {
            const auto began = std::chrono::steady_clock::now();
            jobs[j]();
            const std::chrono::duration<double> took = std::chrono::steady_clock::now() - began;
            if (round >= 0) times_s[j].push_back(took.count());
        }
    std::vector<double> medians_s;
    for (std::vector<double>& times : times_s) {
        const auto middle = times.begin() + static_cast<std::ptrdiff_t>(times.size() / 2);
        std::nth_element(times.begin(), middle, times.end());
        medians_s.push_back(*middle);
    }
    return medians_s;
}

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

}  // namespace bakewright::bench
