// SPDX-License-Identifier: Apache-2.0
#include "sample_scan.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace bakewright::probe {
namespace {

constexpr std::size_t kMostJumps = 65536;

}  // namespace

void SampleScan::take(const codec::Samples& page) {
    if (page.are_all_usable()) return take_usable(page.time_s, page.temperature_k);
    usable_s_.clear();
    usable_k_.clear();
    for (std::size_t i = 0; i < page.size(); ++i) {
        const bool is_good = page.quality.empty() || page.quality[i] == SampleQuality::good;
        if (!is_good || !std::isfinite(page.temperature_k[i])) continue;
        usable_s_.push_back(page.time_s[i]);
        usable_k_.push_back(page.temperature_k[i]);
    }
    take_usable(usable_s_, usable_k_);
}

void SampleScan::take_usable(std::span<const double> time_s, std::span<const double> temperature_k) {
    constexpr double kNone = -std::numeric_limits<double>::infinity();
    if (time_s.empty()) {
        out_.first_time_s.push_back(out_.first_time_s.empty() ? kNone : out_.first_time_s.back());
    } else {
        if (out_.size() == 0) {
            out_.first_k = out_.least_k = out_.most_k = last_k_ = temperature_k.front();
            last_s_ = time_s.front();
        }
        take_temperatures(temperature_k);
        take_times(out_.size() == 0 ? time_s.subspan(1) : time_s);
        take_runs(time_s, temperature_k);
        out_.first_time_s.push_back(time_s.front());
    }
    out_.first_good.push_back(out_.size() + time_s.size());
}

void SampleScan::take_temperatures(std::span<const double> temperature_k) {
    // Several lanes side by side: one chain of minima has to wait for itself.
    constexpr std::size_t kLanes = 4;
    std::array<double, kLanes> finest_k, biggest_k{}, least_k, most_k;
    finest_k.fill(finest_k_);
    least_k.fill(out_.least_k);
    most_k.fill(out_.most_k);
    const auto take = [&](std::size_t lane, double before_k, double value_k) {
        const double step_k = std::abs(value_k - before_k), moved_k = step_k > kRoundingK ? step_k : INFINITY;
        finest_k[lane] = moved_k < finest_k[lane] ? moved_k : finest_k[lane];
        biggest_k[lane] = step_k > biggest_k[lane] ? step_k : biggest_k[lane];
        least_k[lane] = value_k < least_k[lane] ? value_k : least_k[lane];
        most_k[lane] = value_k > most_k[lane] ? value_k : most_k[lane];
    };
    take(0, last_k_, temperature_k.front());
    std::size_t i = 1;
    for (; i + kLanes <= temperature_k.size(); i += kLanes)
        for (std::size_t lane = 0; lane < kLanes; ++lane) take(lane, temperature_k[i + lane - 1], temperature_k[i + lane]);
    for (; i < temperature_k.size(); ++i) take(0, temperature_k[i - 1], temperature_k[i]);
    if (*std::max_element(biggest_k.begin(), biggest_k.end()) > look_out_.jump_k) note_jumps(temperature_k);
    finest_k_ = *std::min_element(finest_k.begin(), finest_k.end());
    out_.least_k = *std::min_element(least_k.begin(), least_k.end());
    out_.most_k = *std::max_element(most_k.begin(), most_k.end());
    last_k_ = temperature_k.back();
}

void SampleScan::note_jumps(std::span<const double> temperature_k) {
    double before_k = last_k_;
    for (std::size_t i = 0; i < temperature_k.size() && out_.jumps; ++i) {
        if (std::abs(temperature_k[i] - std::exchange(before_k, temperature_k[i])) <= look_out_.jump_k) continue;
        out_.jumps->push_back(out_.size() + i);
        if (out_.jumps->size() > kMostJumps) out_.jumps.reset();
    }
}

