// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/probe_places.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "bakewright/bake/cold_places.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/plan/task.hpp"
#include "place_model.hpp"
#include "place_search.hpp"

namespace bakewright::plan {
namespace {

constexpr double kLeastResidualK = 0.02;      // a logger's own resolution
constexpr double kSameVariance = 1.0 + 1e-9;  // but for rounding

void refuse_problems(const PlaceTask& task, const PlaceOptions& options) {
    std::vector<Problem> found = bake::problems_in(task.shell);
    for (Problem& problem : bake::problems_in(task.booth)) found.push_back(std::move(problem));
    if (task.coating != nullptr)
        for (Problem& problem : cure::problems_in(*task.coating)) found.push_back(std::move(problem));
    const bool is_of_cure = options.aim == ProbeAim::hold || options.aim == ProbeAim::cure;
    if (task.coating == nullptr && is_of_cure)
        found.push_back(
            {{}, 0, "coating", fmt::format("is missing: what tells most of the {} hangs on it", word_of(options.aim))});
    if (!found.empty()) throw InputError(std::move(found));
    options.uncertainty.check();
    ensure(
        options.probe_standard_k > 0.0 && options.residual_k.value_or(1.0) > 0.0 && options.residual_time_s.value_or(0.0) >= 0.0,
        "a probe's uncertainty and what it is off by are positive");
}

/// What a sample will be off by: as given, as tuning found it, as usual.
ProbePlaces with_residual(const PlaceTask& task, const PlaceOptions& options) {
    ProbePlaces made;
    const bake::Learned& learned = task.shell.learned.residual_k ? task.shell.learned : task.booth.learned;
    made.residual_k = options.residual_k.value_or(std::max(learned.residual_k.value_or(kUsualResidualK), kLeastResidualK));
    made.residual_time_s = options.residual_time_s.value_or(learned.residual_time_s.value_or(kUsualResidualS));
    made.residual_origin = options.residual_k || options.residual_time_s ? "as given"
                           : learned.residual_k                          ? "as tuning left it"
                                                                         : "common practice: nothing was tuned";
    return made;
}

class PlaceAdvice {
public:
    PlaceAdvice(const PlaceTask& task, const PlaceOptions& options)
        : task_(task), options_(options), made_(with_residual(task, options)), model_(place_model(task, options)) {
        made_.aim = options.aim;
        std::optional<PlaceMatrix> asked = asked_rows(model_, task, options.aim);
        if (!asked) {
            made_.aim = ProbeAim::learning;
            asked = asked_rows(model_, task, ProbeAim::learning);
        }
        problem_.asked = *std::move(asked);
        for (const PlaceModel::Place& place : model_.places)
            readings_.emplace_back(place, made_.residual_k, made_.residual_time_s);
        problem_.readings = rows(options.probe_standard_k);
        is_taken_.assign(model_.places.size(), false);
        before_ = PlaceMatrix::Identity(problem_.asked.cols(), problem_.asked.cols());
        take(static_cast<std::size_t>(model_.air));
        for (const std::string& name : options.probed) take(place_of(name));
        open_ = open_variance(problem_, before_);
    }

    ProbePlaces told() {
        PlaceMatrix covariance = before_;
        for (const std::size_t place : best_places(problem_, before_, is_taken_, options_.most)) {
            made_.places.push_back(described(place, covariance));
            learn(covariance, problem_.readings[place]);
        }
        add_safety();
        for (std::size_t place = 0; place < model_.places.size(); ++place)
            if (!is_taken_[place]) made_.next.push_back(described(place, before_));
        std::stable_sort(made_.next.begin(), made_.next.end(),
                         [](const ProbePlace& a, const ProbePlace& b) { return a.share > b.share; });
        made_.calibration = worth_of_calibration();
        return std::move(made_);
    }

private:
    [[nodiscard]] std::vector<PlaceMatrix> rows(double offset_k) const {
        std::vector<PlaceMatrix> made;
        for (const PlaceReadings& readings : readings_) made.push_back(readings.rows(offset_k));
        return made;
    }
    [[nodiscard]] std::size_t place_of(const std::string& name) const {
        const PlaceModel::Place* place = model_.find(name);
        if (place == nullptr)
            throw InputError(
                Problem{{},
                        0,
                        "probed",
                        fmt::format("'{}' is neither a place of shell '{}' nor a surface of the booth", name, task_.shell.id)});
        return static_cast<std::size_t>(place - model_.places.data());
    }
    void take(std::size_t place) {
        if (is_taken_[place]) return;
        is_taken_[place] = true;
        learn(before_, problem_.readings[place]);
    }

