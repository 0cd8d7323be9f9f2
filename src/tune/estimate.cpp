// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/estimate.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <deque>

#include "bake_part.hpp"
#include "bakewright/base/error.hpp"
#include "linear_point.hpp"
#include "posterior.hpp"
#include "probe_faults.hpp"

namespace bakewright::tune {
namespace {

constexpr double kFarthest = 5.0;            // no number goes farther, in standard deviations
constexpr double kSettled = 0.1;             // a step that moves no number farther is the last
constexpr std::size_t kStepsFromBefore = 1;  // where it begins at the answer of a minute ago
constexpr int kMostFaults = 2;
/// What first readings leave open of a shell's start; common practice, no source.
constexpr double kStartStandardK = 1.0;
constexpr double kTraceEveryS = 10.0;

bool is_same(const bake::DrawnNumber& one, const bake::DrawnNumber& other) {
    return one.kind == other.kind && one.factor == other.factor && one.subject == other.subject;
}

class Estimation {
public:
    Estimation(const TuneTask& task, const EstimateOptions& options) : task_(task), options_(options) {
        if (!options.keeps_faults)
            for (const CondemnedChannel& one : condemned_in(task)) {
                faulty_.push_back({.bake = task.bakes[one.bake].name, .channel = one.channel, .fault = one.fault});
                put_aside(task_, one.bake, one.channel);
            }
    }

    Estimate run() {
        const auto began = std::chrono::steady_clock::now();
        for (std::size_t b = 0; b < task_.bakes.size(); ++b) add_bake(b);
        result_.sizes = parts_.front().space.sizes();
        ensure(options_.earlier_evidence.empty() || options_.earlier_evidence.size() == result_.sizes.size(),
               "evidence is told for each size");
        lay_out();
        try {
            condition();
        } catch (const SolveError& wrong) {
            result_.is_conditioned = false;
            result_.why_not = fmt::format("the fit failed ({})", wrong.what());
        }
        if (!result_.is_conditioned) draw_before();
        result_.compute_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();
        return std::move(result_);
    }

private:
    void add_bake(std::size_t b) {
        const LoggedBake& log = task_.bakes[b];
        bake::Uncertainty prior = options_.prior;
        prior.start_k = std::min(prior.start_k, kStartStandardK * bake::kDeviationsTo95);
        const Trace* air = log.traces.first(TraceRole::booth_air);
        if (air != nullptr && !options_.drives_by_cycle) prior.air_k = probe_standard_k(log, air->name) * bake::kDeviationsTo95;
        parts_.emplace_back(task_, b, options_.drives_by_cycle, prior, options_.number_step);
        if (options_.leaves_out) parts_.back().model.leave_out(*options_.leaves_out);
        if (parts_.back().model.end_s() - parts_.back().model.begin_s() > kLongestEstimatedS)
            throw InputError(Problem{{}, 0, log.name, "is longer than 72 h: such a log is judged as it is"});
    }

    /// Gives every number its place: those that bakes share once.
    void lay_out() {
        numbers_.clear();
        probe_count_ = 0;
        for (BakePart& part : parts_) {
            part.at.clear();
            for (const bake::DrawnNumber& number : part.space.numbers()) {
                const auto known = std::find_if(numbers_.begin(), numbers_.end(),
                                                [&](const bake::DrawnNumber& one) { return is_same(one, number); });
                if (known != numbers_.end() && !number.is_of_one_bake()) {
                    part.at.push_back(static_cast<std::size_t>(known - numbers_.begin()));
                } else {
                    part.at.push_back(numbers_.size());
                    numbers_.push_back(number);
                }
            }
        }
        std::size_t next = numbers_.size();
        for (std::size_t b = 0; b < parts_.size(); ++b) {
            BakePart& part = parts_[b];
            next = part.add_probes(task_.bakes[b], next);
            probe_count_ += part.probes.size();
        }
        count_ = next;
    }

