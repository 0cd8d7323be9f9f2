// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/compare.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "bakewright/base/error.hpp"
#include "difference.hpp"

namespace bakewright::tune {
namespace {

constexpr double kLongestLag_s = 20.0 * 60.0;

}  // namespace

std::optional<ChannelComparison> compare_channel(const Trace& predicted, const Trace& logged) {
    if (predicted.usable_samples().size() < 2) return {};
    const std::vector<LoggedPoint> points = in_common_time(logged_points(logged), predicted);
    const DifferenceStatistics unshifted = difference(predicted, points);
    if (unshifted.samples < 2 || unshifted.joined_s <= 0.0) return {};
    ChannelComparison out;
    out.predicted = predicted.name;
    out.logged = logged.name;
    out.role = predicted.role;
    out.from_s = unshifted.from_s;
    out.to_s = unshifted.to_s;
    out.samples = unshifted.samples;
    out.bias_k = unshifted.bias_k;
    out.rms_k = std::sqrt(unshifted.mean_square_k2);
    out.largest_k = unshifted.largest_k;
    out.largest_at_s = unshifted.largest_at_s;
    out.rms_after_shift_k = out.rms_k;
    for (const LoggedPoint& point : points)
        out.interpolation_k = std::max(out.interpolation_k, interpolation_error_k(predicted, point.time_s));
    const double bound_s = std::min(kLongestLag_s, (out.to_s - out.from_s) / 3.0);
    if (const auto shift = best_shift(predicted, points, unshifted, bound_s)) {
        out.lag_s = shift->shift_s;
        out.rms_after_shift_k = shift->rms_k;
    }
    return out;
}

Comparison compare(const TraceSet& predicted, const TraceSet& logged) {
    Comparison out;
    for (const Trace& trace : predicted.traces) {
        const Trace* partner = logged.find(trace.name);
        auto channel = partner == nullptr ? std::nullopt : compare_channel(trace, *partner);
        if (channel)
            out.channels.push_back(*std::move(channel));
        else
            out.unmatched_predicted.push_back(trace.name);
    }
    for (const Trace& trace : logged.traces) {
        const auto is_it = [&](const ChannelComparison& channel) { return channel.logged == trace.name; };
        if (std::none_of(out.channels.begin(), out.channels.end(), is_it)) out.unmatched_logged.push_back(trace.name);
    }
    std::stable_sort(out.channels.begin(), out.channels.end(),
                     [](const ChannelComparison& a, const ChannelComparison& b) { return a.rms_k > b.rms_k; });
    return out;
}

namespace {

constexpr std::size_t kFewestSamples = 3;

std::vector<bake::StageKind> kinds_of(const std::vector<bake::ResolvedStage>& stages) {
    std::vector<bake::StageKind> kinds;
    for (const bake::ResolvedStage& stage : stages)
        if (std::find(kinds.begin(), kinds.end(), stage.kind) == kinds.end()) kinds.push_back(stage.kind);
    return kinds;
}

/// Slope of the difference within stages: each stage has a level of its own.
class SlopeSum {
public:
    void add(const Trace& predicted, const std::vector<LoggedPoint>& points) {
        double n = 0.0, mean_s = 0.0, mean_k = 0.0;
        std::vector<std::pair<double, double>> differences;
        for (const LoggedPoint& point : points) {
            const double off_k = temperature_at_k(predicted, point.time_s) - point.temperature_k;
            if (!std::isfinite(off_k)) continue;
            differences.emplace_back(point.time_s, off_k);
            n += 1.0, mean_s += point.time_s, mean_k += off_k;
        }
        for (const auto& [time_s, off_k] : differences) {
            squares_ += (time_s - mean_s / n) * (time_s - mean_s / n);
            products_ += (time_s - mean_s / n) * (off_k - mean_k / n);
        }
    }
    [[nodiscard]] double slope_k_per_s() const noexcept { return squares_ > 0.0 ? products_ / squares_ : 0.0; }

private:
    double squares_ = 0.0, products_ = 0.0;
};

std::optional<StageDifference> difference_in(const Trace& predicted, const std::vector<LoggedPoint>& points, bake::StageKind kind,
                                             const std::vector<bake::ResolvedStage>& stages) {
    std::vector<LoggedPoint> within;
    SlopeSum slope;
    for (const bake::ResolvedStage& stage : stages) {
        if (stage.kind != kind) continue;
        std::vector<LoggedPoint> of_stage;
        for (const LoggedPoint& point : points)
            if (point.time_s >= stage.begin_s && point.time_s <= stage.end_s) of_stage.push_back(point);
        if (of_stage.empty()) continue;
        slope.add(predicted, of_stage);
        of_stage.front().joined = false;  // what lies before it is another stage's
        within.insert(within.end(), of_stage.begin(), of_stage.end());
    }
    const DifferenceStatistics found = difference(predicted, within);
    if (found.samples < kFewestSamples || found.joined_s <= 0.0) return std::nullopt;
    return StageDifference{predicted.name,       kind, found.samples, found.bias_k, std::sqrt(found.mean_square_k2),
                           slope.slope_k_per_s()};
}

}  // namespace

std::vector<StageDifference> stage_differences(const TraceSet& predicted, const TraceSet& logged,
                                               const std::vector<bake::ResolvedStage>& stages) {
    std::vector<StageDifference> out;
    for (const Trace& trace : predicted.traces) {
        const Trace* partner = logged.find(trace.name);
        if (partner == nullptr) continue;
        const std::vector<LoggedPoint> points = logged_points(*partner);
        for (const bake::StageKind kind : kinds_of(stages))
            if (const auto found = difference_in(trace, points, kind, stages)) out.push_back(*found);
    }
    return out;
}

namespace {

/// A place on the grid of the model's spread: so much of the next moment's.
struct GridPlace {
    std::size_t below = 0;
    double share = 0.0;
};

GridPlace place_at(const std::vector<double>& time_s, double at_s) {
    const auto next = std::upper_bound(time_s.begin(), time_s.end(), at_s);
    if (next == time_s.begin() || time_s.size() < 2) return {};
    if (next == time_s.end()) return {time_s.size() - 2, 1.0};
    const auto below = static_cast<std::size_t>(next - time_s.begin()) - 1;
    return {below, (at_s - time_s[below]) / (time_s[below + 1] - time_s[below])};
}

double at(const std::vector<double>& values, const GridPlace& place) {
    if (values.empty()) return 0.0;
    const double here = values[place.below];
    return place.share > 0.0 ? here + place.share * (values[place.below + 1] - here) : here;
}

/// Sums over the samples of a channel.
class AgreementSum {
public:
    AgreementSum(const Trace& predicted, const ChannelAllowance& allowance) : predicted_(predicted), allowance_(allowance) {
        if (allowance.unsafe) unsafe_ = allowance.unsafe->usable_samples();
        out_.channel = predicted.name;
        out_.role = predicted.role;
        out_.probe_k = allowance.probe_k;
    }

