// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/probe_advice.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "bakewright/bake/predict.hpp"
#include "bakewright/base/error.hpp"
#include "sensitivity.hpp"

namespace bakewright::tune {
namespace {

using Matrix = Eigen::MatrixXd;

constexpr double kSampleInterval_s = 60.0;
constexpr double kLeastResidual_k = 0.02;  // a logger's own resolution

/// What a probe's readings are off by: of all of them together, of each, and how far that of neighbours is alike.
struct ProbeError {
    double offset_k = 0.0, residual_k = 0.0, alike = 0.0;
};

/// How the temperatures of zones, and of the booth's walls, ceiling and floor, hang on what is not known, and how well that is
/// known.
struct Sensitivities {
    std::vector<std::string> zones;
    std::vector<bool> is_coated;
    std::vector<Matrix> square_k2;    ///< of each zone: products of its slopes by two numbers, mean over the bake
    std::vector<Matrix> information;  ///< on the numbers, that a probe there gives
    std::vector<std::string> names;
    Matrix covariance;  ///< of the numbers
};

/// S^T C^-1 S of slopes S (by sample, then number) and readings whose errors have the covariance C: a first-order series, and an
/// offset u of all. The series is made independent row by row, (s_i - r s_i-1) / sqrt(1 - r^2) (Prais & Winsten 1954, from
/// memory); the offset is taken out by Sherman & Morrison, Ann. Math. Stat. 21 (1950) 124.
Matrix information_of(const Matrix& slope_k, const ProbeError& error) {
    const Eigen::Index rows = slope_k.rows();
    Matrix white(rows, slope_k.cols() + 1);
    white << slope_k, Matrix::Ones(rows, 1);
    const double fresh = std::sqrt(1.0 - error.alike * error.alike);
    for (Eigen::Index row = rows - 1; row > 0; --row)
        white.row(row) = (white.row(row) - error.alike * white.row(row - 1)).eval() / fresh;
    const Matrix all = white.transpose() * white / (error.residual_k * error.residual_k);
    const Eigen::Index numbers = slope_k.cols();
    const Eigen::VectorXd with_offset = all.col(numbers).head(numbers);
    const double offset_k2 = error.offset_k * error.offset_k;
    return all.topLeftCorner(numbers, numbers) -
           with_offset * with_offset.transpose() * (offset_k2 / (1.0 + offset_k2 * all(numbers, numbers)));
}

TuneTask task_of(const bake::Shell& shell, const bake::Booth& booth, const bake::Cycle& cycle) {
    bake::PredictOptions options;
    options.output_interval_s = kSampleInterval_s;
    options.start_temperature_k = booth.ambient_k;
    LoggedBake bake{"the bake", bake::predict(shell, booth, cycle, options).traces, cycle, {}};
    std::erase_if(bake.traces.traces, [](const Trace& trace) {
        return trace.role != TraceRole::zone && trace.role != TraceRole::test_panel && trace.role != TraceRole::booth_air &&
               trace.role != TraceRole::booth_wall;
    });
    return {shell, booth, {std::move(bake)}};
}

Sensitivities sensitivities(const TuneTask& task, const AdviceOptions& options, const ProbeError& error) {
    BakeModel model(task, 0, all_but_probes(options.prior));
    const Sensitivity of = sensitivity_of(model, task, options.prior);
    Sensitivities made;
    const auto stride = static_cast<std::size_t>(std::max(1.0, std::round(kSampleInterval_s / model.interval_s())));
    const std::size_t samples = (model.time_s().size() + stride - 1) / stride;
    for (std::size_t c = 0; c < model.channels().size(); ++c) {
        const std::string& place = model.channels()[c];
        const bake::Zone* zone = task.shell.find_zone(place);
        if (zone == nullptr && !bake::booth_surface_of(place)) continue;
        made.zones.push_back(place);
        made.is_coated.push_back(zone != nullptr && zone->coated);
        Matrix slope(samples, of.unknowns.size());
        for (std::size_t u = 0; u < of.unknowns.size(); ++u)
            for (std::size_t s = 0; s < samples; ++s)
                slope(static_cast<Eigen::Index>(s), static_cast<Eigen::Index>(u)) = of.slope(c, s * stride, u);
        made.square_k2.emplace_back(slope.transpose() * slope / static_cast<double>(samples));
        made.information.push_back(information_of(slope, error));
    }
    for (const Unknown& unknown : of.unknowns) made.names.push_back(unknown.name.text());
    made.covariance = of.covariance;
    return made;
}

/// The covariance P once information I has come: (P^-1 + I)^-1, as (1 + P I)^-1 P, since some numbers may be known beforehand.
Matrix taught(const Matrix& covariance, const Matrix& information) {
    const Eigen::Index count = covariance.rows();
    const Matrix after = (Matrix::Identity(count, count) + covariance * information).partialPivLu().solve(covariance);
    return (after + after.transpose()) / 2.0;
}

double own_k(const Matrix& covariance, const Matrix& square_k2) {
    return std::sqrt(std::max(0.0, covariance.cwiseProduct(square_k2).sum()));
}

double all_k(const Sensitivities& of, const Matrix& covariance) {
    double squares = 0.0, count = 0.0;
    for (std::size_t z = 0; z < of.zones.size(); ++z) {
        if (!of.is_coated[z]) continue;
        squares += std::pow(own_k(covariance, of.square_k2[z]), 2);
        count += 1.0;
    }
    return count > 0.0 ? std::sqrt(squares / count) : 0.0;
}

AdvisedProbe place_of(const Sensitivities& of, std::size_t zone, const Matrix& before) {
    const Matrix after = taught(before, of.information[zone]);
    AdvisedProbe place{of.zones[zone],
                       own_k(before, of.square_k2[zone]),
                       own_k(after, of.square_k2[zone]),
                       all_k(of, before),
                       all_k(of, after),
                       {}};
    // The number whose error, weighed by what it does to all zones, shrinks most.
    double most = 0.0;
    for (Eigen::Index n = 0; n < before.rows(); ++n) {
        const double known = before(n, n) > 0.0 ? 1.0 - after(n, n) / before(n, n) : 0.0;
        double effect = 0.0;
        for (const Matrix& square_k2 : of.square_k2) effect += square_k2(n, n) * before(n, n);
        if (known * effect <= most) continue;
        most = known * effect;
        place.teaches = of.names[static_cast<std::size_t>(n)];
    }
    return place;
}

std::vector<AdvisedProbe> ranked(const Sensitivities& of, const std::vector<bool>& has_probe, const Matrix& covariance) {
    std::vector<AdvisedProbe> places;
    for (std::size_t z = 0; z < of.zones.size(); ++z)
        if (!has_probe[z]) places.push_back(place_of(of, z, covariance));
    std::stable_sort(places.begin(), places.end(),
                     [](const AdvisedProbe& a, const AdvisedProbe& b) { return a.all_after_k < b.all_after_k; });
    return places;
}

/// What a sample will be off by: as given, as tuning found it, as usual.
ProbeAdvice with_residual(const bake::Shell& shell, const bake::Booth& booth, const AdviceOptions& options) {
    ProbeAdvice advice;
    const bake::Learned& learned = shell.learned.residual_k ? shell.learned : booth.learned;
    advice.residual_k = options.residual_k.value_or(std::max(learned.residual_k.value_or(kUsualResidual_k), kLeastResidual_k));
    advice.residual_time_s = options.residual_time_s.value_or(learned.residual_time_s.value_or(kUsualResidual_s));
    advice.residual_origin = options.residual_k || options.residual_time_s ? "as given"
                             : learned.residual_k                          ? "as tuning left it"
                                                                           : "common practice: nothing was tuned";
    return advice;
}

}  // namespace

ProbeAdvice probe_advice(const bake::Shell& shell, const bake::Booth& booth, const bake::Cycle& cycle,
                         const AdviceOptions& options) {
    ProbeAdvice advice = with_residual(shell, booth, options);
    ensure(options.probe_standard_k > 0.0 && advice.residual_k > 0.0 && advice.residual_time_s >= 0.0,
           "a probe's uncertainty and what it is off by are positive");
    const double alike = advice.residual_time_s > 0.0 ? std::exp(-kSampleInterval_s / advice.residual_time_s) : 0.0;
    const ProbeError error{options.probe_standard_k, advice.residual_k, alike};
    const TuneTask task = task_of(shell, booth, cycle);
    const Sensitivities of = sensitivities(task, options, error);
    std::vector<bool> has_probe(of.zones.size(), false);
    Matrix covariance = of.covariance;
    const auto put = [&](const std::string& name) {
        const auto at = std::find(of.zones.begin(), of.zones.end(), name) - of.zones.begin();
        if (at == static_cast<std::ptrdiff_t>(of.zones.size()))
            throw InputError(Problem{
                {}, 0, "probed", fmt::format("'{}' is neither a zone of shell '{}' nor a surface of the booth", name, shell.id)});
        if (has_probe[static_cast<std::size_t>(at)]) return;
        has_probe[static_cast<std::size_t>(at)] = true;
        covariance = taught(covariance, of.information[static_cast<std::size_t>(at)]);
    };
    for (const std::string& name : options.probed) put(name);
    advice.first = ranked(of, has_probe, covariance);
    for (std::vector<AdvisedProbe> next = advice.first; !next.empty() && advice.order.size() < options.most_probes;
         next = ranked(of, has_probe, covariance)) {
        advice.order.push_back(next.front());
        put(next.front().zone);
    }
    return advice;
}

}  // namespace bakewright::tune
