#include "measure.hpp"

#include <algorithm>
#include <chrono>

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

}  // namespace bakewright::bench
