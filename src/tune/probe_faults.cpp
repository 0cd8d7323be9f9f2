// SPDX-License-Identifier: Apache-2.0
#include "probe_faults.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "bakewright/base/units.hpp"

namespace bakewright::tune {
namespace {

constexpr std::size_t kFewestAfter = 3;  // readings from which a fault may show

/// The inverse of the covariance of what is foretold, applied: S^-1 x = x - J C J^T x, with C that of all channels.
class ForetoldInverse {
public:
    ForetoldInverse(const ChannelBlock& block, const Posterior& full) : slope_(block.slope), full_(full) {}
    [[nodiscard]] Matrix operator()(const Matrix& x) const { return x - slope_ * full_.root.solve(slope_.transpose() * x); }

private:
    const Matrix& slope_;
    const Posterior& full_;
};

/// Whitened readings less what the others foretell.
Vector foretold_error(const ChannelBlock& block, const Posterior& others, const Vector& at) {
    return block.residual + block.slope * (at - others.mean);
}

/// Courses that begin at each of the readings, whitened, a column each.
Matrix beginning_at_each(const ChannelBlock& block, const Vector& course) {
    const Eigen::Index count = course.size();
    Matrix shapes = Matrix::Zero(count, count);
    for (Eigen::Index from = 0; from < count; ++from) shapes.col(from).tail(count - from) = course.tail(count - from);
    return block.root.matrixL().solve(shapes);
}

struct BestShape {
    Eigen::Index from = 0;
    double statistic = 0.0, amount = 0.0;
};

BestShape best_shape(const Matrix& shapes, const ForetoldInverse& inverse, const Vector& error, bool is_one_sided) {
    const Matrix weighed = inverse(shapes);
    BestShape best;
    const auto last = shapes.cols() - static_cast<Eigen::Index>(kFewestAfter);
    for (Eigen::Index from = 0; from <= last; ++from) {
        const double square = shapes.col(from).dot(weighed.col(from));
        if (!(square > 1e-9)) continue;
        const double along = weighed.col(from).dot(error);
        const double statistic = along / std::sqrt(square);
        if ((is_one_sided ? statistic : std::abs(statistic)) <= best.statistic) continue;
        best = {from, std::abs(statistic), along / square};
    }
    return best;
}

BestShape whole_shape(const ChannelBlock& block, const ForetoldInverse& inverse, const Vector& error, const Vector& course_k) {
    const Vector shape = block.whitened(course_k);
    const Vector weighed = inverse(shape);
    const double square = shape.dot(weighed), along = weighed.dot(error);
    if (!(square > 1e-9)) return {};
    return {0, std::abs(along) / std::sqrt(square), along / square};
}

class FaultSearch {
public:
    FaultSearch(const std::vector<ChannelBlock>& blocks, const Evidence& evidence, const Posterior& full, const Vector& shrunk,
                const Vector& at)
        : blocks_(blocks), evidence_(evidence), full_(full), shrunk_(shrunk), at_(at) {}

    void look_at(std::size_t index, bool is_surface) {
        const ChannelBlock& block = blocks_[index];
        if (block.time_s.size() < 2 * kFewestAfter) return;
        const Vector error = foretold_error(block, evidence_.posterior_without({&block}, shrunk_), at_);
        const ForetoldInverse inverse(block, full_);
        const auto count = static_cast<Eigen::Index>(block.time_s.size());
        misfits_.push_back(std::sqrt(std::max(0.0, error.dot(inverse(error).col(0))) / static_cast<double>(count)));
        // A step at the first reading is an offset, which every probe may have.
        const Matrix steps = beginning_at_each(block, Vector::Ones(count)).rightCols(count - 1);
        const BestShape step = best_shape(steps, inverse, error, false);
        if (std::abs(step.amount) >= kLeastStepK)
            take({index, {}, {ProbeFault::Kind::step, since(block, step.from + 1), step.amount, {}, step.statistic}}, kStepFrom);
        if (!is_surface) return;
        const BestShape loose = best_shape(beginning_at_each(block, block.air_less_zone_k), inverse, error, true);
        const double share = std::clamp(loose.amount, 0.0, 1.0);
        if (share >= kLeastLooseShare)
            take({index, {}, {ProbeFault::Kind::loose, since(block, loose.from), share, {}, loose.statistic}}, kLooseFrom);
    }

    /// Faults that all of a channel's readings have.
    void look_at_whole(std::size_t index) {
        const ChannelBlock& block = blocks_[index];
        if (block.time_s.size() < 2 * kFewestAfter) return;
        const Vector error = foretold_error(block, evidence_.posterior_without({&block}, shrunk_), at_);
        const ForetoldInverse inverse(block, full_);
        const auto count = static_cast<Eigen::Index>(block.time_s.size());
        const Eigen::Map<const Vector> time_s(block.time_s.data(), count), read_k(block.reading_k.data(), count);
        const double begin_s = block.time_s.front(), hours = (block.time_s.back() - begin_s) / kSecondPerHour;
        const BestShape drift = whole_shape(block, inverse, error, (time_s.array() - begin_s) / kSecondPerHour);
        if (std::abs(drift.amount) * hours >= kLeastDriftK)
            take({index, {}, {ProbeFault::Kind::drift, begin_s, drift.amount, {}, drift.statistic}}, kDriftFrom);
        // Of a reading that rises g times as far as it should, (g - 1) / g of its own rise is wrong.
        const BestShape gain = whole_shape(block, inverse, error, read_k.array() - read_k[0]);
        if (std::abs(gain.amount) >= kLeastGain && gain.amount < 1.0)
            take({index, {}, {ProbeFault::Kind::wrong_type, begin_s, 1.0 / (1.0 - gain.amount), {}, gain.statistic}}, kWholeFrom);
    }

