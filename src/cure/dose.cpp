// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/dose.hpp"

#include <algorithm>
#include <boost/math/quadrature/gauss.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/readings.hpp"

namespace bakewright::cure {
namespace {

using Piece = RequiredTime::Piece;

constexpr double kOneTwelfth = 1.0 / 12.0;
constexpr double kTrapezoidRemainder = 1.0 / 720.0;
constexpr double kFactorial7 = 5040.0;
constexpr double kFactorial14 = 87178291200.0;
constexpr double kGaussRemainder =
    kFactorial7 * kFactorial7 * kFactorial7 * kFactorial7 / (15.0 * kFactorial14 * kFactorial14 * kFactorial14);

/// Mean of a rate over a range of temperature passed at an even pace, and a bound of its error.
struct Mean {
    double rate_per_s = 0.0;
    double error_bound = 0.0;
};

double rate_at(const Piece& piece, double temperature_k) { return std::exp(piece.log_rate - piece.slope_k / temperature_k); }

/// h (b/T + n) / T: to the n-th power it bounds the n-th derivative of the rate along the range, relative to the rate.
double derivative_scale(const Piece& piece, double coldest_k, double step_k, double order) {
    return std::abs(step_k) * (piece.slope_k / coldest_k + order) / coldest_k;
}

double power_4(double value) { return (value * value) * (value * value); }

/// Gauss's 7-point rule, the range halved until the bound holds.
Mean mean_by_gauss(const Piece& piece, double from_k, double until_k) {
    const double coldest_k = std::min(from_k, until_k);
    const double step_k = until_k - from_k;
    const double relative_bound = kGaussRemainder * std::pow(derivative_scale(piece, coldest_k, step_k, 14.0), 14.0);
    if (relative_bound > kDoseTolerance) {
        const double middle_k = 0.5 * (from_k + until_k);
        const Mean first = mean_by_gauss(piece, from_k, middle_k);
        const Mean second = mean_by_gauss(piece, middle_k, until_k);
        return {0.5 * (first.rate_per_s + second.rate_per_s), 0.5 * (first.error_bound + second.error_bound)};
    }
    const auto rate = [&](double fraction) { return rate_at(piece, from_k + fraction * step_k); };
    const double hottest_rate = rate_at(piece, std::max(from_k, until_k));
    return {boost::math::quadrature::gauss<double, 7>::integrate(rate, 0.0, 1.0), relative_bound * hottest_rate};
}

/// The largest step for which the corrected trapezoid holds kDoseTolerance anywhere in a piece: its coldest end is the worst.
double largest_trapezoid_step_k(const Piece& piece) {
    const double scale_at_1_k = derivative_scale(piece, piece.from_k, 1.0, 4.0);
    return std::pow(kDoseTolerance / kTrapezoidRemainder, 0.25) / scale_at_1_k;
}

/// Runs along a trace. Keeps the rate at the last end point, which is the next segment's first, and the piece it lay in.
class DoseIntegrator {
public:
    explicit DoseIntegrator(const RequiredTime& required) : required_(required) { enter(required.pieces().front()); }

    void add(const TraceLine& segment) {
        const double hottest_k = std::max(segment.from_k, segment.until_k);
        const double coldest_k = std::min(segment.from_k, segment.until_k);
        if (hottest_k < required_.floor_k()) return;
        if (coldest_k >= piece_->from_k && hottest_k < piece_->until_k)
            add_part(segment);
        else
            add_across_pieces(segment, coldest_k, hottest_k);
    }
    [[nodiscard]] const DoseReading& reading() const { return reading_; }

private:
    struct Point {
        double temperature_k = 0.0;
        double rate_per_s = 0.0;
        double slope_per_s_k = 0.0;  ///< d rate / d T
    };

    void enter(const Piece& piece) {
        piece_ = &piece;
        is_flat_ = piece.slope_k == 0.0;
        largest_step_k_ = largest_trapezoid_step_k(piece);
        per_largest_step_ = 1.0 / largest_step_k_;
        is_last_ = piece.from_k >= required_.last_point_k();
        last_ = point_at(piece.from_k);
    }

    void add_across_pieces(const TraceLine& segment, double coldest_k, double hottest_k) {
        for (const Piece& piece : required_.pieces()) {
            if (coldest_k >= piece.until_k) continue;
            if (hottest_k < piece.from_k) return;
            if (piece_ != &piece) enter(piece);
            if (coldest_k >= piece.from_k && hottest_k < piece.until_k) return add_part(segment);
            add_clipped(segment, std::max(piece.from_k, coldest_k), std::min(piece.until_k, hottest_k));
        }
    }

    /// The part of a segment between two temperatures. Only its share of time matters to the integral, not where it lies.
    void add_clipped(const TraceLine& segment, double low_k, double high_k) {
        if (high_k <= low_k) return;
        const bool rising = segment.until_k > segment.from_k;
        const double share = (high_k - low_k) / std::abs(segment.until_k - segment.from_k);
        add_part({0.0, rising ? low_k : high_k, share * segment.duration_s(), rising ? high_k : low_k});
    }

