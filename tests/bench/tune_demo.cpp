// SPDX-License-Identifier: Apache-2.0
// Eight numbers of the demo van and its booth, learned from three logged bakes, against MINPACK's algorithm over CVODE.

#include <Eigen/Dense>
#include <array>
#include <cmath>
#include <memory>
#include <stdexcept>
#include <unsupported/Eigen/NonLinearOptimization>
#include <vector>

#include "bakewright/bake/build_network.hpp"
#include "bakewright/bake/built_network.hpp"
#include "bakewright/bake/predict.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/thermal/ensemble.hpp"
#include "bakewright/tune/tune.hpp"
#include "measure.hpp"
#include "sparse_cvode.hpp"

namespace bakewright::bench {
namespace {

using bake::FactorKind;
using bake::LearnedKind;

constexpr double kSampleInterval_s = 30.0, kNoise_k = 0.2;
constexpr const char* kCycles[]{"clear_60", "primer_bake", "clear_step"};

struct Number {
    LearnedKind kind;
    const char* subject;
    double truth;
};
/// What the logs are made with; invented.
constexpr std::array<Number, 8> kNumbers{{{LearnedKind::group_film, "upright", 0.80},
                                          {LearnedKind::group_film, "facing up", 0.90},
                                          {LearnedKind::group_film, "facing down", 1.15},
                                          {LearnedKind::vertical_profile, "", 1.20},
                                          {LearnedKind::wall_loss, "", 1.30},
                                          {LearnedKind::cavity_film, "interior", 1.10},
                                          {LearnedKind::leakage, "interior", 1.50},
                                          {LearnedKind::air_offset, "", -1.5}}};

tune::TuneTask demo_task() {
    const profile::Library library({BAKEWRIGHT_PROFILES});
    tune::TuneTask task{
        profile::load_shell("library_van", library).record.shell, profile::load_booth("stirred_insulated", library).record, {}};
    task.booth.wall_offset_k.reset();  // walls, ceiling and floor by their balances
    bake::Shell shell = task.shell;
    bake::Booth booth = task.booth;
    for (const Number& number : kNumbers)
        (bake::is_of_booth(number.kind) ? booth.learned : shell.learned)
            .numbers.push_back({number.kind, number.subject, number.truth, 0.0, {}});
    bake::PredictOptions options;
    options.output_interval_s = kSampleInterval_s;
    std::size_t stream = 0;
    for (const char* name : kCycles) {
        const bake::Cycle cycle = profile::load_cycle(name, library).record;
        tune::LoggedBake bake{name, bake::predict(shell, booth, cycle, options).traces, cycle, {}};
        std::erase_if(bake.traces.traces,
                      [](const Trace& trace) { return trace.role == TraceRole::booth_wall || trace.role == TraceRole::item; });
        for (Trace& trace : bake.traces.traces) {
            std::vector<double> normal(trace.size());
            thermal::draw_normals(7, stream++, normal);
            for (std::size_t i = 0; i < trace.size(); ++i) trace.temperature_k[i] += kNoise_k * normal[i];
        }
        task.bakes.push_back(std::move(bake));
    }
    return task;
}

tune::TuneOptions options_of(bool holds_out) {
    tune::TuneOptions options;
    options.what = {tune::Tunable::film, tune::Tunable::vertical, tune::Tunable::walls, tune::Tunable::cavities,
                    tune::Tunable::air};
    options.drives_by_cycle = true;
    options.holds_out = holds_out;
    options.thread_count = 2;
    return options;
}

/// The peer's sum: the same bakes solved one by one, plain residuals, no probes. Parameters: logarithms, and the air's kelvins.
class PeerResiduals {
public:
    using Scalar = double;
    enum { InputsAtCompileTime = Eigen::Dynamic, ValuesAtCompileTime = Eigen::Dynamic };
    using InputType = Eigen::VectorXd;
    using ValueType = Eigen::VectorXd;
    using JacobianType = Eigen::MatrixXd;

    explicit PeerResiduals(const tune::TuneTask& task) : booth_(task.booth) {
        for (const tune::LoggedBake& log : task.bakes) {
            const auto stages = bake::resolve(*log.cycle, task.booth);
            Bake bake{bake::build_network(task.shell, task.booth, {}, bake::BoothAir::given, stages.front().begin_k),
                      {},
                      {},
                      {},
                      nullptr};
            bake.segments = bake::cycle_segments(bake.built, task.booth, *log.cycle, stages, 0.0);
            for (const bake::TraceOrigin& origin : bake.built.origins) {
                const Trace* trace = log.traces.find(origin.name);
                if (trace == nullptr || origin.at.place.kind != thermal::Place::Kind::node) continue;
                bake.nodes.push_back(origin.at.place.index);
                bake.logged.push_back(trace);
                count_ += trace->size();
            }
            bakes_.push_back(std::make_unique<Bake>(std::move(bake)));
            Bake& kept = *bakes_.back();
            kept.cvode = std::make_unique<SparseCvode>(kept.built.network, kept.segments, kSampleInterval_s,
                                                       Correlations::tabulated, 1e-6, 1e-4);
        }
    }
    [[nodiscard]] int inputs() const { return static_cast<int>(kNumbers.size()); }
    [[nodiscard]] int values() const { return static_cast<int>(count_); }

