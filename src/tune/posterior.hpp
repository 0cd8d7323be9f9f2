// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "bakewright/bake/members.hpp"

/// Gaussian linear algebra of an estimate: readings that are whitened, unknowns that are standard normal beforehand.
namespace bakewright::tune {

using Vector = Eigen::VectorXd;
using Matrix = Eigen::MatrixXd;

/// The readings of one channel of one bake, linearised: whitened, so that their errors are standard normal and independent.
struct ChannelBlock {
    std::size_t bake = 0, channel = 0;  ///< index in its model
    std::vector<double> time_s;
    Eigen::LLT<Matrix> root;  ///< of the covariance of the errors: L L^T [K2]
    Vector residual;          ///< reading less model at the point of linearisation, whitened
    Matrix slope;             ///< d model / d unknown, whitened: a row a reading
    Vector air_less_zone_k;   ///< of the model, at the readings [K]
    std::vector<double> reading_k;

    /// A course of kelvins at the readings, whitened.
    [[nodiscard]] Vector whitened(const Vector& kelvin) const { return root.matrixL().solve(kelvin); }
};

/// Covariance of readings that are off by white noise and by a part that stays alike: noise^2 I + alike^2 exp(-|dt| / time).
[[nodiscard]] Matrix reading_covariance(const std::vector<double>& time_s, double noise_k);
inline constexpr double kAlikeK = 0.3,
                        kAlikeS = 600.0;  ///< of what a good model leaves on a real log; common practice, no source

/// Normal distribution of the unknowns after the readings, for one size of the model's errors.
struct Posterior {
    Vector mean;
    Eigen::LLT<Matrix> root;  ///< of the inverse covariance H
    double log_weight = 0.0;

    [[nodiscard]] Matrix covariance() const { return root.solve(Matrix::Identity(mean.size(), mean.size())); }
};

/// What the readings say of the unknowns: J^T J and J^T (r + J u), about the point u they were linearised at.
class Evidence {
public:
    Evidence(const std::vector<ChannelBlock>& blocks, const Vector& at);
    /// With a weight for each reading, block by block.
    Evidence(const std::vector<ChannelBlock>& blocks, const Vector& at, const std::vector<Vector>& weights);

    /// @param shrunk  by how much each unknown's standard deviation shrinks against 1
    /// @param log_prior  of that size
    [[nodiscard]] Posterior posterior(const Vector& shrunk, double log_prior) const;
    /// Hears readings that came later; linearised at the same point.
    void add(const ChannelBlock& block);
    /// The same without some channels. @param without  their blocks
    [[nodiscard]] Posterior posterior_without(const std::vector<const ChannelBlock*>& without, const Vector& shrunk) const;

private:
    Matrix information_;
    Vector told_;
    Vector at_;
};

/// The mean where readings farther off than kHuberFrom standard deviations pull only in proportion to their distance, so that one
/// faulty channel does not carry the rest along: weights are taken anew from the linear model until they settle.
/// Source: Huber, Ann. Math. Stat. 35 (1964) 73.
[[nodiscard]] Vector robust_mean(const std::vector<ChannelBlock>& blocks, const Vector& at, const Vector& shrunk);
inline constexpr double kHuberFrom = 2.0;
/// Huber's loss of a whitened residual, as a square within kHuberFrom.
[[nodiscard]] double robust_loss(const Vector& residual);

/// Weights of a mixture: exp of the logarithms, together 1.
[[nodiscard]] std::vector<double> mixture_weights(const std::vector<Posterior>& parts);

/// Readings of a channel that came after those of `before`, whitened given these: their errors are alike to the errors of the
/// earlier ones. The same as whitening all of them together, whose last rows these are.
/// @param time_s  later than those of `before`  @param noise_k  white, of each
/// @param residual_k, slope_k  reading less model, and the model's slope, not whitened
[[nodiscard]] ChannelBlock later_block(const ChannelBlock& before, const std::vector<double>& time_s,
                                       const std::vector<double>& noise_k, const Vector& residual_k, const Matrix& slope_k);

/// Which part of a mixture member number `index` is drawn from.
[[nodiscard]] std::size_t part_of_member(const std::vector<double>& weights, std::uint64_t seed, std::size_t index,
                                         std::size_t unknowns);
/// Draws member number `index` of a mixture: one part by its weight, then mean + L^-T z with H = L L^T.
[[nodiscard]] Vector draw_from(const std::vector<Posterior>& parts, const std::vector<double>& weights, std::uint64_t seed,
                               std::size_t index);

/// Mean, standard deviation and covariance of the unknowns over a mixture.
struct Moments {
    Vector mean, standard;
    Matrix covariance;
};
[[nodiscard]] Moments moments_of(const std::vector<Posterior>& parts, const std::vector<double>& weights);

}  // namespace bakewright::tune