    void condition() {
        result_.unknowns = count_;
        if (probe_count_ == 0) {
            result_.why_not = "no channel of the log is one of the shell's";
            return;
        }
        Vector at = begin();
        fit(at, options_.from ? kStepsFromBefore : options_.step_count);
        for (int faults = 0; faults < kMostFaults && !options_.keeps_faults; ++faults) {
            if (!take_out_fault(at)) break;
            at = carried_over(at);
            if (probe_count_ == 0) {
                result_.why_not = "every channel of the log looks faulty";
                return;
            }
            fit(at, 1);
        }
        tell(at);
        result_.is_conditioned = true;
    }

    /// Where the fit begins: at what is believed, or where an earlier one ended.
    [[nodiscard]] Vector begin() const {
        Vector at = Vector::Zero(static_cast<Eigen::Index>(count_));
        if (!options_.from) return at;
        const EstimatePoint& from = *options_.from;
        for (std::size_t n = 0; n < numbers_.size(); ++n)
            for (std::size_t known = 0; known < from.numbers.size(); ++known)
                if (is_same(numbers_[n], from.numbers[known])) at[static_cast<Eigen::Index>(n)] = from.values[known];
        const BakePart& part = parts_.front();
        for (std::size_t c = 0; c < part.probes.size(); ++c)
            for (const EstimatePoint::OfProbe& known : from.probes)
                for (std::size_t p = 0; known.channel == part.model.channels()[c] && p < known.values.size(); ++p)
                    at[static_cast<Eigen::Index>(part.probes[c].at + p)] = known.values[p];
        return at;
    }

    [[nodiscard]] EstimatePoint point_of(const Vector& at) const {
        EstimatePoint point{
            numbers_, std::vector<double>(at.begin(), at.begin() + static_cast<std::ptrdiff_t>(numbers_.size())), {}};
        const BakePart& part = parts_.front();
        for (std::size_t c = 0; c < part.probes.size(); ++c) {
            const auto first = at.begin() + static_cast<std::ptrdiff_t>(part.probes[c].at);
            point.probes.push_back(
                {part.model.channels()[c], {first, first + static_cast<std::ptrdiff_t>(part.probes[c].count())}});
        }
        return point;
    }

    /// Gauss-Newton steps with the widest errors of the model; each is halved, and halved again, while it makes things worse.
    void fit(Vector& at, std::size_t steps) {
        result_.is_settled = false;
        for (std::size_t step = 0; step < steps && !result_.is_settled; ++step) {
            linearise(at);
            const Vector whole = whole_step(at);
            at += best_share(at, whole) * whole;
            result_.is_settled = whole.cwiseAbs().maxCoeff() <= kSettled;
        }
        linearise(at);
    }

    [[nodiscard]] Vector whole_step(const Vector& at) const {
        const Vector widest = shrunk(result_.sizes.back());
        const Vector mean =
            options_.keeps_faults ? Evidence(blocks_, at).posterior(widest, 0.0).mean : robust_mean(blocks_, at, widest);
        return mean.cwiseMin(kFarthest).cwiseMax(-kFarthest) - at;
    }

    [[nodiscard]] double best_share(const Vector& at, const Vector& step) {
        const std::vector<double> shares{1.0, 0.5, 0.25, 0.0};
        std::vector<Vector> points;
        for (const double share : shares) points.push_back(at + share * step);
        std::vector<double> cost(points.size(), 0.0);
        for (std::size_t p = 0; p < points.size(); ++p) cost[p] = points[p].squaredNorm();
        for (std::size_t b = 0; b < parts_.size(); ++b) {
            const std::vector<ModelTraces> solved = solve(b, points);
            for (std::size_t p = 0; p < points.size(); ++p)
                for (std::size_t c = 0; c < parts_[b].probes.size(); ++c)
                    cost[p] += robust_loss(parts_[b].whitened_residual(c, solved[p], points[p]));
        }
        const auto best = std::min_element(cost.begin(), cost.end());
        return shares[static_cast<std::size_t>(best - cost.begin())];
    }

