// SPDX-License-Identifier: Apache-2.0
// Every zone of an invented bake of the demo van from its probes, when it is over and while it goes on, against ensemble
// smoothing.

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <algorithm>
#include <chrono>
#include <cmath>
#include <sstream>
#include <vector>

#include "bake_model.hpp"
#include "bakewright/bake/members.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/thermal/ensemble.hpp"
#include "bakewright/tune/estimate.hpp"
#include "bakewright/tune/forecast.hpp"
#include "measure.hpp"
#include "posterior.hpp"
#include "tune/estimate_bakes.hpp"

namespace bakewright::bench {
namespace {

using tune::Matrix;
using tune::Vector;

constexpr std::size_t kMembers = 256, kRounds = 4, kBakes = 20, kProbeNumbers = 3;
constexpr double kSecondsPerMinute = 60.0, kMidHoldS = 75.0 * kSecondsPerMinute;
constexpr std::size_t kEveryZone = 100;  // or more than there are
constexpr double kOffsetK = 1.4, kShare = 0.02, kLagS = 15.0, kLagStandardS = 10.0, kNoiseK = 0.15, kOwnAirK = 1.0;

/// Source: Emerick & Reynolds, Computers & Geosciences 55 (2013) 3 (from memory). Written plainly: each round solves all members,
/// and moves each towards readings of its own drawing by the ensemble's covariances.
class MultipleAssimilation {
public:
    /// @param rounds  1: the ensemble smoother (Evensen & van Leeuwen, Mon. Weather Rev. 128 (2000) 1852; from memory)
    explicit MultipleAssimilation(const tune::TuneTask& task, std::size_t rounds = kRounds, std::size_t thread_count = 0)
        : rounds_(rounds),
          thread_count_(thread_count),
          model_(task, 0, {}),
          space_(model_.built(), task.shell, task.booth, prior_) {
        for (std::size_t c = 0; c < model_.channels().size(); ++c) {
            channels_.push_back(tune::thinned(model_.samples(c), 120));
            readings_ += channels_.back().size();
        }
        draw();
    }

    /// The members' numbers after all rounds, as an estimate has them.
    tune::BakeEstimate run() {
        for (std::size_t round = 0; round < rounds_; ++round) assimilate(round);
        tune::BakeEstimate made{"peer", {}, {model_.built(), {}}, {}, prior_, {}};
        made.driven.segments.assign(model_.segments().begin(), model_.segments().end());
        made.members = normals();
        return made;
    }

private:
    void draw() {
        const auto count = static_cast<Eigen::Index>(space_.numbers().size() + kProbeNumbers * channels_.size());
        members_.resize(count, kMembers);
        std::vector<double> z(static_cast<std::size_t>(count));
        for (Eigen::Index m = 0; m < members_.cols(); ++m) {
            thermal::draw_normals(77, static_cast<std::size_t>(m), z);
            members_.col(m) = Eigen::Map<Vector>(z.data(), count);
        }
        for (std::size_t n = 0; n < space_.numbers().size(); ++n)
            if (space_.numbers()[n].kind == bake::DrawnNumber::Kind::own_air)
                members_.row(static_cast<Eigen::Index>(n)) *= kOwnAirK / space_.standard(n);
    }
    [[nodiscard]] std::vector<std::vector<double>> normals() const {
        std::vector<std::vector<double>> all;
        for (Eigen::Index m = 0; m < members_.cols(); ++m)
            all.emplace_back(members_.col(m).data(), members_.col(m).data() + space_.numbers().size());
        return all;
    }

    /// Predicted readings of every member, a column each.
    [[nodiscard]] Matrix foretold() const {
        const std::vector<std::vector<double>> all = normals();
        const std::vector<tune::ModelTraces> solved = model_.solve(space_, all, thread_count_);
        Matrix data(static_cast<Eigen::Index>(readings_), members_.cols());
        for (Eigen::Index m = 0; m < members_.cols(); ++m) {
            Eigen::Index row = 0;
            for (std::size_t c = 0; c < channels_.size(); ++c) {
                const auto at = static_cast<Eigen::Index>(space_.numbers().size() + kProbeNumbers * c);
                tune::ProbeResponse response{std::max(0.0, kShare * (1.0 + members_(at + 1, m))),
                                             std::max(0.0, kLagS + kLagStandardS * members_(at + 2, m))};
                const tune::ModelTraces& traces = solved[static_cast<std::size_t>(m)];
                const std::vector<double> read =
                    tune::responded(traces.channel_k[c], traces.air_k, model_.interval_s(), response);
                for (const tune::LoggedPoint& point : channels_[c])
                    data(row++, m) =
                        kOffsetK * members_(at, m) + tune::on_grid(read, model_.begin_s(), model_.interval_s(), point.time_s);
            }
        }
        return data;
    }