    void add(const LoggedPoint& point) {
        const double predicted_k = temperature_at_k(predicted_, point.time_s);
        if (!std::isfinite(predicted_k)) return;
        const double interpolation_k = interpolation_error_k(predicted_, point.time_s);
        const double unsafe_k = unsafe_reading_k(point);
        const GridPlace place = place_at(allowance_.time_s, point.time_s);
        const double below_k = at(allowance_.below_k, place), above_k = at(allowance_.above_k, place);
        ++out_.samples;
        out_.interpolation_k = std::max(out_.interpolation_k, interpolation_k);
        out_.attachment_k += std::abs(unsafe_k - point.temperature_k);
        out_.below_k += below_k;
        out_.above_k += above_k;
        const double too_hot_k =
            predicted_k - below_k - interpolation_k - (std::max(point.temperature_k, unsafe_k) + allowance_.probe_k);
        const double too_cold_k =
            std::min(point.temperature_k, unsafe_k) - allowance_.probe_k - (predicted_k + above_k + interpolation_k);
        if (too_hot_k <= 0.0 && too_cold_k <= 0.0)
            ++out_.inside;
        else
            take_excess(point.time_s, too_hot_k > 0.0 ? too_hot_k : -too_cold_k);
    }

    [[nodiscard]] std::optional<ChannelAgreement> result() const {
        if (out_.samples < 2) return std::nullopt;
        ChannelAgreement made = out_;
        for (double* mean : {&made.attachment_k, &made.below_k, &made.above_k}) *mean /= static_cast<double>(made.samples);
        return made;
    }

private:
    [[nodiscard]] double unsafe_reading_k(const LoggedPoint& point) const {
        const double unsafe_k = unsafe_.size() > 0 ? temperature_at_k(unsafe_, point.time_s) : point.temperature_k;
        return std::isfinite(unsafe_k) ? unsafe_k : point.temperature_k;
    }
    void take_excess(double time_s, double excess_k) {
        if (std::abs(excess_k) <= std::abs(out_.largest_excess_k)) return;
        out_.largest_excess_k = excess_k;
        out_.largest_excess_at_s = time_s;
    }

    const Trace& predicted_;
    const ChannelAllowance& allowance_;
    Trace unsafe_;
    ChannelAgreement out_;
};

}  // namespace

std::optional<ChannelAgreement> channel_agreement(const Trace& predicted, const Trace& logged,
                                                  const ChannelAllowance& allowance) {
    const std::size_t moments = allowance.time_s.size();
    ensure(allowance.probe_k >= 0.0 && allowance.below_k.size() == moments && allowance.above_k.size() == moments,
           "an allowance has a tolerance and a spread at each of its moments");
    if (predicted.size() < 2) return std::nullopt;
    AgreementSum sum(predicted, allowance);
    for (const LoggedPoint& point : in_common_time(logged_points(logged), predicted)) sum.add(point);
    return sum.result();
}

}  // namespace bakewright::tune