    void look_at_pair(std::size_t one, std::size_t other) {
        const ChannelBlock &a = blocks_[one], &b = blocks_[other];
        if (a.bake != b.bake || a.time_s != b.time_s) return;
        const Posterior others = evidence_.posterior_without({&a, &b}, shrunk_);
        const Vector as_named_a = foretold_error(a, others, at_), as_named_b = foretold_error(b, others, at_);
        const Eigen::Map<const Vector> read_a(a.reading_k.data(), as_named_a.size()),
            read_b(b.reading_k.data(), as_named_b.size());
        const Vector between = read_b - read_a;
        const Vector exchanged_a = as_named_a + a.whitened(between), exchanged_b = as_named_b - b.whitened(between);
        const double fall = 0.5 * (square(a, as_named_a, b, as_named_b) - square(a, exchanged_a, b, exchanged_b));
        take({one, other, {ProbeFault::Kind::exchanged, 0.0, 0.0, {}, fall}}, kExchangedFrom);
    }

    [[nodiscard]] std::optional<FoundFault> worst() const {
        std::optional<FoundFault> worst;
        const double misfit = this->misfit();
        for (const auto& [found, threshold] : candidates_) {
            const double scale = found.fault.kind == ProbeFault::Kind::exchanged ? misfit * misfit : misfit;
            if (found.fault.statistic > threshold * scale && (!worst || found.gain() > worst->gain())) worst = found;
        }
        return worst;
    }

private:
    /// Since the reading before: what was logged between the two may be wrong already.
    static double since(const ChannelBlock& block, Eigen::Index at) {
        constexpr double kAfterS = 1e-3;
        return at == 0 ? block.time_s.front() : block.time_s[static_cast<std::size_t>(at) - 1] + kAfterS;
    }
    void take(FoundFault found, double threshold) {
        if (found.fault.statistic > threshold) candidates_.emplace_back(std::move(found), threshold);
    }
    /// By how much errors of the model are larger than it allows for, where even the channels that it foretells best are off: a
    /// model of the wrong form makes no channel faulty.
    [[nodiscard]] double misfit() const {
        if (misfits_.empty()) return 1.0;
        std::vector<double> sorted = misfits_;
        std::sort(sorted.begin(), sorted.end());
        return std::max(1.0, sorted[sorted.size() / 4]);
    }
    /// e^T S^-1 e of two channels together.
    [[nodiscard]] double square(const ChannelBlock& a, const Vector& of_a, const ChannelBlock& b, const Vector& of_b) const {
        const Vector seen = a.slope.transpose() * of_a + b.slope.transpose() * of_b;
        return of_a.squaredNorm() + of_b.squaredNorm() - seen.dot(full_.root.solve(seen));
    }

    const std::vector<ChannelBlock>& blocks_;
    const Evidence& evidence_;
    const Posterior& full_;
    const Vector& shrunk_;
    const Vector& at_;
    std::vector<std::pair<FoundFault, double>> candidates_;  ///< with their thresholds
    std::vector<double> misfits_;  ///< of each channel: root mean square of what it is off, in standard deviations
};

}  // namespace

std::vector<CondemnedChannel> condemned_in(const TuneTask& task) {
    std::vector<CondemnedChannel> found;
    for (std::size_t b = 0; b < task.bakes.size(); ++b) {
        const std::optional<bake::Cycle>& cycle = task.bakes[b].cycle;
        const bool may_shine = cycle && std::any_of(cycle->stages.begin(), cycle->stages.end(),
                                                    [](const bake::Stage& stage) { return stage.infrared.has_value(); });
        for (const probe::ChannelFault& fault : probe::channel_faults(task.bakes[b].traces, may_shine))
            if (probe::condemns_all(fault.kind)) found.push_back({b, fault.channel, {fault.kind, 0.0, fault.amount, {}, 0.0}});
    }
    return found;
}

void put_aside(TuneTask& task, std::size_t bake, const std::string& channel) {
    for (Trace& trace : task.bakes[bake].traces.traces)
        if (trace.name == channel) trace.role = TraceRole::unmapped;
}

void cut_off(TuneTask& task, std::size_t bake, const std::string& channel, double from_s) {
    for (Trace& trace : task.bakes[bake].traces.traces) {
        if (trace.name != channel) continue;
        trace.quality.resize(trace.size(), SampleQuality::good);
        for (std::size_t i = 0; i < trace.size(); ++i)
            if (trace.time_s[i] >= from_s) trace.quality[i] = SampleQuality::missing;
    }
}

std::optional<FoundFault> worst_fault(const std::vector<ChannelBlock>& blocks, const std::vector<bool>& is_surface,
                                      const Evidence& evidence, const Posterior& full, const Vector& shrunk, const Vector& at) {
    FaultSearch search(blocks, evidence, full, shrunk, at);
    const auto surfaces = static_cast<std::size_t>(std::count(is_surface.begin(), is_surface.end(), true));
    for (std::size_t one = 0; one < blocks.size(); ++one) {
        search.look_at(one, is_surface[one]);
        if (surfaces >= kFewestForWhole) search.look_at_whole(one);
    }
    for (std::size_t one = 0; one < blocks.size(); ++one)
        for (std::size_t other = one + 1; other < blocks.size(); ++other)
            if (is_surface[one] == is_surface[other]) search.look_at_pair(one, other);
    return search.worst();
}

double foretold_within_k(const ChannelBlock& block, const Evidence& evidence, const Vector& shrunk, const Vector& at) {
    const Posterior others = evidence.posterior_without({&block}, shrunk);
    const Vector error_k = block.root.matrixL() * foretold_error(block, others, at);
    return std::sqrt((error_k.array() - error_k.mean()).square().mean());
}

}  // namespace bakewright::tune
