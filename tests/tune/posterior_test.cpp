// SPDX-License-Identifier: Apache-2.0
// Against the other way to write a linear Gaussian problem: by the covariance of the readings.

#include "posterior.hpp"

#include <doctest/doctest.h>

#include <Eigen/LU>
#include <cmath>
#include <numbers>

#include "bakewright/thermal/ensemble.hpp"
#include "probe_faults.hpp"

using namespace bakewright;
using tune::Matrix;
using tune::Vector;

namespace {

/// Two channels of a body of two nodes in air that steps up: T' = (air - T) / tau and T2' = (T - T2) / tau2, linear in their
/// starts and in the air, which are what is not known.
struct TwoNodes {
    std::vector<tune::ChannelBlock> blocks;
    Matrix slope_k;     ///< both channels
    Vector reading_k;   ///< less the model at 0
    Matrix covariance;  ///< of the readings' errors
    /// @param minutes  of the log so far
    explicit TwoNodes(std::size_t minutes = 12) {
        std::vector<double> time_s{0, 60, 120, 180, 240, 300, 360, 420, 480, 540, 600, 660};
        time_s.resize(minutes);
        const auto count = static_cast<Eigen::Index>(time_s.size());
        slope_k = Matrix::Zero(2 * count, 3);
        covariance = Matrix::Zero(2 * count, 2 * count);
        constexpr double kTau = 300.0, kTau2 = 900.0;
        for (Eigen::Index i = 0; i < count; ++i) {
            const double a = std::exp(-time_s[static_cast<std::size_t>(i)] / kTau),
                         b = std::exp(-time_s[static_cast<std::size_t>(i)] / kTau2);
            // Of the first node's start in the second: (1/tau2) / (1/tau - 1/tau2) (exp(-t/tau2) - exp(-t/tau)).
            const double through = kTau / (kTau2 - kTau) * (b - a);
            slope_k.row(i) << 1.0 - a, a, 0.0;
            slope_k.row(count + i) << 1.0 - b - through, through, b;
        }
        std::vector<double> normals(24);
        thermal::draw_normals(5, 0, normals);
        reading_k = slope_k * Vector{{0.8, -1.1, 0.4}};
        for (Eigen::Index i = 0; i < count; ++i)
            for (Eigen::Index c = 0; c < 2; ++c) reading_k[c * count + i] += 0.3 * normals[static_cast<std::size_t>(2 * i + c)];
        for (Eigen::Index c = 0; c < 2; ++c) {
            tune::ChannelBlock block;
            block.channel = static_cast<std::size_t>(c);
            block.time_s = time_s;
            const Matrix own = tune::reading_covariance(time_s, 0.2);
            covariance.block(c * count, c * count, count, count) = own;
            block.root.compute(own);
            block.residual = block.whitened(reading_k.segment(c * count, count));
            block.slope = block.root.matrixL().solve(slope_k.middleRows(c * count, count));
            blocks.push_back(std::move(block));
        }
    }
};

}  // namespace

TEST_CASE("mean, covariance and evidence of a linear case of two nodes are those of the normal distribution of its readings") {
    // Prior N(0, S^2): y ~ N(0, X S^2 X^T + R); mean = S^2 X^T (X S^2 X^T + R)^-1 y. An identity of linear algebra, so to
    // rounding. Source: Rasmussen & Williams, Gaussian Processes for Machine Learning (2006), section 2.1 and (A.9) (from
    // memory).
    const TwoNodes two;
    const Vector zero = Vector::Zero(3);
    for (const Vector& shrunk : {Vector{{1.0, 1.0, 1.0}}, Vector{{0.3, 1.0, 0.5}}}) {
        const tune::Posterior found = tune::Evidence(two.blocks, zero).posterior(shrunk, 0.0);
        const Matrix prior = shrunk.array().square().matrix().asDiagonal();
        const Matrix of_readings = two.slope_k * prior * two.slope_k.transpose() + two.covariance;
        const Matrix gain = prior * two.slope_k.transpose() * of_readings.inverse();
        const Vector mean = gain * two.reading_k;
        const Matrix covariance = prior - gain * two.slope_k * prior;
        CHECK((found.mean - mean).norm() <= 1e-9);
        CHECK((found.covariance() - covariance).norm() <= 1e-9);
        const auto log_density = [&](const Matrix& of) {
            return -0.5 * (two.reading_k.dot(of.inverse() * two.reading_k) + std::log(of.determinant()));
        };
        // The evidence is told up to a constant, the density with no unknown at all.
        CHECK(found.log_weight == doctest::Approx(log_density(of_readings) - log_density(two.covariance)).epsilon(1e-9));
    }
}

TEST_CASE("linearised elsewhere, a linear case has the same answer") {
    const TwoNodes two;
    const Vector at{{0.7, -0.2, 1.5}};
    std::vector<tune::ChannelBlock> moved = two.blocks;
    for (tune::ChannelBlock& block : moved) block.residual -= block.slope * at;
    const Vector ones = Vector::Ones(3);
    const Vector here = tune::Evidence(two.blocks, Vector::Zero(3)).posterior(ones, 0.0).mean;
    CHECK((tune::Evidence(moved, at).posterior(ones, 0.0).mean - here).norm() <= 1e-9);
}

