// SPDX-License-Identifier: Apache-2.0
#include "place_search.hpp"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>

namespace bakewright::plan {
namespace {

/// A smaller share of what is open is not worth a probe, or an exchange: rounding.
constexpr double kLeastShare = 1e-6;
constexpr int kMostRounds = 20;
constexpr std::size_t kOtherStarts = 2;

class PlaceChoice {
public:
    PlaceChoice(const PlaceProblem& problem, const PlaceMatrix& before, std::vector<bool> is_taken)
        : problem_(problem), before_(before), is_taken_(std::move(is_taken)) {}

    /// Greedy, then exchanged. @param without  a place that the greedy part leaves out
    [[nodiscard]] std::vector<std::size_t> best_set(std::size_t count, std::optional<std::size_t> without) {
        std::vector<std::size_t> chosen;
        const std::vector<bool> is_taken = is_taken_;
        if (without) is_taken_[*without] = true;
        while (chosen.size() < count && add_best(chosen)) continue;
        is_taken_ = is_taken;
        for (int round = 0; round < kMostRounds && exchange(chosen); ++round) continue;
        return chosen;
    }
    [[nodiscard]] double open_with(const std::vector<std::size_t>& chosen) const {
        return open_variance(problem_, after(chosen));
    }

    /// Adds the place that tells most beside those in a list. @return false where none tells anything
    bool add_best(std::vector<std::size_t>& chosen) {
        const std::optional<std::size_t> best = best_beside(chosen);
        if (best) chosen.push_back(*best);
        return best.has_value();
    }

    /// Exchanges each place for the best other one; true where that helped.
    bool exchange(std::vector<std::size_t>& chosen) {
        bool has_helped = false;
        for (std::size_t i = 0; i < chosen.size(); ++i) {
            std::vector<std::size_t> others = chosen;
            others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
            const PlaceMatrix covariance = after(others);
            const std::optional<std::size_t> best = best_beside(others);
            if (!best || *best == chosen[i]) continue;
            const double gain = told_by(problem_, covariance, *best) - told_by(problem_, covariance, chosen[i]);
            if (gain <= kLeastShare * open_variance(problem_, before_)) continue;
            chosen[i] = *best;
            has_helped = true;
        }
        return has_helped;
    }

    /// The same places, the one that tells most first.
    [[nodiscard]] std::vector<std::size_t> in_order(const std::vector<std::size_t>& chosen) {
        for (std::size_t place = 0; place < is_taken_.size(); ++place)
            is_taken_[place] = std::find(chosen.begin(), chosen.end(), place) == chosen.end();
        std::vector<std::size_t> ordered;
        while (add_best(ordered)) continue;
        return ordered;
    }

private:
    [[nodiscard]] PlaceMatrix after(const std::vector<std::size_t>& chosen) const {
        PlaceMatrix covariance = before_;
        for (const std::size_t place : chosen) learn(covariance, problem_.readings[place]);
        return covariance;
    }
    [[nodiscard]] std::optional<std::size_t> best_beside(const std::vector<std::size_t>& chosen) const {
        std::vector<bool> is_taken = is_taken_;
        for (const std::size_t place : chosen) is_taken[place] = true;
        return best_place(problem_, after(chosen), is_taken);
    }

    const PlaceProblem& problem_;
    const PlaceMatrix& before_;
    std::vector<bool> is_taken_;
};

}  // namespace

PlaceMatrix rows_of(PlaceMatrix information, double missed_trace) {
    const Eigen::Index count = information.rows();
    PlaceMatrix rows(0, count);
    while (rows.rows() < count && information.trace() > missed_trace) {
        Eigen::Index at = 0;
        const double pivot = information.diagonal().maxCoeff(&at);
        if (!(pivot > 0.0)) break;
        const Eigen::RowVectorXd row = information.row(at) / std::sqrt(pivot);
        rows.conservativeResize(rows.rows() + 1, Eigen::NoChange);
        rows.row(rows.rows() - 1) = row;
        information.noalias() -= row.transpose() * row;
    }
    return rows;
}

PlaceMatrix told_rows(const PlaceMatrix& covariance, const PlaceMatrix& readings) {
    const PlaceMatrix across = readings * covariance;
    PlaceMatrix spread = across * readings.transpose();
    spread.diagonal().array() += 1.0;
    return spread.llt().matrixL().solve(across);
}

void learn(PlaceMatrix& covariance, const PlaceMatrix& readings) {
    const PlaceMatrix told = told_rows(covariance, readings);
    covariance.noalias() -= told.transpose() * told;
}

double open_variance(const PlaceProblem& problem, const PlaceMatrix& covariance) {
    return std::max(0.0, (problem.asked * covariance).cwiseProduct(problem.asked).sum());
}

double told_by(const PlaceProblem& problem, const PlaceMatrix& covariance, std::size_t place) {
    return (told_rows(covariance, problem.readings[place]) * problem.asked.transpose()).squaredNorm();
}

std::optional<std::size_t> best_place(const PlaceProblem& problem, const PlaceMatrix& covariance,
                                      const std::vector<bool>& is_taken) {
    std::optional<std::size_t> best;
    double most = kLeastShare * open_variance(problem, covariance);
    for (std::size_t place = 0; place < problem.readings.size(); ++place) {
        if (is_taken[place]) continue;
        const double told = told_by(problem, covariance, place);
        // Of places that tell the same but for rounding the first, so that no machine names another.
        if (told <= most * (1.0 + kLeastShare)) continue;
        most = told;
        best = place;
    }
    return best;
}

std::vector<std::size_t> best_places(const PlaceProblem& problem, const PlaceMatrix& before, const std::vector<bool>& is_taken,
                                     std::size_t count) {
    PlaceChoice choice(problem, before, is_taken);
    std::vector<std::size_t> best;
    double least = open_variance(problem, before);
    std::vector<std::optional<std::size_t>> without{std::nullopt};
    for (std::size_t start = 0; start < without.size(); ++start) {
        const std::vector<std::size_t> chosen = choice.best_set(count, without[start]);
        if (start == 0)
            for (std::size_t i = 0; i < std::min(kOtherStarts, chosen.size()); ++i) without.emplace_back(chosen[i]);
        const double open = choice.open_with(chosen);
        if (open >= least * (1.0 - kLeastShare)) continue;
        least = open;
        best = chosen;
    }
    return choice.in_order(best);
}

}  // namespace bakewright::plan