    void add_part(const TraceLine& part) {
        const double duration_s = part.duration_s();
        if (is_last_ && std::max(part.from_k, part.until_k) > required_.last_point_k() + kTemperatureRoundingK)
            reading_.beyond_last_point_s += duration_s;
        const Mean mean = mean_rate(part.from_k, part.until_k);
        reading_.dose += mean.rate_per_s * duration_s;
        reading_.error_bound += mean.error_bound * duration_s;
    }

    Mean mean_rate(double from_k, double until_k) {
        if (is_flat_) return {last_.rate_per_s, 0.0};
        const double step_k = until_k - from_k;
        if (std::abs(step_k) > largest_step_k_) return mean_by_gauss(*piece_, from_k, until_k);
        const Point from = from_k == last_.temperature_k ? last_ : point_at(from_k);
        last_ = until_k == from_k ? from : point_at(until_k);
        const double mean =
            0.5 * (from.rate_per_s + last_.rate_per_s) - step_k * kOneTwelfth * (last_.slope_per_s_k - from.slope_per_s_k);
        const double step = step_k * per_largest_step_;
        return {mean, kDoseTolerance * power_4(step) * std::max(from.rate_per_s, last_.rate_per_s)};
    }

    [[nodiscard]] Point point_at(double temperature_k) const {
        const double inverse = 1.0 / temperature_k;
        const double rate = std::exp(piece_->log_rate - piece_->slope_k * inverse);
        return {temperature_k, rate, rate * piece_->slope_k * inverse * inverse};
    }

    const RequiredTime& required_;
    DoseReading reading_;
    const Piece* piece_ = nullptr;
    bool is_flat_ = false;
    bool is_last_ = false;
    double largest_step_k_ = 0.0;
    double per_largest_step_ = 0.0;
    Point last_;
};

/// The moment within a segment at which its own dose reaches a target it is known to reach.
double solve_within_s(const TraceLine& segment, const RequiredTime& required, double target) {
    const auto excess = [&](double time_s) {
        if (time_s <= segment.from_s) return -target;
        DoseIntegrator integrator(required);
        integrator.add({segment.from_s, segment.from_k, time_s, segment.temperature_k(time_s)});
        return integrator.reading().dose - target;
    };
    if (target <= 0.0) return segment.from_s;
    if (excess(segment.until_s) <= 0.0) return segment.until_s;
    std::uintmax_t iterations = 200;
    const auto close_enough = [](double low_s, double high_s) { return high_s - low_s <= 1e-6; };
    const auto bracket = boost::math::tools::toms748_solve(excess, segment.from_s, segment.until_s, close_enough, iterations);
    return 0.5 * (bracket.first + bracket.second);
}

template <typename Visit>
void for_each_segment(const JoinedTrace& trace, Visit&& visit) {
    for (const JoinedTrace::Run& run : trace.runs()) for_each_segment(trace, run, visit);
}

/// Whether the sheet alone sets the rate all along a segment.
bool sheet_sets_rate(const TraceLine& segment, const RequiredTime& curve) {
    return std::min(segment.from_k, segment.until_k) >= curve.rate_from_sheet_from_k() &&
           std::max(segment.from_k, segment.until_k) < curve.rate_from_sheet_until_k();
}

}  // namespace

DoseReading dose(const JoinedTrace& trace, const RequiredTime& required, double target) {
    ensure(target > 0.0, "a dose to be reached is above 0");
    DoseIntegrator integrator(required);
    std::optional<double> reached_s;
    for_each_segment(trace, [&](const TraceLine& segment) {
        const double before = integrator.reading().dose;
        integrator.add(segment);
        if (!reached_s && integrator.reading().dose >= target - kDoseRounding)
            reached_s = solve_within_s(segment, required, target - before);
    });
    DoseReading reading = integrator.reading();
    reading.reached_s = reached_s;
    return reading;
}

DoseBandReading dose_band(const JoinedTrace& trace, const std::array<RequiredTime, 3>& curves, double target) {
    ensure(target > 0.0, "a dose to be reached is above 0");
    DoseIntegrator shared(curves[1]);
    DoseIntegrator low(curves[0]), value(curves[1]), high(curves[2]);
    std::optional<double> reached_s;
    for_each_segment(trace, [&](const TraceLine& segment) {
        const double before = shared.reading().dose + value.reading().dose;
        if (sheet_sets_rate(segment, curves[1])) {
            shared.add(segment);
        } else {
            low.add(segment);
            value.add(segment);
            high.add(segment);
        }
        if (!reached_s && shared.reading().dose + value.reading().dose >= target - kDoseRounding)
            reached_s = solve_within_s(segment, curves[1], target - before);
    });
    const DoseReading common = shared.reading();
    const double own_error = std::max({low.reading().error_bound, value.reading().error_bound, high.reading().error_bound});
    return {{common.dose + low.reading().dose, common.dose + value.reading().dose, common.dose + high.reading().dose},
            common.error_bound + own_error,
            common.beyond_last_point_s + value.reading().beyond_last_point_s,
            reached_s};
}

double equivalent_time_s(const JoinedTrace& trace, double reference_temperature_k, double activation_energy_j_per_mol,
                         double floor_k) {
    const RequiredTime one_second({{reference_temperature_k, 1.0}}, activation_energy_j_per_mol, floor_k, BeyondLastPoint::go_on);
    return dose(trace, one_second).dose;
}

}  // namespace bakewright::cure
