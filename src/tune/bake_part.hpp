// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "bake_model.hpp"
#include "bakewright/bake/members.hpp"
#include "posterior.hpp"

namespace bakewright::tune {

/// A taped bead's lag and how far it may be off: common practice, no source.
inline constexpr double kTapedLagS = 15.0, kTapedLagStandardS = 10.0;

/// What a probe does to what it is held to, as two or three of an estimate's unknowns: offset, lag, share of the air.
struct EstimatedProbe {
    double offset_standard_k = 1.4, share = 0.0, share_standard = 0.0;
    bool has_share = false;  ///< on a surface
    std::size_t at = 0;      ///< of its offset among all unknowns; lag and share follow
    double noise_k = 0.0;    ///< white, of each reading

    [[nodiscard]] std::size_t count() const noexcept { return has_share ? 3 : 2; }
    [[nodiscard]] double lag_s(double normal) const noexcept;
    [[nodiscard]] double air_share(double normal) const noexcept;
    /// What it reads of a course on an even grid, where its own numbers have these values; see responded().
    /// @param which_moved  which of them is moved by a step of so many standard deviations; kNoneMoved: none
    [[nodiscard]] std::vector<double> reads(std::span<const float> zone_k, std::span<const float> air_k, double interval_s,
                                            const Vector& point, std::size_t which_moved, double number_step = kNumberStep) const;
};
inline constexpr std::size_t kNoneMoved = 3;

/// One bake of an estimate: its model, its numbers and its probes among all unknowns, and what they say at a point.
class BakePart {
public:
    BakeModel model;
    bake::Uncertainty prior;
    bake::MemberSpace space;
    std::vector<std::size_t> moved;      ///< those of the space's numbers that do something
    std::vector<std::size_t> at;         ///< of each of the space's numbers, among all unknowns
    std::vector<EstimatedProbe> probes;  ///< by the model's channels
    std::vector<ModelTraces> traces;     ///< at the point, then with each of `moved` a step further

    /// @param number_step  as EstimateOptions has it
    BakePart(const TuneTask& task, std::size_t bake, bool by_cycle, const bake::Uncertainty& of_it, double number_step)
        : model(task, bake, by_cycle),
          prior(of_it),
          space(model.built(), task.shell, task.booth, prior),
          bake_(bake),
          number_step_(number_step) {
        for (std::size_t n = 0; n < space.numbers().size(); ++n)
            if (space.standard(n) > 0.0) moved.push_back(n);
    }
    BakePart(const BakePart&) = delete;
    BakePart(BakePart&&) = delete;
    BakePart& operator=(const BakePart&) = delete;
    BakePart& operator=(BakePart&&) = delete;
    ~BakePart() = default;

    /// Gives the probes of all channels places from `next` on. @return the next free one
    std::size_t add_probes(const LoggedBake& log, std::size_t next);
    /// The space's numbers at a point of all unknowns.
    [[nodiscard]] std::vector<double> normals(const Vector& point) const;
    /// A channel's readings linearised at a point at which `traces` was solved.
    [[nodiscard]] ChannelBlock block(std::size_t channel, const Vector& point) const;
    [[nodiscard]] Vector whitened_residual(std::size_t channel, const ModelTraces& solved, const Vector& point) const;

private:
    [[nodiscard]] ChannelBlock readings(std::size_t channel) const;
    [[nodiscard]] std::vector<double> read_by(std::size_t channel, const ModelTraces& solved, const Vector& point,
                                              std::size_t which_moved) const {
        return probes[channel].reads(solved.channel_k[channel], solved.air_k, model.interval_s(), point, which_moved,
                                     number_step_);
    }
    [[nodiscard]] Vector at_readings(const std::vector<double>& time_s, const std::vector<double>& on_grid_k) const;

    std::size_t bake_;
    double number_step_;
};

}  // namespace bakewright::tune
