// SPDX-License-Identifier: Apache-2.0
#include "quality_rules.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "bakewright/base/units.hpp"
#include "reading.hpp"

namespace bakewright::probe {
namespace {

constexpr std::size_t kLongestSpike = 2, kLeastFlat = 5, kLeastShared = 10, kMostCompared = 64, kNoiseReach = 8;
constexpr double kFlatSteps = 5.0, kStuckSteps = 50.0, kSuddenSteps = 10.0, kCoarseK = 0.2, kMadToSigma = 1.4826;
// Ends of the range of digital temperature sensors and of loggers with a sensor inside. Common practice, no source.
constexpr std::array kSensorEndsK = {celsius_to_kelvin(-55.0), celsius_to_kelvin(-40.0), celsius_to_kelvin(125.0),
                                     celsius_to_kelvin(150.0)};

double line_k(const GoodSamples& good, std::size_t left, std::size_t right, std::size_t at) {
    const double share = (good.time_s(at) - good.time_s(left)) / (good.time_s(right) - good.time_s(left));
    return good.temperature_k(left) + share * (good.temperature_k(right) - good.temperature_k(left));
}

/// How far neighbouring samples around one lie apart, as the standard deviation of normal noise would be [K].
double local_noise_k(const GoodSamples& good, std::size_t at) {
    const std::size_t from = at > kNoiseReach ? at - kNoiseReach : 0, to = std::min(at + kNoiseReach, good.size() - 1);
    std::vector<double> steps;
    for (std::size_t i = from + 1; i <= to; ++i) steps.push_back(std::abs(good.temperature_k(i) - good.temperature_k(i - 1)));
    if (steps.empty()) return 0.0;
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::nth_element(steps.begin(), middle, steps.end());
    return kMadToSigma * *middle;
}

/// Length of the spike that begins at a sample; 0 where none does.
std::size_t spike_length(const GoodSamples& good, std::size_t first, const QualityRules& rules) {
    for (std::size_t length = 1; length <= kLongestSpike && first + length < good.size(); ++length) {
        const std::size_t left = first - 1, right = first + length;
        if (good.time_s(right) - good.time_s(left) > rules.spike_time_s) return 0;
        double least_off_k = INFINITY, side = 0.0;
        for (std::size_t i = first; i < right; ++i) {
            const double off_k = good.temperature_k(i) - line_k(good, left, right, i);
            least_off_k = side * off_k < 0.0 ? 0.0 : std::min(least_off_k, std::abs(off_k));
            side = off_k;
        }
        const bool stands_off =
            least_off_k > rules.spike_k && std::abs(good.temperature_k(right) - good.temperature_k(left)) < 0.5 * least_off_k;
        if (stands_off && least_off_k > rules.spike_noise * local_noise_k(good, first)) return length;
    }
    return 0;
}

/// A step that no part of a body can make: of what separates the channel's coldest and hottest sample, it may close at most a
/// share of 1 - exp(-dt / tau). tau is that of a bare thermocouple in moving air, faster than any sheet that is painted (0.7 mm
/// of steel between two films of 30 W/m2K: 44 s). Common practice, no source.
bool is_impossible_step(const GoodSamples& good, std::size_t to, const QualityRules& rules) {
    constexpr double kFastestS = 15.0;
    const double step_k = std::abs(good.temperature_k(to) - good.temperature_k(to - 1));
    const double range_k = good.scanned().most_k - good.scanned().least_k;
    const double bound_k = range_k * -std::expm1(-(good.time_s(to) - good.time_s(to - 1)) / kFastestS);
    return step_k > rules.spike_k && step_k > bound_k && step_k > rules.spike_noise * local_noise_k(good, to);
}

double step_k(const GoodSamples& good, std::size_t to) { return good.temperature_k(to) - good.temperature_k(to - 1); }

/// Samples between two impossible steps, there and back; one or two before the first such step; and those behind the last, where
/// they are few: the rest is what the body did.
void find_islands(const GoodSamples& good, const QualityRules& rules, FlagList& flags) {
    constexpr std::size_t kMostAtEnd = 30, kEndShare = 10, kIslandShare = 4;
    if (!good.scanned().jumps || names_air(good.name())) return;
    std::vector<std::size_t> edges;
    for (const std::size_t at : *good.scanned().jumps)
        if (at > 0 && is_impossible_step(good, at, rules)) edges.push_back(at);
    const auto flag = [&](std::size_t first, std::size_t end) {
        for (std::size_t i = first; i < end; ++i) flags.add(good.sample(i), SampleQuality::spike);
    };
    const std::size_t most_at_end = std::min(kMostAtEnd, good.size() / kEndShare);
    for (std::size_t e = 0; e < edges.size(); ++e) {
        const std::size_t first = edges[e];
        if (e + 1 < edges.size()) {
            const std::size_t end = edges[e + 1];
            const double there_k = step_k(good, first), back_k = step_k(good, end);
            const double off_k = std::abs(good.temperature_k(end) - good.temperature_k(first - 1));
            const bool returns = there_k * back_k < 0.0 && off_k < 0.5 * std::min(std::abs(there_k), std::abs(back_k));
            if (returns && end - first <= good.size() / kIslandShare) {
                flag(first, end);
                ++e;
                continue;
            }
        }
        // A probe that is only put in its place begins with good readings of something else: no more than what a logger starts
        // with.
        if (e == 0 && first <= std::min(kLongestSpike, most_at_end)) flag(0, first);
        if (e + 1 == edges.size() && good.size() - first <= most_at_end) flag(first, good.size());
    }
}

/// The first sample, or the last, that stands off all that follows or comes before: it has no neighbour on its other side.
/// @param end  true for the last one
bool is_end_spike(const GoodSamples& good, bool end, const QualityRules& rules) {
    constexpr std::size_t kCompared = 4;
    constexpr double kTimesOthers = 4.0;
    if (good.size() < kCompared + 2) return false;
    const std::size_t last = good.size() - 1, step = end ? last : 1;
    const double off_k = std::abs(step_k(good, step));
    if (off_k <= rules.spike_k || good.time_s(step) - good.time_s(step - 1) > rules.spike_time_s) return false;
    for (std::size_t k = 1; k <= kCompared; ++k)
        if (off_k < kTimesOthers * std::abs(step_k(good, end ? last - k : 1 + k))) return false;
    return off_k > rules.spike_noise * local_noise_k(good, end ? last : 0);
}

bool is_at(double temperature_k, double end_k) { return std::abs(temperature_k - end_k) <= kRoundingK; }

/// A run at the channel's highest or lowest value that begins or ends with a step a thing that warms does not make.
bool is_cut_flat(const GoodSamples& good, std::size_t first, std::size_t end) {
    const double value_k = good.temperature_k(first);
    if (end - first < kLeastFlat || !(is_at(value_k, good.scanned().least_k) || is_at(value_k, good.scanned().most_k)))
        return false;
    const double step_k = kFlatSteps * good.scanned().resolution_k - kRoundingK;
    const bool before = first > 0 && std::abs(good.temperature_k(first - 1) - value_k) >= step_k;
    const bool behind = end < good.size() && std::abs(good.temperature_k(end) - value_k) >= step_k;
    return good.scanned().resolution_k > 0.0 && (before || behind);
}

/// Another channel moves and would take this one with it: it is hotter, or goes away from where this one stands. What a
/// controller holds at its set point is the hottest thing there, and the others come towards it.
bool others_drive(const std::vector<GoodSamples>& all, std::size_t own, double from_s, double to_s, double least_k,
                  const QualityRules& rules) {
    const std::size_t most = std::min(all.size(), kMostCompared);
    const double own_k = all[own].movement(from_s, to_s).first_k;
    for (std::size_t i = 0; i < most; ++i) {
        if (i == own) continue;
        const GoodSamples::Movement moved = all[i].movement(from_s, to_s);
        if (moved.most_k - moved.least_k <= least_k) continue;
        const bool is_hotter = moved.most_k - own_k > rules.stuck_other_k;
        const bool goes_away = std::abs(moved.last_k - own_k) - std::abs(moved.first_k - own_k) > rules.stuck_other_k;
        if (is_hotter || goes_away) return true;
    }
    return false;
}

/// What warms comes to rest slowly, and waits at its first value until the heat arrives; a reading that freezes stops in full
/// motion, jumps when it comes back, or never does.
bool stops_suddenly(const GoodSamples& good, std::size_t first, std::size_t end, const QualityRules& rules) {
    if (first == 0) return false;
    if (end == good.size()) return true;
    const double much_k = kSuddenSteps * good.scanned().resolution_k - kRoundingK;
    const double before_s = good.time_s(first);
    return good.movement_k(before_s - rules.stuck_time_s / 4.0, before_s) >= much_k ||
           std::abs(good.temperature_k(end) - good.temperature_k(end - 1)) >= much_k;
}

}  // namespace

LookOut look_out(const QualityRules& rules) {
    // The value of a spike lies off the line by more than spike_k, the samples beside it differ by less than half of that: the
    // step to it is more than half of spike_k. A little less stands for rounding.
    return {.jump_k = 0.499 * rules.spike_k, .run_time_s = rules.stuck_time_s, .run_samples = kLeastFlat};
}

void find_spikes(const GoodSamples& good, const QualityRules& rules, FlagList& flags) {
    if (good.scanned().most_k - good.scanned().least_k <= rules.spike_k) return;
    std::size_t behind = 1;  // the good neighbour behind a spike begins none
    const auto look_at = [&](std::size_t i) {
        if (i < behind || i + 1 >= good.size()) return;
        const std::size_t length = spike_length(good, i, rules);
        for (std::size_t k = i; k < i + length; ++k) flags.add(good.sample(k), SampleQuality::spike);
        if (length > 0) behind = i + length + 1;
    };
    if (good.scanned().jumps)
        std::for_each(good.scanned().jumps->begin(), good.scanned().jumps->end(), look_at);
    else
        for (std::size_t i = 1; i + 1 < good.size(); ++i) look_at(i);
    find_islands(good, rules, flags);
    if (is_end_spike(good, false, rules)) flags.add(good.sample(0), SampleQuality::spike);
    if (is_end_spike(good, true, rules)) flags.add(good.sample(good.size() - 1), SampleQuality::spike);
}

void find_clipped(const GoodSamples& good, const QualityRules& rules, FlagList& flags) {
    if (rules.range_least_k || rules.range_most_k) {
        for (std::size_t i = 0; i < good.size(); ++i) {
            const double value_k = good.temperature_k(i);
            if ((rules.range_least_k && value_k <= *rules.range_least_k + kRoundingK) ||
                (rules.range_most_k && value_k >= *rules.range_most_k - kRoundingK))
                flags.add(good.sample(i), SampleQuality::clipped);
        }
        return;
    }
    const auto is_end = [](double value_k) {
        return std::any_of(kSensorEndsK.begin(), kSensorEndsK.end(), [&](double end_k) { return is_at(value_k, end_k); });
    };
    for (const EqualRun& run : good.scanned().end_runs)
        if (is_end(good.temperature_k(run.first)) && is_cut_flat(good, run.first, run.end))
            for (std::size_t i = run.first; i < run.end; ++i) flags.add(good.sample(i), SampleQuality::clipped);
}

void find_stuck(const std::vector<GoodSamples>& all, const QualityRules& rules, std::vector<FlagList>& flags) {
    for (std::size_t own = 0; own < all.size(); ++own) {
        const GoodSamples& good = all[own];
        if (good.scanned().most_k - good.scanned().least_k < rules.stuck_other_k) continue;
        const double least_k = std::max(rules.stuck_other_k, kStuckSteps * good.scanned().resolution_k);
        for (const EqualRun& run : good.scanned().long_runs) {
            const double from_s = good.time_s(run.first), to_s = good.time_s(run.end - 1);
            if (stops_suddenly(good, run.first, run.end, rules) && others_drive(all, own, from_s, to_s, least_k, rules))
                for (std::size_t i = run.first + 1; i < run.end; ++i) flags[own].add(good.sample(i), SampleQuality::stuck);
        }
    }
}

void remark_shared_ends(const std::vector<GoodSamples>& all, const std::vector<FlagList>& flags,
                        std::vector<std::string>& remarks) {
    std::map<long long, std::vector<std::string>> ends;
    for (std::size_t c = 0; c < all.size(); ++c) {
        if (!flags[c].empty() || all[c].scanned().resolution_k > kCoarseK) continue;
        for (const EqualRun& run : all[c].scanned().end_runs) {
            if (run.end - run.first < kLeastShared || !is_cut_flat(all[c], run.first, run.end)) continue;
            auto& names = ends[std::llround(all[c].temperature_k(run.first) / kRoundingK)];
            if (names.empty() || names.back() != all[c].name()) names.push_back(all[c].name());
        }
    }
    for (const auto& [value, names] : ends)
        if (names.size() >= 2)
            remarks.push_back(
                fmt::format("'{}', '{}'{} stop at the same value, {:.2f} K, and stay there: if the logger's range ends there, "
                            "say so with --range",
                            names[0], names[1], names.size() > 2 ? " and others" : "", static_cast<double>(value) * kRoundingK));
}

void set_flags(const FlagList& flags, std::size_t first, std::span<SampleQuality> quality) {
    for (const FlagList::Run& run : flags.runs()) {
        const std::size_t from = std::max(run.first, first), to = std::min(run.first + run.count, first + quality.size());
        for (std::size_t sample = from; sample < to; ++sample)
            if (quality[sample - first] == SampleQuality::good) quality[sample - first] = run.quality;
    }
}

}  // namespace bakewright::probe