    [[nodiscard]] std::vector<ModelTraces> solve(std::size_t b, const std::vector<Vector>& points) {
        std::vector<std::vector<double>> members;
        for (const Vector& point : points) members.push_back(parts_[b].normals(point));
        result_.solves += members.size();
        return parts_[b].model.solve(parts_[b].space, members, options_.thread_count);
    }

    /// Solves each bake at a point and moved by each of its numbers, and makes blocks of it.
    void linearise(const Vector& at) {
        blocks_.clear();
        for (std::size_t b = 0; b < parts_.size(); ++b) {
            std::vector<std::vector<double>> members{parts_[b].normals(at)};
            for (const std::size_t n : parts_[b].moved) {
                members.push_back(members.front());
                members.back()[n] += options_.number_step;
            }
            result_.solves += members.size();
            parts_[b].traces = parts_[b].model.solve(parts_[b].space, members, options_.thread_count);
            for (std::size_t c = 0; c < parts_[b].probes.size(); ++c) blocks_.push_back(parts_[b].block(c, at));
        }
    }

    [[nodiscard]] Vector shrunk(const bake::DiscrepancySize& size) const {
        Vector shrunk = Vector::Ones(static_cast<Eigen::Index>(count_));
        for (std::size_t n = 0; n < numbers_.size(); ++n)
            shrunk[static_cast<Eigen::Index>(n)] = parts_.front().space.shrunk(numbers_[n], size);
        return shrunk.cwiseMax(1e-6);
    }

    /// Of a size of the model's errors, before the readings.
    [[nodiscard]] double log_prior(std::size_t size) const {
        return std::log(result_.sizes[size].weight) + (options_.earlier_evidence.empty() ? 0.0 : options_.earlier_evidence[size]);
    }
    [[nodiscard]] std::vector<Posterior> mixture(const Evidence& evidence) const {
        std::vector<Posterior> parts;
        for (std::size_t h = 0; h < result_.sizes.size(); ++h)
            parts.push_back(evidence.posterior(shrunk(result_.sizes[h]), log_prior(h)));
        return parts;
    }
    /// Before the sizes' weights are those after the readings.
    [[nodiscard]] std::shared_ptr<const LinearPoint> linear_point(const Vector& at, const Evidence& evidence,
                                                                  const std::vector<double>& weights) const {
        const BakePart& part = parts_.front();
        LinearPoint point{at, evidence, {}, weights, {}, part.at, part.moved, options_.seed};
        for (std::size_t h = 0; h < result_.sizes.size(); ++h) point.sizes.push_back({shrunk(result_.sizes[h]), log_prior(h)});
        for (const ChannelBlock& block : blocks_) {
            const std::string& name = part.model.channels()[block.channel];
            if (std::none_of(faulty_.begin(), faulty_.end(), [&](const ChannelFinding& one) { return one.channel == name; }))
                point.channels.push_back({name, part.probes[block.channel], block});
        }
        return std::make_shared<const LinearPoint>(std::move(point));
    }
    [[nodiscard]] static std::size_t likeliest(const std::vector<Posterior>& parts) {
        return static_cast<std::size_t>(
            std::max_element(parts.begin(), parts.end(),
                             [](const Posterior& one, const Posterior& other) { return one.log_weight < other.log_weight; }) -
            parts.begin());
    }

    /// Takes the worst fault out of what is fitted. @return false where there is none
    bool take_out_fault(const Vector& at) {
        const Evidence evidence(blocks_, at);
        const std::vector<Posterior> parts = mixture(evidence);
        const std::size_t best = likeliest(parts);
        std::vector<bool> is_surface;
        for (const ChannelBlock& block : blocks_) is_surface.push_back(parts_[block.bake].model.is_surface(block.channel));
        const auto found = worst_fault(blocks_, is_surface, evidence, parts[best], shrunk(result_.sizes[best]), at);
        if (!found) return false;
        const std::size_t b = blocks_[found->block].bake;
        BakeModel& model = parts_[b].model;
        const std::string channel = model.channels()[blocks_[found->block].channel];
        ProbeFault fault = found->fault;
        if (found->with) {
            fault.with = model.channels()[blocks_[*found->with].channel];
            ProbeFault of_the_other = fault;
            of_the_other.with = channel;
            leave_out(b, channel, fault);
            leave_out(b, fault.with, of_the_other);
        } else {
            leave_out(b, channel, fault);
        }
        return true;
    }

