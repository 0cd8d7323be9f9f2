#include "bakewright/tune/stage_difference.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "difference.hpp"

namespace bakewright::tune {
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

}  // namespace bakewright::tune
