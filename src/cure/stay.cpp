// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/stay.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "bakewright/cure/readings.hpp"

namespace bakewright::cure {
namespace {

/// Of a normal distribution so much lies within one standard deviation.
constexpr double kWithinOneDeviation = 0.6826894921370859;
/// A line through fewer samples tells nothing of their noise.
constexpr std::size_t kFewestOnLine = 5;
/// In fewer samples noise cannot be told from a course with corners.
constexpr std::size_t kFewestForNoise = 25;
constexpr double kEarnedRounding = 1e-9;
constexpr double kReachedWithinS = 1e-7;

/// How far a sample lies off the cubic through two neighbours on either side, as a standard deviation of one sample.
double off_cubic_k(std::span<const double> time_s, std::span<const double> temperature_k, std::size_t i) {
    const std::array<std::size_t, 4> at{i - 2, i - 1, i + 1, i + 2};
    double on_cubic_k = 0.0, squares = 1.0;
    for (const std::size_t j : at) {
        double weight = 1.0;
        for (const std::size_t k : at)
            if (k != j) weight *= (time_s[i] - time_s[k]) / (time_s[j] - time_s[k]);
        on_cubic_k += weight * temperature_k[j];
        squares += weight * weight;
    }
    return std::abs(temperature_k[i] - on_cubic_k) / std::sqrt(squares);
}

/// The least-squares line through samples begin to end - 1, read at a time.
double line_at(std::span<const double> time_s, std::span<const double> temperature_k, std::size_t begin, std::size_t end,
               double at_s) {
    double mean_s = 0.0, mean_k = 0.0;
    for (std::size_t i = begin; i < end; ++i) {
        mean_s += time_s[i] - at_s;
        mean_k += temperature_k[i];
    }
    const auto count = static_cast<double>(end - begin);
    mean_s /= count;
    mean_k /= count;
    double ss = 0.0, sk = 0.0;
    for (std::size_t i = begin; i < end; ++i) {
        const double from_mean_s = time_s[i] - at_s - mean_s;
        ss += from_mean_s * from_mean_s;
        sk += from_mean_s * (temperature_k[i] - mean_k);
    }
    return mean_k - mean_s * sk / ss;
}

void put_lines(const JoinedTrace& trace, const JoinedTrace::Run& run, std::vector<double>& line_k) {
    const auto time_s = trace.time_s();
    std::size_t begin = run.begin, end = run.begin;
    for (std::size_t i = run.begin; i < run.end; ++i) {
        while (time_s[begin] < time_s[i] - kLocalLineReachS) ++begin;
        while (end < run.end && time_s[end] <= time_s[i] + kLocalLineReachS) ++end;
        if (end - begin >= kFewestOnLine) line_k[i] = line_at(time_s, trace.temperature_k(), begin, end, time_s[i]);
    }
}

/// An unbroken piece of a run at or above the level.
struct Piece {
    double from_s = 0.0, until_s = 0.0;
    double earned_before = 0.0, earned_after = 0.0;  ///< of all pieces of the run up to its ends
    double coldest_before_k = 0.0;                   ///< in the dip between the piece before and this one
};

/// Cuts one run of a trace, warmed by an offset, into its pieces at or above a level.
class PieceFinder {
public:
    PieceFinder(const StayTrace& trace, const JoinedTrace::Run& run, double level_k, double offset_k)
        : trace_(trace), run_(run), level_k_(level_k - kTemperatureRoundingK), offset_k_(offset_k) {}

    /// Calls visit(part) for every straight part at or above the level, in order of time, until it says no.
    template <class Visit>
    void parts(double from_s, Visit&& visit) const {
        for (std::size_t i = first_segment(from_s); i + 1 < run_.end; ++i) {
            TraceLine segment = segment_at(i);
            if (segment.from_k < level_k_ && segment.until_k < level_k_) continue;
            if (segment.from_k < level_k_)
                segment = {segment.crossing_s(level_k_), level_k_, segment.until_s, segment.until_k};
            else if (segment.until_k < level_k_)
                segment = {segment.from_s, segment.from_k, segment.crossing_s(level_k_), level_k_};
            if (segment.until_s > from_s && !visit(segment)) return;
        }
    }