TEST_CASE("readings that come later are heard as if all had come together") {
    // The closed form of all twelve minutes, from eight and the four after them: an identity of linear algebra, to rounding.
    TwoNodes early(8);
    const TwoNodes all(12);
    const Vector at{{0.7, -0.2, 1.5}}, ones = Vector::Ones(3);
    for (tune::ChannelBlock& block : early.blocks) block.residual -= block.slope * at;
    tune::Evidence evidence(early.blocks, at);
    for (Eigen::Index c = 0; c < 2; ++c) {
        const std::vector<double> later(all.blocks[0].time_s.begin() + 8, all.blocks[0].time_s.end());
        const Matrix slope_k = all.slope_k.middleRows(12 * c + 8, 4);
        const Vector residual_k = all.reading_k.segment(12 * c + 8, 4) - slope_k * at;
        const tune::ChannelBlock block =
            tune::later_block(early.blocks[static_cast<std::size_t>(c)], later, {0.2, 0.2, 0.2, 0.2}, residual_k, slope_k);
        // Whitened together, these are the last rows.
        const tune::ChannelBlock& whole = all.blocks[static_cast<std::size_t>(c)];
        CHECK((block.residual - (whole.residual - whole.slope * at).tail(4)).norm() <= 1e-9);
        CHECK((block.slope - whole.slope.bottomRows(4)).norm() <= 1e-9);
        evidence.add(block);
    }
    const tune::Posterior found = evidence.posterior(ones, 0.0);
    const tune::Posterior together = tune::Evidence(all.blocks, Vector::Zero(3)).posterior(ones, 0.0);
    CHECK((found.mean - together.mean).norm() <= 1e-9);
    CHECK((found.covariance() - together.covariance()).norm() <= 1e-9);
}

TEST_CASE("without a channel the answer is that of the other alone") {
    const TwoNodes two;
    const Vector zero = Vector::Zero(3), ones = Vector::Ones(3);
    const Vector without = tune::Evidence(two.blocks, zero).posterior_without({&two.blocks[1]}, ones).mean;
    const Vector alone = tune::Evidence({two.blocks[0]}, zero).posterior(ones, 0.0).mean;
    CHECK((without - alone).norm() <= 1e-9);
}

TEST_CASE("draws from a mixture have its mean and spread") {
    const TwoNodes two;
    const tune::Evidence evidence(two.blocks, Vector::Zero(3));
    const std::vector<tune::Posterior> parts{evidence.posterior(Vector{{1.0, 1.0, 1.0}}, std::log(0.5)),
                                             evidence.posterior(Vector{{0.1, 1.0, 1.0}}, std::log(0.5))};
    const std::vector<double> weights = tune::mixture_weights(parts);
    CHECK(weights[0] + weights[1] == doctest::Approx(1.0));
    const tune::Moments moments = tune::moments_of(parts, weights);
    Vector sum = Vector::Zero(3), squares = Vector::Zero(3);
    constexpr int kDraws = 20000;
    for (int d = 0; d < kDraws; ++d) {
        const Vector one = tune::draw_from(parts, weights, 1, static_cast<std::size_t>(d));
        sum += one;
        squares += (one - moments.mean).cwiseAbs2();
    }
    for (Eigen::Index n = 0; n < 3; ++n) {
        // Four standard errors of a mean, and of a variance of a normal.
        CHECK(std::abs(sum[n] / kDraws - moments.mean[n]) <= 4.0 * moments.standard[n] / std::sqrt(kDraws));
        CHECK(std::sqrt(squares[n] / kDraws) == doctest::Approx(moments.standard[n]).epsilon(0.03));
    }
}

TEST_CASE("one channel gone far off does not carry the rest along") {
    TwoNodes two;
    const Vector zero = Vector::Zero(3), ones = Vector::Ones(3);
    const Vector clean = tune::Evidence({two.blocks[0]}, zero).posterior(ones, 0.0).mean;
    const auto count = static_cast<Eigen::Index>(two.blocks[1].time_s.size());
    Vector step = Vector::Zero(count);
    step.tail(count - 4).setConstant(17.0);
    two.blocks[1].residual += two.blocks[1].whitened(step);
    const Vector robust = tune::robust_mean(two.blocks, zero, ones);
    const Vector plain = tune::Evidence(two.blocks, zero).posterior(ones, 0.0).mean;
    CHECK((robust - clean).norm() < 0.3 * (plain - clean).norm());
}

TEST_CASE("minute by minute the log so far gives what an exact Bayesian filter gives, and never less is known") {
    // A filter that is exact for a linear case is the regression on the readings so far; both nodes' starts and the air stand for
    // its state. The same identity as above at every length, to rounding. That more readings never widen a normal posterior:
    // H grows by a positive semidefinite matrix.
    Vector before = Vector::Ones(3);
    Vector last;
    for (std::size_t minutes = 1; minutes <= 12; ++minutes) {
        CAPTURE(minutes);
        const TwoNodes two(minutes);
        const tune::Posterior found = tune::Evidence(two.blocks, Vector::Zero(3)).posterior(Vector::Ones(3), 0.0);
        const Matrix of_readings = two.slope_k * two.slope_k.transpose() + two.covariance;
        CHECK((found.mean - two.slope_k.transpose() * of_readings.inverse() * two.reading_k).norm() <= 1e-9);
        const Vector variance = found.covariance().diagonal();
        CHECK(variance.minCoeff() > 0.0);
        CHECK((before - variance).minCoeff() >= -1e-12);
        before = variance;
        last = found.mean;
    }
    CHECK((last - tune::Evidence(TwoNodes().blocks, Vector::Zero(3)).posterior(Vector::Ones(3), 0.0).mean).norm() <= 1e-12);
}
