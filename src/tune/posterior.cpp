// SPDX-License-Identifier: Apache-2.0
#include "posterior.hpp"

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/thermal/ensemble.hpp"

namespace bakewright::tune {

namespace {

double alike_k2(double time_s, double other_s) { return kAlikeK * kAlikeK * std::exp(-std::abs(time_s - other_s) / kAlikeS); }

}  // namespace

Matrix reading_covariance(const std::vector<double>& time_s, double noise_k) {
    const auto count = static_cast<Eigen::Index>(time_s.size());
    Matrix covariance(count, count);
    for (Eigen::Index i = 0; i < count; ++i)
        for (Eigen::Index j = 0; j <= i; ++j)
            covariance(i, j) = covariance(j, i) =
                alike_k2(time_s[static_cast<std::size_t>(i)], time_s[static_cast<std::size_t>(j)]);
    covariance.diagonal().array() += noise_k * noise_k;
    return covariance;
}

ChannelBlock later_block(const ChannelBlock& before, const std::vector<double>& time_s, const std::vector<double>& noise_k,
                         const Vector& residual_k, const Matrix& slope_k) {
    const auto fresh = static_cast<Eigen::Index>(time_s.size()), known = static_cast<Eigen::Index>(before.time_s.size());
    Matrix across(known, fresh), own = reading_covariance(time_s, 0.0);
    for (Eigen::Index i = 0; i < known; ++i)
        for (Eigen::Index j = 0; j < fresh; ++j)
            across(i, j) = alike_k2(before.time_s[static_cast<std::size_t>(i)], time_s[static_cast<std::size_t>(j)]);
    for (Eigen::Index j = 0; j < fresh; ++j) own(j, j) += std::pow(noise_k[static_cast<std::size_t>(j)], 2);
    const Matrix told = before.root.matrixL().solve(across);
    ChannelBlock made;
    made.bake = before.bake;
    made.channel = before.channel;
    made.time_s = time_s;
    made.root.compute(own - told.transpose() * told);
    ensure(made.root.info() == Eigen::Success, "errors of readings with noise are positive definite");
    made.residual = made.whitened(residual_k - told.transpose() * before.residual);
    made.slope = made.root.matrixL().solve(slope_k - told.transpose() * before.slope);
    return made;
}

namespace {

std::vector<Vector> even_weights(const std::vector<ChannelBlock>& blocks) {
    std::vector<Vector> weights;
    for (const ChannelBlock& block : blocks) weights.push_back(Vector::Ones(block.residual.size()));
    return weights;
}

}  // namespace

Evidence::Evidence(const std::vector<ChannelBlock>& blocks, const Vector& at) : Evidence(blocks, at, even_weights(blocks)) {}

Evidence::Evidence(const std::vector<ChannelBlock>& blocks, const Vector& at, const std::vector<Vector>& weights)
    : information_(Matrix::Zero(at.size(), at.size())), told_(Vector::Zero(at.size())), at_(at) {
    for (std::size_t b = 0; b < blocks.size(); ++b) {
        const ChannelBlock& block = blocks[b];
        const Matrix weighed = weights[b].cwiseSqrt().asDiagonal() * block.slope;
        information_.selfadjointView<Eigen::Lower>().rankUpdate(weighed.transpose());
        told_.noalias() += block.slope.transpose() * weights[b].cwiseProduct(block.residual + block.slope * at_);
    }
    information_.triangularView<Eigen::StrictlyUpper>() = information_.transpose();
}

namespace {

Posterior solved(Matrix information, const Vector& told, const Vector& shrunk, double log_prior) {
    information.diagonal().array() += shrunk.array().square().inverse();
    Posterior posterior;
    posterior.root.compute(information);
    ensure(posterior.root.info() == Eigen::Success, "information with a prior is positive definite");
    posterior.mean = posterior.root.solve(told);
    const double log_root = posterior.root.matrixLLT().diagonal().array().log().sum();  // half of log det H
    posterior.log_weight = log_prior + 0.5 * posterior.mean.dot(told) - log_root - shrunk.array().log().sum();
    return posterior;
}

}  // namespace

Posterior Evidence::posterior(const Vector& shrunk, double log_prior) const {
    return solved(information_, told_, shrunk, log_prior);
}

void Evidence::add(const ChannelBlock& block) {
    information_.noalias() += block.slope.transpose() * block.slope;
    told_.noalias() += block.slope.transpose() * (block.residual + block.slope * at_);
}

Posterior Evidence::posterior_without(const std::vector<const ChannelBlock*>& without, const Vector& shrunk) const {
    Matrix information = information_;
    Vector told = told_;
    for (const ChannelBlock* block : without) {
        information.noalias() -= block->slope.transpose() * block->slope;
        told.noalias() -= block->slope.transpose() * (block->residual + block->slope * at_);
    }
    return solved(std::move(information), told, shrunk, 0.0);
}

Vector robust_mean(const std::vector<ChannelBlock>& blocks, const Vector& at, const Vector& shrunk) {
    constexpr int kRounds = 12;
    std::vector<Vector> weights = even_weights(blocks);
    Vector mean = at;
    for (int round = 0; round < kRounds; ++round) {
        mean = Evidence(blocks, at, weights).posterior(shrunk, 0.0).mean;
        double moved = 0.0;
        for (std::size_t b = 0; b < blocks.size(); ++b) {
            const Vector residual = blocks[b].residual + blocks[b].slope * (at - mean);
            const Vector fresh = (kHuberFrom * residual.cwiseAbs().cwiseMax(kHuberFrom).cwiseInverse());
            moved = std::max(moved, (fresh - weights[b]).cwiseAbs().maxCoeff());
            weights[b] = fresh;
        }
        if (moved < 0.02) break;
    }
    return mean;
}

double robust_loss(const Vector& residual) {
    double loss = 0.0;
    for (const double one : residual) {
        const double off = std::abs(one);
        loss += off <= kHuberFrom ? off * off : kHuberFrom * (2.0 * off - kHuberFrom);
    }
    return loss;
}

std::vector<double> mixture_weights(const std::vector<Posterior>& parts) {
    double largest = -std::numeric_limits<double>::infinity(), sum = 0.0;
    for (const Posterior& part : parts) largest = std::max(largest, part.log_weight);
    std::vector<double> weights;
    for (const Posterior& part : parts) sum += weights.emplace_back(std::exp(part.log_weight - largest));
    for (double& weight : weights) weight /= sum;
    return weights;
}

namespace {

std::vector<double> normals_of(std::uint64_t seed, std::size_t index, std::size_t unknowns) {
    std::vector<double> normals(unknowns + 1);
    thermal::draw_normals(seed, index, normals);
    return normals;
}
std::size_t part_at(const std::vector<double>& weights, double normal) {
    double share = thermal::cumulative_normal(normal);
    std::size_t part = 0;
    while (part + 1 < weights.size() && share > weights[part]) share -= weights[part++];
    return part;
}

}  // namespace

std::size_t part_of_member(const std::vector<double>& weights, std::uint64_t seed, std::size_t index, std::size_t unknowns) {
    return part_at(weights, normals_of(seed, index, unknowns).back());
}

Vector draw_from(const std::vector<Posterior>& parts, const std::vector<double>& weights, std::uint64_t seed, std::size_t index) {
    const Eigen::Index count = parts.front().mean.size();
    const std::vector<double> normals = normals_of(seed, index, static_cast<std::size_t>(count));
    const std::size_t part = part_at(weights, normals.back());
    const Eigen::Map<const Vector> z(normals.data(), count);
    return parts[part].mean + parts[part].root.matrixU().solve(z);
}

Moments moments_of(const std::vector<Posterior>& parts, const std::vector<double>& weights) {
    const Eigen::Index count = parts.front().mean.size();
    Moments moments{Vector::Zero(count), {}, Matrix::Zero(count, count)};
    for (std::size_t p = 0; p < parts.size(); ++p) moments.mean += weights[p] * parts[p].mean;
    for (std::size_t p = 0; p < parts.size(); ++p) {
        if (weights[p] < 1e-12) continue;
        const Vector off = parts[p].mean - moments.mean;
        moments.covariance += weights[p] * (parts[p].covariance() + off * off.transpose());
    }
    moments.standard = moments.covariance.diagonal().cwiseMax(0.0).cwiseSqrt();
    return moments;
}

}  // namespace bakewright::tune