    void assimilate(std::size_t round) {
        const Matrix data = foretold();
        Matrix error = Matrix::Zero(data.rows(), data.rows());
        Vector read(data.rows());
        Eigen::Index row = 0;
        for (const std::vector<tune::LoggedPoint>& points : channels_) {
            std::vector<double> time_s;
            for (const tune::LoggedPoint& point : points) time_s.push_back(point.time_s);
            const auto count = static_cast<Eigen::Index>(points.size());
            error.block(row, row, count, count) = tune::reading_covariance(time_s, kNoiseK);
            for (const tune::LoggedPoint& point : points) read[row++] = point.temperature_k;
        }
        const double alpha = static_cast<double>(rounds_);
        const Matrix root = Eigen::LLT<Matrix>(error).matrixL();
        const Matrix data_off = data.colwise() - data.rowwise().mean(),
                     members_off = members_.colwise() - members_.rowwise().mean();
        const double share = 1.0 / static_cast<double>(members_.cols() - 1);
        const Eigen::LLT<Matrix> together(data_off * data_off.transpose() * share + alpha * error);
        Matrix aim(data.rows(), data.cols());
        std::vector<double> z(static_cast<std::size_t>(data.rows()));
        for (Eigen::Index m = 0; m < data.cols(); ++m) {
            thermal::draw_normals(99 + round, static_cast<std::size_t>(m), z);
            aim.col(m) = read + std::sqrt(alpha) * root * Eigen::Map<Vector>(z.data(), data.rows()) - data.col(m);
        }
        members_ += members_off * (data_off.transpose() * share) * together.solve(aim);
    }

    std::size_t rounds_, thread_count_;
    bake::Uncertainty prior_{};
    tune::BakeModel model_;
    bake::MemberSpace space_;
    std::vector<std::vector<tune::LoggedPoint>> channels_;
    std::size_t readings_ = 0;
    Matrix members_;
};

}  // namespace

Record estimate_demo() {
    const test::DemoVan van;
    const test::MadeBake made = test::made_bake(van, {.seed = 1});
    std::size_t unknowns = 0, solves = 0;
    const std::vector<double> median_s =
        interleaved_medians_s({[&] {
                                   const tune::Estimate estimate = tune::estimate(made.task);
                                   unknowns = estimate.unknowns, solves = estimate.solves;
                                   static_cast<void>(test::score_of(van, made, estimate.bakes.front()));
                               },
                               [&] { static_cast<void>(test::score_of(van, made, MultipleAssimilation(made.task).run())); }},
                              5);
    test::Score ours, peer;
    for (std::size_t b = 0; b < kBakes; ++b) {
        const test::MadeBake one = test::made_bake(van, {.seed = 1000 + b});
        ours.add(test::score_of(van, one, tune::estimate(one.task).bakes.front()).unprobed);
        peer.add(test::score_of(van, one, MultipleAssimilation(one.task).run()).unprobed);
    }
    std::ostringstream note;
    note.precision(3);
    note << unknowns << " unknowns, " << solves << " solves and " << kMembers << " members, all zones scored in both; of "
         << kBakes << " bakes, zones without a probe: 90 % bands hold " << 100.0 * ours.coverage() << " %, RMS " << ours.rms_k()
         << " K; peer " << 100.0 * peer.coverage() << " %, " << peer.rms_k() << " K";
    return {"estimate.demo", median_s[0] * 1e3, "ms", "ES-MDA, 4 x 256 members", median_s[1] * 1e3, note.str()};
}

namespace {

/// The log as far as it has come.
tune::TuneTask so_far(tune::TuneTask task, double until_s) {
    for (Trace& trace : task.bakes.front().traces.traces) {
        const auto end = std::upper_bound(trace.time_s.begin(), trace.time_s.end(), until_s);
        trace.time_s.erase(end, trace.time_s.end());
        trace.temperature_k.resize(trace.time_s.size());
        if (!trace.quality.empty()) trace.quality.resize(trace.time_s.size());
    }
    return task;
}

}  // namespace

Record live_update() {
    const test::DemoVan van;
    const tune::TuneTask whole = test::made_bake(van, {.seed = 1, .probed = kEveryZone}).task;
    tune::ForecastOptions asked{.cycle = van.cycle};
    asked.estimate.member_count = kMembers;
    asked.estimate.thread_count = 1;
    asked.heat_on_s = cure::heat_on_s(cure::JoinedTrace(*whole.bakes.front().traces.first(TraceRole::booth_air)));
    const tune::TuneTask before = so_far(whole, kMidHoldS - kSecondsPerMinute), now = so_far(whole, kMidHoldS);
    asked.estimate.from = tune::Forecast(before, asked).estimate().point;
    std::size_t readings = 0;
    const std::vector<double> median_s =
        interleaved_medians_s({[&] {
                                   const tune::Forecast forecast(now, asked);
                                   readings = forecast.estimate().readings;
                                   static_cast<void>(forecast.traces({}));
                               },
                               [&] { static_cast<void>(MultipleAssimilation(now, 1, 1).run()); }},
                              5);
    std::ostringstream note;
    note << "ms an update at mid-hold, one thread, " << kMembers << " members, " << whole.bakes.front().traces.traces.size()
         << " channels, " << readings << " readings; ours tells what is to come as well, the peer only what was";
    return {"live.update", median_s[0] * 1e3, "ms", "ensemble smoother, 256 members", median_s[1] * 1e3, note.str()};
}

}  // namespace bakewright::bench
