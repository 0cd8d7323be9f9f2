// SPDX-License-Identifier: Apache-2.0
#include "sensitivity.hpp"

#include <cmath>

#include "bakewright/bake/learned.hpp"

namespace bakewright::tune {
namespace {

/// Priors, and where numbers were learned, their covariance.
Eigen::MatrixXd covariance_of(const std::vector<Unknown>& unknowns, const bake::LearnedTogether& learned) {
    const auto count = static_cast<Eigen::Index>(unknowns.size());
    Eigen::MatrixXd covariance = Eigen::MatrixXd::Zero(count, count);
    std::vector<Eigen::Index> place(unknowns.size(), -1);
    const auto learned_count = static_cast<Eigen::Index>(learned.numbers.size());
    const Eigen::Map<const Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>> root(
        learned.root.data(), learned_count, learned_count);
    const Eigen::MatrixXd of_learned = root * root.transpose();
    for (std::size_t u = 0; u < unknowns.size(); ++u)
        for (std::size_t i = 0; i < learned.numbers.size(); ++i)
            if (unknowns[u].kind == Unknown::Kind::learned && unknowns[u].learned == learned.numbers[i].kind &&
                unknowns[u].subject == learned.numbers[i].subject)
                place[u] = static_cast<Eigen::Index>(i);
    for (Eigen::Index a = 0; a < count; ++a) {
        const Eigen::Index at = place[static_cast<std::size_t>(a)];
        const double prior = unknowns[static_cast<std::size_t>(a)].prior_standard;
        if (at < 0) covariance(a, a) = prior * prior;
        for (Eigen::Index b = 0; b < count && at >= 0; ++b)
            if (const Eigen::Index other = place[static_cast<std::size_t>(b)]; other >= 0)
                covariance(a, b) = of_learned(at, other);
    }
    return covariance;
}

}  // namespace

TuneOptions all_but_probes(const bake::Uncertainty& prior) {
    TuneOptions asked;
    asked.prior = prior;
    asked.drives_by_cycle = true;
    for (const Tunable tunable : all_tunables())
        if (tunable != Tunable::modes) asked.what.insert(tunable);
    asked.what.erase(Tunable::probes);
    return asked;
}

Sensitivity sensitivity_of(BakeModel& model, const TuneTask& task, const bake::Uncertainty& prior) {
    const double spread = task.booth.learned.film_spread.value_or(std::log1p(prior.zone_film) / bake::kDeviationsTo95);
    Sensitivity made;
    made.unknowns = unknowns_for(task, all_but_probes(prior), {model.facts()}, spread);
    std::erase_if(made.unknowns, [](const Unknown& unknown) { return !unknown.is_of_model(); });
    model.set_unknowns(made.unknowns);
    std::vector<ModelPoint> points(1);
    for (const Unknown& unknown : made.unknowns) points.front().push_back(unknown.start);
    for (std::size_t u = 0; u < made.unknowns.size(); ++u) {
        points.push_back(points.front());
        points.back()[u] += made.unknowns[u].step();
    }
    made.traces = model.solve(points);
    made.covariance = covariance_of(made.unknowns, bake::learned_together(task.shell.learned, task.booth.learned));
    return made;
}

}  // namespace bakewright::tune
