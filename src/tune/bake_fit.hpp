// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <limits>
#include <optional>
#include <vector>

#include "bake_model.hpp"
#include "bakewright/tune/fit.hpp"

namespace bakewright::tune {

/// A stretch of time.
struct TimeSpan {
    double from_s = -std::numeric_limits<double>::infinity();
    double to_s = std::numeric_limits<double>::infinity();
    [[nodiscard]] bool holds(double time_s) const noexcept { return time_s >= from_s && time_s <= to_s; }
};

/// Which samples a fit uses.
struct FitScope {
    std::vector<bool> uses_bake;
    std::optional<TimeSpan> leaves_out{};
    bool with_zones = true;
};

/// What came out of one fit.
struct BakeFit {
    std::vector<Unknown> unknowns;
    std::size_t model_count = 0;  ///< unknowns of the model, which stand first
    FitResult result;
    double noise_k = 0.0;          ///< standard deviation of residuals
    double residual_time_s = 0.0;  ///< over which they stay alike
    double film_spread = 0.0;
    std::size_t solves = 0;

    [[nodiscard]] ModelPoint model_point() const {
        return {result.value.begin(), result.value.begin() + static_cast<std::ptrdiff_t>(model_count)};
    }
};

/// Fits bakes together, and tells how well a fit predicts one. Models are shared between fits, one at a time.
class BakeFitter {
public:
    BakeFitter(const TuneTask& task, const TuneOptions& options, std::vector<BakeModel>& models)
        : task_(task), options_(options), models_(models) {}

    [[nodiscard]] BakeFit fit(const FitScope& scope);
    /// RMS [K] on a bake's samples of a stretch, with the probes as fitted where they were and else as believed beforehand.
    [[nodiscard]] double rms_k(const BakeFit& fit, std::size_t bake, const TimeSpan& span = {});
    /// RMS [K] of the records as they came.
    [[nodiscard]] double rms_before_k(std::size_t bake);

private:
    struct Series {
        std::size_t bake = 0, channel = 0, first = 0;  ///< residual
        std::vector<LoggedPoint> points;
    };
    struct Evaluation {
        std::vector<double> at, residual_k, jacobian_k;
    };
    [[nodiscard]] std::vector<Unknown> unknowns(const FitScope& scope, double film_spread);
    void lay_out(const FitScope& scope);
    void evaluate(const std::vector<Unknown>& unknowns, std::span<const double> at);
    void evaluate_series(const Series& series, const std::vector<ModelTraces>& traces, const std::vector<Unknown>& unknowns,
                         std::span<const double> at);
    [[nodiscard]] double residual_time_s(double lag_one) const;
    [[nodiscard]] FitResult pass(const std::vector<Unknown>& unknowns, double sigma_k, double robust_from, double tolerance);
    [[nodiscard]] std::vector<std::vector<ModelTraces>> solve_all(std::span<const ModelPoint> points,
                                                                  const std::vector<bool>& uses);

    const TuneTask& task_;
    const TuneOptions& options_;
    std::vector<BakeModel>& models_;
    std::vector<Series> series_;
    std::size_t residual_count_ = 0, solves_ = 0;
    std::vector<bool> uses_bake_;
    Evaluation last_;
};

}  // namespace bakewright::tune
