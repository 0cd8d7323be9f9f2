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

namespace {

/// The model's own errors as unknowns with the standard deviation that they have over all sizes, with what they do.
struct OwnErrors {
    std::vector<Unknown> unknowns;
    std::vector<std::vector<double>> members;  ///< none moved, then each by one of its widest standard deviations
    std::vector<double> moved_k;
};

OwnErrors own_errors_of(const bake::MemberSpace& space) {
    OwnErrors made{{}, {std::vector<double>(space.numbers().size(), 0.0)}, {}};
    for (std::size_t n = 0; n < space.numbers().size(); ++n) {
        const bake::DrawnNumber& number = space.numbers()[n];
        if (!number.is_discrepancy() || !(space.standard(n) > 0.0)) continue;
        double mean_square = 0.0;
        for (const bake::DiscrepancySize& size : space.sizes())
            mean_square += size.weight * std::pow(space.shrunk(number, size), 2);
        Unknown unknown;
        unknown.kind = Unknown::Kind::own_error;
        unknown.subject = number.subject;
        const bool is_air = number.kind == bake::DrawnNumber::Kind::own_air;
        unknown.name = is_air ? Phrase("air along ").add_place(number.subject) : Phrase("walls, ceiling and floor");
        unknown.prior_standard = space.standard(n) * std::sqrt(mean_square);
        made.unknowns.push_back(std::move(unknown));
        made.members.push_back(made.members.front());
        made.members.back()[n] = 1.0;
        made.moved_k.push_back(space.standard(n));
    }
    return made;
}

/// Puts them behind the others: their traces are moved from where the others start by as much as they move the plain ones.
void add_own_errors(Sensitivity& sensitivity, const OwnErrors& own, const std::vector<ModelTraces>& solved) {
    for (std::size_t e = 0; e < own.unknowns.size(); ++e) {
        const double share = own.unknowns[e].step() / own.moved_k[e];
        ModelTraces moved = sensitivity.traces.front();
        for (std::size_t c = 0; c < moved.channel_k.size(); ++c)
            for (std::size_t t = 0; t < moved.channel_k[c].size(); ++t)
                moved.channel_k[c][t] += static_cast<float>(share) * (solved[e + 1].channel_k[c][t] - solved[0].channel_k[c][t]);
        sensitivity.traces.push_back(std::move(moved));
        sensitivity.unknowns.push_back(own.unknowns[e]);
    }
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
    const bake::MemberSpace space(model.built(), task.shell, task.booth, prior);
    const OwnErrors own = own_errors_of(space);
    const std::vector<ModelTraces> with_errors = model.solve(space, own.members);
    model.set_unknowns(made.unknowns);
    std::vector<ModelPoint> points(1);
    for (const Unknown& unknown : made.unknowns) points.front().push_back(unknown.start);
    for (std::size_t u = 0; u < made.unknowns.size(); ++u) {
        points.push_back(points.front());
        points.back()[u] += made.unknowns[u].step();
    }
    made.traces = model.solve(points);
    add_own_errors(made, own, with_errors);
    made.covariance = covariance_of(made.unknowns, bake::learned_together(task.shell.learned, task.booth.learned));
    return made;
}

}  // namespace bakewright::tune