    void leave_out(std::size_t b, const std::string& channel, const ProbeFault& fault) {
        ChannelFinding finding{.bake = task_.bakes[b].name, .channel = channel};
        finding.fault = fault;
        faulty_.push_back(std::move(finding));
        if (probe::condemns_all(fault.kind))
            parts_[b].model.leave_out(channel);
        else
            parts_[b].model.cut_off(channel, fault.from_s);
    }

    /// The point among the unknowns that are left after a channel went: the model's numbers stay where they are.
    [[nodiscard]] Vector carried_over(const Vector& before) {
        const std::size_t model_count = numbers_.size();
        lay_out();
        Vector at = Vector::Zero(static_cast<Eigen::Index>(count_));
        at.head(static_cast<Eigen::Index>(model_count)) = before.head(static_cast<Eigen::Index>(model_count));
        return at;
    }

    void tell(const Vector& at) {
        if (parts_.size() == 1) result_.point = point_of(at);
        const Evidence evidence(blocks_, at);
        const std::vector<Posterior> parts = mixture(evidence);
        const std::vector<double> weights = mixture_weights(parts);
        const Moments moments = moments_of(parts, weights);
        const std::size_t best = likeliest(parts);
        for (const ChannelBlock& block : blocks_) {
            result_.readings += block.time_s.size();
            result_.channels.push_back(finding(block, moments, at));
            result_.channels.back().foretold_within_k = foretold_within_k(block, evidence, shrunk(result_.sizes[best]), at);
        }
        if (options_.keeps_linear_form) result_.linear = linear_point(at, evidence, weights);
        add_faulty();
        for (std::size_t h = 0; h < parts.size(); ++h) result_.evidence.push_back(parts[h].log_weight - log_prior(h));
        const double most = *std::max_element(result_.evidence.begin(), result_.evidence.end());
        for (double& one : result_.evidence) one -= most;
        for (std::size_t h = 0; h < parts.size(); ++h) result_.sizes[h].weight = weights[h];
        std::vector<Vector> drawn;
        for (std::size_t m = 0; m < options_.member_count; ++m) drawn.push_back(draw_from(parts, weights, options_.seed, m));
        for (std::size_t b = 0; b < parts_.size(); ++b) add_result(b, moments, drawn);
        const std::vector<std::size_t>& places = parts_.front().at;
        for (const std::size_t a : places)
            for (const std::size_t b : places)
                result_.covariance.push_back(moments.covariance(static_cast<Eigen::Index>(a), static_cast<Eigen::Index>(b)));
    }

    [[nodiscard]] ChannelFinding finding(const ChannelBlock& block, const Moments& moments, const Vector& at) const {
        const BakePart& part = parts_[block.bake];
        const EstimatedProbe& probe = part.probes[block.channel];
        const auto mean = [&](std::size_t which) { return moments.mean[static_cast<Eigen::Index>(probe.at + which)]; };
        const auto standard = [&](std::size_t which) { return moments.standard[static_cast<Eigen::Index>(probe.at + which)]; };
        ChannelFinding made{.bake = task_.bakes[block.bake].name, .channel = part.model.channels()[block.channel]};
        made.offset_k = probe.offset_standard_k * mean(0);
        made.offset_standard_k = probe.offset_standard_k * standard(0);
        made.lag_s = probe.lag_s(mean(1));
        made.lag_standard_s = kTapedLagStandardS * standard(1);
        if (probe.has_share) {
            made.air_share = probe.air_share(mean(2));
            made.air_share_standard = probe.share_standard * standard(2);
        }
        const Vector left_k = block.root.matrixL() * Vector(block.residual + block.slope * (at - moments.mean));
        made.is_fitted = true;
        made.residual_k = std::sqrt(left_k.squaredNorm() / static_cast<double>(left_k.size()));
        return made;
    }