void SampleScan::take_times(std::span<const double> time_s) {
    for (const double here_s : time_s) {
        const double step_s = here_s - last_s_;
        if (step_s != step_s_ || equal_steps_ == 0) {
            if (equal_steps_ > 0) steps_.add(step_s_, equal_steps_);
            step_s_ = step_s;
            equal_steps_ = 0;
            if (step_s > out_.longest_step_s) {
                out_.longest_step_s = step_s;
                out_.longest_step_from_s = last_s_;
            }
        }
        ++equal_steps_;
        last_s_ = here_s;
    }
}

/// Where no two neighbours are equal and none is near an end found so far, no run is of interest, and these are most chunks.
bool SampleScan::has_no_run(std::span<const double> temperature_k) const {
    if (!(look_out_.run_time_s > 0.0) || run_.end != run_.first + 1) return false;
    const double low_k = low_k_ + 2.0 * kRoundingK, high_k = high_k_ - 2.0 * kRoundingK;
    std::size_t near = run_k_ > low_k && run_k_ < high_k ? 0 : 1;
    double before_k = run_k_;
    for (const double value_k : temperature_k) {
        near += std::abs(value_k - before_k) > kRoundingK ? 0 : 1;
        near += value_k > low_k ? 0 : 1;
        near += value_k < high_k ? 0 : 1;
        before_k = value_k;
    }
    return near == 0;
}

void SampleScan::take_runs(std::span<const double> time_s, std::span<const double> temperature_k) {
    constexpr std::size_t kChunk = 64;
    const std::size_t first = out_.size();
    for (std::size_t from = 0; from < temperature_k.size(); from += kChunk) {
        const std::size_t count = std::min(kChunk, temperature_k.size() - from), last = from + count - 1;
        if (has_no_run(temperature_k.subspan(from, count))) {
            run_ = {first + last, first + last + 1};
            run_k_ = temperature_k[last];
            run_from_s_ = run_to_s_ = time_s[last];
        } else {
            take_runs_of(first + from, time_s.subspan(from, count), temperature_k.subspan(from, count));
        }
    }
}

/// @param first  number of the first sample
void SampleScan::take_runs_of(std::size_t first, std::span<const double> time_s, std::span<const double> temperature_k) {
    if (first == 0) run_k_ = temperature_k.front();
    for (std::size_t i = 0; i < temperature_k.size();) {
        if (std::abs(temperature_k[i] - run_k_) > kRoundingK) close_run();
        if (run_.end == run_.first) {
            run_.first = first + i;
            run_k_ = temperature_k[i];
            run_from_s_ = time_s[i];
        }
        do ++i;
        while (i < temperature_k.size() && std::abs(temperature_k[i] - run_k_) <= kRoundingK);
        run_.end = first + i;
        run_to_s_ = time_s[i - 1];
    }
}

void SampleScan::close_run() {
    if (run_to_s_ - run_from_s_ >= look_out_.run_time_s) out_.long_runs.push_back(run_);
    keep_end(run_k_ - low_k_, low_k_, low_);
    keep_end(high_k_ - run_k_, high_k_, high_);
    run_.first = run_.end;
}

/// @param beyond_k  by how much the run stays within the end found so far; below zero where it passes it
void SampleScan::keep_end(double beyond_k, double& end_k, std::vector<EqualRun>& runs) const {
    if (beyond_k > kRoundingK) return;
    if (!(beyond_k >= -kRoundingK)) runs.clear();
    if (!(beyond_k >= 0.0)) end_k = run_k_;
    if (run_.end - run_.first >= look_out_.run_samples) runs.push_back(run_);
}

ScannedSamples SampleScan::finish() {
    if (out_.size() > 0) close_run();
    if (equal_steps_ > 0) steps_.add(step_s_, equal_steps_);
    out_.usual_step_s = steps_.median_s();
    out_.resolution_k = std::isfinite(finest_k_) ? finest_k_ : 0.0;
    // Where nothing moves the same run is at both ends.
    if (out_.most_k - out_.least_k <= kRoundingK) high_.clear();
    out_.end_runs.resize(low_.size() + high_.size());
    std::merge(low_.begin(), low_.end(), high_.begin(), high_.end(), out_.end_runs.begin(),
               [](const EqualRun& a, const EqualRun& b) { return a.first < b.first; });
    return std::move(out_);
}

}  // namespace bakewright::probe