    [[nodiscard]] std::vector<Piece> pieces(const Earning& earning) const {
        std::vector<Piece> found;
        double earned = 0.0, coldest_k = HUGE_VAL;
        bool is_inside = false;
        const auto enter = [&](double time_s) {
            found.push_back({time_s, time_s, earned, earned, coldest_k});
            coldest_k = HUGE_VAL;
            is_inside = true;
        };
        if (at(run_.begin) >= level_k_) enter(trace_.time_s()[run_.begin]);
        for (std::size_t i = run_.begin; i + 1 < run_.end; ++i) {
            const TraceLine segment = segment_at(i);
            double from_s = segment.from_s, from_k = segment.from_k, until_s = segment.until_s, until_k = segment.until_k;
            coldest_k = std::min(coldest_k, std::min(from_k, until_k));
            if (!is_inside && until_k < level_k_) continue;
            if (!is_inside) {
                from_s = segment.crossing_s(level_k_);
                from_k = level_k_;
                enter(from_s);
            }
            const bool leaves = until_k < level_k_;
            if (leaves) {
                until_s = segment.crossing_s(level_k_);
                coldest_k = until_k;
                until_k = level_k_;
            }
            earned += earning(from_k, until_k, until_s - from_s);
            found.back().until_s = until_s;
            found.back().earned_after = earned;
            is_inside = !leaves;
        }
        return found;
    }

private:
    [[nodiscard]] double at(std::size_t i) const { return trace_.temperature_k()[i] + offset_k_; }
    [[nodiscard]] TraceLine segment_at(std::size_t i) const {
        return {trace_.time_s()[i], at(i), trace_.time_s()[i + 1], at(i + 1)};
    }
    [[nodiscard]] std::size_t first_segment(double from_s) const {
        const auto times_s = trace_.time_s().subspan(run_.begin, run_.end - run_.begin);
        const auto after = std::upper_bound(times_s.begin(), times_s.end(), from_s) - times_s.begin();
        return run_.begin + static_cast<std::size_t>(std::max<std::ptrdiff_t>(after - 1, 0));
    }

    const StayTrace& trace_;
    const JoinedTrace::Run& run_;
    double level_k_, offset_k_;
};

/// The moment at which so much was earned, counted from a time of the run.
double moment_earned_s(const PieceFinder& finder, const Earning& earning, double from_s, double target) {
    double earned = 0.0, moment_s = from_s;
    finder.parts(from_s, [&](const TraceLine& part) {
        const double whole = earning(part.from_k, part.until_k, part.duration_s());
        if (earned + whole < target) {
            earned += whole;
            moment_s = part.until_s;
            return true;
        }
        double low_s = part.from_s, high_s = part.until_s;
        while (high_s - low_s > kReachedWithinS) {
            const double middle_s = 0.5 * (low_s + high_s);
            const double here = earning(part.from_k, part.temperature_k(middle_s), middle_s - part.from_s);
            (earned + here < target ? low_s : high_s) = middle_s;
        }
        moment_s = high_s;
        return false;
    });
    return moment_s;
}

/// The best stay that ends with each piece of a run, piece after piece.
class StaySearch {
public:
    StaySearch(const PieceFinder& finder, const Earning& earning, double level_k, double target)
        : finder_(finder), earning_(earning), level_k_(level_k), target_(target * (1.0 - kEarnedRounding)) {}

