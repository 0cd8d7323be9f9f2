// SPDX-License-Identifier: Apache-2.0
#include "align.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/tools/minima.hpp>
#include <cmath>
#include <limits>
#include <utility>

#include "bakewright/base/error.hpp"

namespace bakewright::probe {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();
constexpr double kSteadyOffsetK = 3.0, kLeastMovementK = 5.0, kLeastCorrelation = 0.95, kLeastOverlapS = 600.0;
constexpr double kOtherFactor = 1.5, kOtherMoreK = 0.5, kSharpMoreK = 0.2, kSharpWithinS = 120.0;
constexpr double kGridPoints = 1500.0;

/// How alike two traces are at one shift.
struct Likeness {
    double score_k = kInfinity;
    double difference_k = 0.0;
    double correlation = 0.0;
    double first_movement_k = 0.0, second_movement_k = 0.0;  ///< standard deviations
    double overlap_s = 0.0;
};

struct Window {
    double from_s = -kInfinity, to_s = kInfinity;
};

/// A trace on equal steps of time, and what lies between them.
class Aligner {
public:
    Aligner(const Trace& first, const Trace& second) : first_(first.usable_samples()), second_(second.usable_samples()) {
        span_s_ = std::min(length_s(first_), length_s(second_));
        step_s_ = std::max(1.0, span_s_ / kGridPoints);
    }
    [[nodiscard]] double least_overlap_s() const { return std::max(kLeastOverlapS, 0.5 * span_s_); }
    [[nodiscard]] double step_s() const { return step_s_; }
    [[nodiscard]] double least_shift_s() const { return first_.time_s.front() + least_overlap_s() - second_.time_s.back(); }
    [[nodiscard]] double most_shift_s() const { return first_.time_s.back() - least_overlap_s() - second_.time_s.front(); }
    [[nodiscard]] Window overlap(double shift_s) const {
        return {std::max(first_.time_s.front(), second_.time_s.front() + shift_s),
                std::min(first_.time_s.back(), second_.time_s.back() + shift_s)};
    }

    [[nodiscard]] Likeness at(double shift_s, Window within) const {
        Likeness like;
        like.overlap_s = within.to_s - within.from_s;
        if (!(like.overlap_s > 0.0)) return like;
        double n = 0, a1 = 0, b1 = 0, aa = 0, bb = 0, ab = 0;
        Walk a(first_), b(second_);
        for (double t = within.from_s; t <= within.to_s; t += step_s_) {
            const double x = a.at(t), y = b.at(t - shift_s), dx = x - a1, dy = y - b1;
            n += 1.0;
            a1 += dx / n;
            b1 += dy / n;
            aa += dx * (x - a1);
            bb += dy * (y - b1);
            ab += dx * (y - b1);
        }
        if (n < 2.0) return like;
        const double variance = std::max(0.0, (aa + bb - 2.0 * ab) / n),
                     offset_k = std::max(0.0, std::abs(a1 - b1) - kSteadyOffsetK);
        like.difference_k = std::sqrt(variance);
        like.score_k = std::sqrt(variance + offset_k * offset_k);
        like.first_movement_k = std::sqrt(aa / n);
        like.second_movement_k = std::sqrt(bb / n);
        like.correlation = aa > 0.0 && bb > 0.0 ? ab / std::sqrt(aa * bb) : 0.0;
        return like;
    }
    [[nodiscard]] Likeness at(double shift_s) const { return at(shift_s, overlap(shift_s)); }

    /// The best shift between two, by Brent's method.
    [[nodiscard]] double best_between(double from_s, double to_s, const Window* within) const {
        const auto score = [&](double shift_s) { return within == nullptr ? at(shift_s).score_k : at(shift_s, *within).score_k; };
        return boost::math::tools::brent_find_minima(score, from_s, to_s, 20).first;
    }

private:
    /// Straight lines between samples, for times that only grow.
    class Walk {
    public:
        explicit Walk(const Trace& trace) : trace_(trace) {}
        double at(double time_s) {
            while (right_ + 1 < trace_.size() && trace_.time_s[right_] < time_s) ++right_;
            const std::size_t left = right_ - 1;
            const double share = (time_s - trace_.time_s[left]) / (trace_.time_s[right_] - trace_.time_s[left]);
            return trace_.temperature_k[left] +
                   std::clamp(share, 0.0, 1.0) * (trace_.temperature_k[right_] - trace_.temperature_k[left]);
        }

    private:
        const Trace& trace_;
        std::size_t right_ = 1;
    };

    static double length_s(const Trace& trace) { return trace.size() < 2 ? 0.0 : trace.time_s.back() - trace.time_s.front(); }

