// SPDX-License-Identifier: Apache-2.0
// What one way through a trace tells is what looking at all its samples would, wherever its pages are cut.
#include "sample_scan.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

using bakewright::SampleQuality;
using namespace bakewright::probe;

namespace {

struct Samples {
    std::vector<double> time_s, temperature_k;
};

/// Invented: a slow wave with noise, to `step_k`; some samples stay where they were.
Samples wave(std::size_t count, double step_k, unsigned seed) {
    std::mt19937 random(seed);
    Samples made;
    double time_s = 0.0, value_k = 300.0;
    for (std::size_t i = 0; i < count; ++i) {
        time_s += random() % 50 == 0 ? 7.0 : 1.0;
        const double wanted_k =
            300.0 + 30.0 * std::sin(static_cast<double>(i) / 90.0) + 0.001 * static_cast<double>(random() % 400);
        if (random() % 9 != 0) value_k = std::round(wanted_k / step_k) * step_k;
        made.time_s.push_back(time_s);
        made.temperature_k.push_back(random() % 200 == 0 ? value_k + 9.0 : value_k);
    }
    return made;
}

std::vector<EqualRun> runs_of(const Samples& all) {
    std::vector<EqualRun> runs;
    for (std::size_t i = 0; i < all.time_s.size(); ++i) {
        const bool goes_on = i > 0 && std::abs(all.temperature_k[i] - all.temperature_k[runs.back().first]) <= kRoundingK;
        if (goes_on)
            runs.back().end = i + 1;
        else
            runs.push_back({i, i + 1});
    }
    return runs;
}

void check_runs(const std::vector<EqualRun>& seen, const std::vector<EqualRun>& expected) {
    CHECK(std::equal(seen.begin(), seen.end(), expected.begin(), expected.end(),
                     [](const EqualRun& a, const EqualRun& b) { return a.first == b.first && a.end == b.end; }));
}

void check(const Samples& all, const LookOut& look_out, std::size_t page_rows) {
    SampleScan scan(look_out);
    for (std::size_t from = 0; from < all.time_s.size(); from += page_rows) {
        const std::size_t count = std::min(page_rows, all.time_s.size() - from);
        scan.take({std::span(all.time_s).subspan(from, count), std::span(all.temperature_k).subspan(from, count), {}});
    }
    const ScannedSamples seen = scan.finish();
    const auto [least, most] = std::minmax_element(all.temperature_k.begin(), all.temperature_k.end());
    CHECK(seen.size() == all.time_s.size());
    CHECK(seen.first_k == all.temperature_k.front());
    CHECK(seen.least_k == *least);
    CHECK(seen.most_k == *most);
    double finest_k = INFINITY, longest_s = 0.0, longest_from_s = 0.0;
    std::vector<std::size_t> jumps;
    std::vector<double> steps_s;
    for (std::size_t i = 1; i < all.time_s.size(); ++i) {
        const double step_k = std::abs(all.temperature_k[i] - all.temperature_k[i - 1]);
        if (step_k > kRoundingK) finest_k = std::min(finest_k, step_k);
        if (step_k > look_out.jump_k) jumps.push_back(i);
        steps_s.push_back(all.time_s[i] - all.time_s[i - 1]);
        if (!(steps_s.back() > longest_s)) continue;
        longest_s = steps_s.back();
        longest_from_s = all.time_s[i - 1];
    }
    std::sort(steps_s.begin(), steps_s.end());
    CHECK(seen.resolution_k == (std::isfinite(finest_k) ? finest_k : 0.0));
    CHECK(seen.jumps == jumps);
    CHECK(seen.longest_step_s == longest_s);
    CHECK(seen.longest_step_from_s == longest_from_s);
    CHECK(seen.usual_step_s == (steps_s.empty() ? 0.0 : steps_s[steps_s.size() / 2]));
    std::vector<EqualRun> long_runs, end_runs;
    for (const EqualRun& run : runs_of(all)) {
        const double value_k = all.temperature_k[run.first];
        if (all.time_s[run.end - 1] - all.time_s[run.first] >= look_out.run_time_s) long_runs.push_back(run);
        const bool is_end = std::abs(value_k - *least) <= kRoundingK || std::abs(value_k - *most) <= kRoundingK;
        if (is_end && run.end - run.first >= look_out.run_samples) end_runs.push_back(run);
    }
    check_runs(seen.long_runs, long_runs);
    check_runs(seen.end_runs, end_runs);
}

}  // namespace

TEST_CASE("ends, steps, jumps and runs of a trace, coarse and fine, in pages of any length") {
    for (const double step_k : {5.0, 0.5, 0.01, 1e-4})
        for (const std::size_t page_rows : {1U, 2U, 63U, 64U, 65U, 1000U, 4096U})
            for (unsigned seed = 1; seed <= 3; ++seed) {
                CAPTURE(step_k);
                CAPTURE(page_rows);
                CAPTURE(seed);
                const Samples all = wave(3000, step_k, seed);
                check(all, {.jump_k = 6.0, .run_time_s = 6.0, .run_samples = 1}, page_rows);
                check(all, {.jump_k = 0.4, .run_time_s = 3.0, .run_samples = 2}, page_rows);
            }
    const Samples flat{{0.0, 1.0, 2.0}, {293.15, 293.15, 293.15}}, one{{4.0}, {293.15}};
    check(flat, {.jump_k = 1.0, .run_time_s = 2.0, .run_samples = 2}, 2);
    check(one, {.jump_k = 1.0, .run_time_s = 0.0, .run_samples = 1}, 2);
}

TEST_CASE("samples that are not usable are passed over, and a page may have none") {
    const std::vector<double> time_s = {0.0, 1.0, 2.0, 3.0}, temperature_k = {300.0, NAN, 990.0, 301.0};
    const std::vector<SampleQuality> quality = {SampleQuality::good, SampleQuality::good, SampleQuality::open_circuit,
                                                SampleQuality::good};
    SampleScan scan({.jump_k = 100.0, .run_time_s = 10.0, .run_samples = 2});
    for (std::size_t i = 0; i < 4; ++i)
        scan.take({std::span(&time_s[i], 1), std::span(&temperature_k[i], 1), std::span(&quality[i], 1)});
    const ScannedSamples seen = scan.finish();
    CHECK(seen.first_good == std::vector<std::size_t>{0, 1, 1, 1, 2});
    CHECK(seen.first_time_s == std::vector<double>{0.0, 0.0, 0.0, 3.0});
    CHECK(seen.most_k == 301.0);
    CHECK(seen.longest_step_s == 3.0);
    CHECK(seen.jumps->empty());
}