    int operator()(const Eigen::VectorXd& at, Eigen::VectorXd& residual) const {
        Eigen::Index next = 0;
        residual.setZero();
        for (const auto& bake : bakes_) {
            const thermal::Member<double> member = member_at(*bake, at);
            std::size_t moment = 0;
            bake->cvode->solve(member, [&](double time_s, std::span<const double> node_k) {
                for (std::size_t c = 0; c < bake->nodes.size(); ++c) {
                    const Trace& trace = *bake->logged[c];
                    if (moment >= trace.size() || std::abs(trace.time_s[moment] - time_s) > 1e-6) continue;
                    residual[next++] = node_k[bake->nodes[c]] - trace.temperature_k[moment];
                }
                ++moment;
            });
        }
        return 0;
    }
    /// Forward differences, as MINPACK's lmdif makes them; a step as ours.
    int df(const Eigen::VectorXd& at, Eigen::MatrixXd& jacobian) const {
        Eigen::VectorXd base(values()), moved(values());
        (*this)(at, base);
        for (Eigen::Index p = 0; p < at.size(); ++p) {
            Eigen::VectorXd shifted = at;
            const double step = p + 1 == at.size() ? 0.2 : 0.03;
            shifted[p] += step;
            (*this)(shifted, moved);
            jacobian.col(p) = (moved - base) / step;
        }
        return 0;
    }

private:
    struct Bake {
        bake::BuiltNetwork built;
        std::vector<thermal::Segment> segments;
        std::vector<std::uint32_t> nodes;
        std::vector<const Trace*> logged;
        std::unique_ptr<SparseCvode> cvode;
    };
    [[nodiscard]] thermal::Member<double> member_at(const Bake& bake, const Eigen::VectorXd& at) const {
        thermal::Member<double> member(bake.built.network);
        for (std::size_t n = 0; n + 1 < kNumbers.size(); ++n)
            for (const bake::NetworkFactor& factor : bake.built.factors) {
                const bool is_group = kNumbers[n].kind == LearnedKind::group_film && factor.kind == FactorKind::film &&
                                      factor.film_group == kNumbers[n].subject;
                const bool is_own =
                    bake::learned_kind_of(factor.kind) == kNumbers[n].kind && factor.subject == kNumbers[n].subject;
                if (is_group || is_own) member.factor[factor.index] *= std::exp(at[static_cast<Eigen::Index>(n)]);
            }
        const double share = at[at.size() - 1] / booth_.rise_of_full_offset_k();
        member.boundary_gain[0] = 1.0 + share;
        member.boundary_offset_k[0] = -share * booth_.ambient_k;
        return member;
    }

    const bake::Booth& booth_;
    std::vector<std::unique_ptr<Bake>> bakes_;
    std::size_t count_ = 0;
};

Eigen::VectorXd by_peer(const tune::TuneTask& task) {
    PeerResiduals residuals(task);
    Eigen::LevenbergMarquardt<PeerResiduals> solver(residuals);
    solver.parameters.ftol = solver.parameters.xtol = 1e-6;  // as ours
    Eigen::VectorXd at = Eigen::VectorXd::Zero(residuals.inputs());
    solver.minimize(at);
    return at;
}

/// @throws std::runtime_error where a number is not the one that the logs were made with
void confirm(const tune::TuneResult& result, const Eigen::VectorXd& peer) {
    if (!result.converged || result.numbers.size() < kNumbers.size())
        throw std::runtime_error("tune.8x3: fewer than eight numbers, or not settled");
    for (std::size_t n = 0; n < kNumbers.size(); ++n) {
        const bool is_offset = kNumbers[n].kind == LearnedKind::air_offset;
        const double truth = is_offset ? kNumbers[n].truth : std::log(kNumbers[n].truth);
        for (const tune::TunedNumber& number : result.numbers) {
            if (number.learned.kind != kNumbers[n].kind || number.learned.subject != kNumbers[n].subject) continue;
            const double value = is_offset ? number.learned.value : std::log(number.learned.value);
            if (std::abs(value - truth) > 4.0 * number.learned.standard_error)
                throw std::runtime_error("tune.8x3: ours missed " + number.name.text());
        }
        if (std::abs(peer[static_cast<Eigen::Index>(n)] - truth) > 0.15)
            throw std::runtime_error("tune.8x3: the peer missed a number");
    }
}

}  // namespace

Record tune_8x3() {
    const tune::TuneTask task = demo_task();
    tune::TuneResult result;
    Eigen::VectorXd peer;
    const std::vector<double> median_s =
        interleaved_medians_s({[&] { result = tune::tune(task, options_of(false)); }, [&] { peer = by_peer(task); },
                               [&] { static_cast<void>(tune::tune(task, options_of(true))); }},
                              5);
    confirm(result, peer);
    return {"tune.8x3",
            median_s[0],
            "s",
            "MINPACK over CVODE",
            median_s[1],
            "eight numbers, three bakes, " + std::to_string(result.probes.size()) +
                " channels with their probes' offsets (the peer without); with each bake held out in turn " +
                std::to_string(median_s[2]).substr(0, 5) + " s"};
}

}  // namespace bakewright::bench