    [[nodiscard]] ProbePlace described(std::size_t place, const PlaceMatrix& before) const {
        const PlaceMatrix told = told_rows(before, problem_.readings[place]);
        const PlaceMatrix& slope_k = model_.places[place].slope_k;
        const auto moments = static_cast<double>(slope_k.rows());
        const double own_k2 = (slope_k * before).cwiseProduct(slope_k).sum() / moments;
        const double open_before = open_variance(problem_, before);
        const double open_after = std::max(0.0, open_before - (told * problem_.asked.transpose()).squaredNorm());
        ProbePlace made;
        made.zone = model_.places[place].name;
        const std::string zone = bake::zone_of_place(task_.shell, made.zone);
        if (zone != made.zone) made.strip_of = zone;
        made.share = open_ > 0.0 ? std::clamp(1.0 - open_after / open_, 0.0, 1.0) : 0.0;
        made.own_before_k = std::sqrt(std::max(0.0, own_k2));
        made.own_after_k = std::sqrt(std::max(0.0, own_k2 - (told * slope_k.transpose()).squaredNorm() / moments));
        made.aim_before = std::sqrt(open_before);
        made.aim_after = std::sqrt(open_after);
        made.teaches = taught(told);
        return made;
    }
    /// The number whose part in what is asked shrinks most.
    [[nodiscard]] std::string taught(const PlaceMatrix& told) const {
        const Eigen::RowVectorXd effect = problem_.asked.colwise().squaredNorm();
        const Eigen::RowVectorXd gone = told.colwise().squaredNorm().cwiseProduct(effect);
        Eigen::Index most = 0;
        return gone.maxCoeff(&most) > 0.0 ? model_.numbers[static_cast<std::size_t>(most)] : "";
    }

    void add_safety() {
        if (std::string item = weakest_item(model_, task_); !item.empty()) {
            const auto told =
                std::find_if(made_.places.begin(), made_.places.end(), [&](const ProbePlace& one) { return one.zone == item; });
            if (told == made_.places.end())
                made_.places.push_back({.zone = std::move(item), .reason = PlaceReason::weakest_item});
        }
        for (const PlaceModel::Place& place : model_.places)
            if (place.role == TraceRole::test_panel)
                made_.places.push_back({.zone = place.name, .reason = PlaceReason::test_panel});
        for (const PlaceReason reason : {PlaceReason::air_high, PlaceReason::air_low}) made_.places.push_back({.reason = reason});
    }

    /// How many probes as they are it takes to leave no more open than the same number of places with calibrated ones.
    [[nodiscard]] std::optional<CalibrationWorth> worth_of_calibration() const {
        if (!(open_ > 0.0) || options_.most == 0 || options_.probe_standard_k <= kCalibratedStandardK) return std::nullopt;
        const PlaceProblem calibrated{rows(kCalibratedStandardK), problem_.asked};
        const std::vector<std::size_t> best = best_places(calibrated, before_, is_taken_, options_.most);
        CalibrationWorth worth{best.size(), {}, 0};
        worth.places = static_cast<std::size_t>(std::count(is_taken_.begin(), is_taken_.end(), false));
        const double aimed = after(calibrated, best) * kSameVariance;
        std::vector<std::size_t> as_they_are = best_places(problem_, before_, is_taken_, best.size());
        std::vector<bool> is_taken = is_taken_;
        for (const std::size_t place : as_they_are) is_taken[place] = true;
        PlaceMatrix covariance = before_;
        for (const std::size_t place : as_they_are) learn(covariance, problem_.readings[place]);
        std::optional<std::size_t> next;
        while (open_variance(problem_, covariance) > aimed && (next = best_place(problem_, covariance, is_taken))) {
            is_taken[*next] = true;
            learn(covariance, problem_.readings[*next]);
            as_they_are.push_back(*next);
        }
        if (open_variance(problem_, covariance) <= aimed) worth.as_they_are = as_they_are.size();
        return worth;
    }
    [[nodiscard]] double after(const PlaceProblem& problem, const std::vector<std::size_t>& places) const {
        PlaceMatrix covariance = before_;
        for (const std::size_t place : places) learn(covariance, problem.readings[place]);
        return open_variance(problem, covariance);
    }

    const PlaceTask& task_;
    const PlaceOptions& options_;
    ProbePlaces made_;
    PlaceModel model_;
    std::vector<PlaceReadings> readings_;
    PlaceProblem problem_;
    std::vector<bool> is_taken_;
    PlaceMatrix before_;  ///< with the air and what has a probe already
    double open_ = 0.0;
};

}  // namespace

ProbePlaces probe_places(const PlaceTask& task, const PlaceOptions& options) {
    refuse_problems(task, options);
    return PlaceAdvice(task, options).told();
}

}  // namespace bakewright::plan