    Trace first_, second_;
    double span_s_ = 0.0, step_s_ = 1.0;
};

[[noreturn]] void distrust(const std::string& why) {
    throw InputError(Problem{
        {},
        0,
        "shift",
        fmt::format("the logs cannot be aligned by their air channels with trust: {}; give the shift (--shift \"+35 s\")", why)});
}

/// Scores over all shifts of the grid.
std::vector<double> scan(const Aligner& aligner, double from_s, double to_s) {
    std::vector<double> scores;
    for (double shift_s = from_s; shift_s <= to_s; shift_s += aligner.step_s()) scores.push_back(aligner.at(shift_s).score_k);
    return scores;
}

/// The best score beyond the humps on either side of the best one.
double best_elsewhere(const std::vector<double>& scores, std::size_t best) {
    std::size_t left = best, right = best;
    while (left > 0 && scores[left - 1] >= scores[left]) --left;
    while (right + 1 < scores.size() && scores[right + 1] >= scores[right]) ++right;
    double other = kInfinity;
    for (std::size_t i = 0; i < left; ++i) other = std::min(other, scores[i]);
    for (std::size_t i = right + 1; i < scores.size(); ++i) other = std::min(other, scores[i]);
    return other;
}

/// The larger of the two distances at which the score is so much worse; infinity where it never is within the limit.
double half_width_s(const Aligner& aligner, double shift_s, double best_k) {
    double width_s = 0.0;
    for (const double side : {-1.0, 1.0}) {
        double away_s = 0.5;
        while (away_s <= kSharpWithinS && aligner.at(shift_s + side * away_s).score_k < best_k + kSharpMoreK) away_s += 0.5;
        width_s = std::max(width_s, away_s > kSharpWithinS ? kInfinity : away_s);
    }
    return width_s;
}

std::optional<double> drift_s_per_h(const Aligner& aligner, double shift_s) {
    const Window whole = aligner.overlap(shift_s);
    const double middle_s = 0.5 * (whole.from_s + whole.to_s), reach_s = 60.0;
    const Window early{whole.from_s + reach_s, middle_s}, late{middle_s, whole.to_s - reach_s};
    double shifts_s[2] = {0.0, 0.0};
    for (const auto& [half, slot] : {std::pair{early, 0}, std::pair{late, 1}}) {
        if (!(half.to_s - half.from_s >= kLeastOverlapS / 2.0)) return {};
        const Likeness like = aligner.at(shift_s, half);
        if (like.first_movement_k < kLeastMovementK || like.second_movement_k < kLeastMovementK) return {};
        shifts_s[slot] = aligner.best_between(shift_s - reach_s, shift_s + reach_s, &half);
        if (std::abs(shifts_s[slot] - shift_s) > 0.95 * reach_s) return {};
    }
    // What has to be added to the second clock shrinks while it gains.
    return -(shifts_s[1] - shifts_s[0]) / (middle_s - whole.from_s) * 3600.0;
}

}  // namespace

void align(const Trace& first_air, const Trace& second_air, double within_s, LogAlignment& found) {
    const auto usable = [](const Trace& trace) { return trace.usable_samples().size(); };
    if (usable(first_air) < 10 || usable(second_air) < 10) distrust("an air channel has fewer than ten good samples");
    const Aligner aligner(first_air, second_air);
    const double from_s = std::max(aligner.least_shift_s(), -within_s), to_s = std::min(aligner.most_shift_s(), within_s);
    if (!(from_s <= to_s))
        distrust(fmt::format("they overlap by less than {:.0f} min at any shift that comes into question",
                             aligner.least_overlap_s() / 60.0));
    const std::vector<double> scores = scan(aligner, from_s, to_s);
    const auto best = static_cast<std::size_t>(std::min_element(scores.begin(), scores.end()) - scores.begin());
    const double coarse_s = from_s + static_cast<double>(best) * aligner.step_s();
    found.shift_s = aligner.best_between(coarse_s - aligner.step_s(), coarse_s + aligner.step_s(), nullptr);
    const Likeness like = aligner.at(found.shift_s);
    found.overlap_s = like.overlap_s;
    found.correlation = like.correlation;
    found.difference_k = like.difference_k;
    found.half_width_s = half_width_s(aligner, found.shift_s, like.score_k);
    if (like.first_movement_k < kLeastMovementK || like.second_movement_k < kLeastMovementK)
        distrust("the air hardly moves where they overlap");
    if (like.correlation < kLeastCorrelation)
        distrust(fmt::format("at the best shift, {:+.0f} s, the correlation is {:.2f} where {:.2f} is asked", found.shift_s,
                             like.correlation, kLeastCorrelation));
    if (best_elsewhere(scores, best) < std::max(kOtherFactor * like.score_k, like.score_k + kOtherMoreK))
        distrust("several shifts fit nearly equally well");
    if (!std::isfinite(found.half_width_s)) distrust("the air rises so slowly that a shift of 2 min makes no difference");
    found.drift_s_per_h = drift_s_per_h(aligner, found.shift_s);
}

}  // namespace bakewright::probe