    void run(LongestStay& longest) {
        pieces_ = finder_.pieces(earning_);
        for (std::size_t i = 0; i < pieces_.size(); ++i) {
            if (i == 0 || ends_a_stay(i)) {
                chain_begin_ = i;
                dips_s_.assign(1, 0.0);
                most_allowing_.clear();
            } else {
                dips_s_.push_back(dips_s_.back() + pieces_[i].from_s - pieces_[i - 1].until_s);
            }
            const double allows = dips_s_.back() - kLargestDipShare * pieces_[i].from_s;
            most_allowing_.push_back(most_allowing_.empty() ? allows : std::max(most_allowing_.back(), allows));
            offer(longest, i);
        }
    }

private:
    [[nodiscard]] bool ends_a_stay(std::size_t i) const {
        return pieces_[i].from_s - pieces_[i - 1].until_s > kLongestDipS ||
               level_k_ - pieces_[i].coldest_before_k > kDeepestDipK + kTemperatureRoundingK;
    }
    /// The earliest piece from which on all dips up to the end of piece `last` are a small enough share of the stay.
    void offer(LongestStay& longest, std::size_t last) const {
        const double asks = dips_s_.back() - kLargestDipShare * pieces_[last].until_s;
        const auto first = std::lower_bound(most_allowing_.begin(), most_allowing_.end(), asks) - most_allowing_.begin();
        const auto offset = std::min(static_cast<std::size_t>(first), most_allowing_.size() - 1);
        const Piece& begin = pieces_[chain_begin_ + offset];
        const double earned = pieces_[last].earned_after - begin.earned_before;
        const double dips_s = dips_s_.back() - dips_s_[offset];
        if (earned >= target_ && !longest.reached_s)
            longest.reached_s = std::max(moment_earned_s(finder_, earning_, begin.from_s, target_),
                                         std::min(begin.from_s + dips_s / kLargestDipShare, pieces_[last].until_s));
        const bool is_first = longest.until_s == longest.from_s;
        if (earned < longest.earned || (earned == longest.earned && !is_first)) return;
        longest = {earned, begin.from_s, pieces_[last].until_s, dips_s, longest.reached_s};
    }

    const PieceFinder& finder_;
    const Earning& earning_;
    double level_k_, target_;
    std::vector<Piece> pieces_;
    std::size_t chain_begin_ = 0;
    std::vector<double> dips_s_;         ///< since the chain began, up to each of its pieces
    std::vector<double> most_allowing_;  ///< the largest so far of what a piece's dips allow: see offer()
};

}  // namespace

double sample_noise_k(const JoinedTrace& trace) {
    std::vector<double> off_k;
    for (const JoinedTrace::Run& run : trace.runs())
        for (std::size_t i = run.begin + 2; i + 2 < run.end; ++i)
            off_k.push_back(off_cubic_k(trace.time_s(), trace.temperature_k(), i));
    if (off_k.size() < kFewestForNoise) return 0.0;
    const auto at = off_k.begin() + static_cast<std::ptrdiff_t>(kWithinOneDeviation * static_cast<double>(off_k.size() - 1));
    std::nth_element(off_k.begin(), at, off_k.end());
    return *at;
}

StayTrace::StayTrace(const JoinedTrace& trace)
    : runs_(trace.runs()), time_s_(trace.time_s()), temperature_k_(trace.temperature_k()), noise_k_(sample_noise_k(trace)) {
    if (noise_k_ <= kReadThroughNoiseK) return;
    line_k_.assign(temperature_k_.begin(), temperature_k_.end());
    for (const JoinedTrace::Run& run : runs_) put_lines(trace, run, line_k_);
    temperature_k_ = line_k_;
}

StayTrace::StayTrace(std::span<const double> time_s, std::span<const double> temperature_k)
    : whole_{0, time_s.size()}, runs_(&whole_, 1), time_s_(time_s), temperature_k_(temperature_k) {}

LongestStay longest_stay(const StayTrace& trace, double level_k, const Earning& earning, double target, double offset_k) {
    LongestStay longest;
    for (const JoinedTrace::Run& run : trace.runs()) {
        const PieceFinder finder(trace, run, level_k, offset_k);
        StaySearch(finder, earning, level_k, target).run(longest);
    }
    return longest;
}

LongestStay longest_stay(const StayTrace& trace, double level_k, double target_s, double offset_k) {
    return longest_stay(
        trace, level_k, [](double, double, double duration_s) { return duration_s; }, target_s, offset_k);
}

}  // namespace bakewright::cure