    /// A channel that is cut off from a moment on is in both lists.
    void add_faulty() {
        for (ChannelFinding& faulty : faulty_) {
            const auto known = std::find_if(result_.channels.begin(), result_.channels.end(), [&](const ChannelFinding& one) {
                return one.bake == faulty.bake && one.channel == faulty.channel;
            });
            if (known == result_.channels.end()) {
                result_.channels.push_back(std::move(faulty));
            } else {
                known->fault = faulty.fault;
            }
        }
    }

    void add_result(std::size_t b, const Moments& moments, const std::vector<Vector>& drawn) {
        const BakePart& part = parts_[b];
        BakeEstimate made{task_.bakes[b].name, {}, {part.model.built(), {}}, {}, part.prior, {}};
        made.driven.segments.assign(part.model.segments().begin(), part.model.segments().end());
        made.traces = part.model.solve_whole(part.space, part.normals(moments.mean), kTraceEveryS);
        ++result_.solves;
        for (const Vector& one : drawn) made.members.push_back(part.normals(one));
        for (std::size_t n = 0; n < part.at.size(); ++n) {
            const auto at = static_cast<Eigen::Index>(part.at[n]);
            made.numbers.push_back({part.space.numbers()[n], moments.mean[at], moments.standard[at]});
        }
        result_.bakes.push_back(std::move(made));
    }

    /// Members as before any log.
    void draw_before() {
        result_.bakes.clear();
        result_.channels.clear();
        add_faulty();
        for (std::size_t b = 0; b < parts_.size(); ++b) {
            const BakePart& part = parts_[b];
            BakeEstimate made{task_.bakes[b].name, {}, {part.model.built(), {}}, {}, part.prior, {}};
            made.driven.segments.assign(part.model.segments().begin(), part.model.segments().end());
            made.traces = part.model.solve_whole(part.space, std::vector<double>(part.at.size(), 0.0), kTraceEveryS);
            for (std::size_t m = 0; m < options_.member_count; ++m) made.members.push_back(part.space.draw(options_.seed, m));
            for (const bake::DrawnNumber& number : part.space.numbers()) made.numbers.push_back({number, 0.0, 1.0});
            result_.bakes.push_back(std::move(made));
        }
    }

    TuneTask task_;  ///< without what is condemned
    const EstimateOptions& options_;
    std::deque<BakePart> parts_;
    std::vector<bake::DrawnNumber> numbers_;
    std::size_t probe_count_ = 0, count_ = 0;
    std::vector<ChannelBlock> blocks_;
    std::vector<ChannelFinding> faulty_;
    Estimate result_;
};

void refuse_problems(const TuneTask& task, const EstimateOptions& options) {
    options.prior.check();
    std::vector<Problem> found = bake::problems_in(task.shell);
    const std::vector<Problem> in_booth = bake::problems_in(task.booth);
    found.insert(found.end(), in_booth.begin(), in_booth.end());
    if (task.bakes.empty()) found.push_back({{}, 0, "bakes", "are missing: name at least one logged bake"});
    if ((options.from || options.keeps_linear_form) && task.bakes.size() > 1)
        found.push_back({{}, 0, "bakes", "are several: a fit goes on from an earlier one of a single bake alone"});
    if (options.member_count < 1 || options.member_count > 100'000) found.push_back({{}, 0, "members", "accepts 1 to 100000"});
    if (!found.empty()) throw InputError(std::move(found));
}

}  // namespace

Estimate estimate(const TuneTask& task, const EstimateOptions& options) {
    refuse_problems(task, options);
    return Estimation(task, options).run();
}

}  // namespace bakewright::tune
