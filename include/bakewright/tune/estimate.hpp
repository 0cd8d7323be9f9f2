// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/build_network.hpp"
#include "bakewright/bake/members.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/tune/task.hpp"

/// Every zone of a logged bake from the probes there are.
namespace bakewright::tune {

/// Where a fit ended, in standard deviations of what was believed: a later one of the same bake, with more of its log, begins
/// there.
struct EstimatePoint {
    struct OfProbe {
        std::string channel;
        std::vector<double> values;  ///< offset, lag, share
    };
    std::vector<bake::DrawnNumber> numbers{};
    std::vector<double> values{};  ///< of each
    std::vector<OfProbe> probes{};
};

struct EstimateOptions {
    bake::Uncertainty prior{};
    std::size_t member_count = 256;  ///< drawn of what is left open; 1 to 100,000
    std::uint64_t seed = 1;
    bool drives_by_cycle = false;  ///< the cycle drives the model although the log has the air
    bool keeps_faults = false;     ///< channels that look faulty are believed all the same
    std::size_t thread_count = 0;  ///< 0: one a core
    std::size_t step_count = 2;    ///< at most, of Gauss and Newton
    /// By how much a number is moved to see what it does, in standard deviations of what is believed: smaller where a log says so
    /// much that it bends within that.
    double number_step = kNumberStep;
    std::optional<TimeSpan> leaves_out{};  ///< readings of the shell that do not count
    /// Logarithms of what other bakes say for each of bake::discrepancy_sizes(); empty: nothing.
    std::vector<double> earlier_evidence{};
    /// Of one bake: the fit begins there, and takes one step in place of two. Numbers and channels that are not in it begin at
    /// what was believed.
    std::optional<EstimatePoint> from{};
    bool keeps_linear_form = false;  ///< of one bake: Estimate::linear is filled in
};

/// What is found of one channel of one bake.
struct ChannelFinding {
    std::string bake, channel;
    double offset_k = 0.0, offset_standard_k = 0.0;  ///< reads so much more than what it is held to
    std::optional<double> air_share{}, air_share_standard{};
    std::optional<double> lag_s{}, lag_standard_s{};
    double residual_k = 0.0;            ///< RMS of what the fit leaves
    double foretold_within_k = 0.0;     ///< RMS of its readings against what all the others say of them, its own offset left free
    std::optional<ProbeFault> fault{};  ///< its readings are left out: from the moment on, or all of an exchanged one
    bool is_fitted = false;             ///< some of its readings count
};

/// What is known of one of the numbers, in standard deviations of what was believed.
struct EstimatedNumber {
    bake::DrawnNumber number;
    double mean = 0.0, standard = 1.0;
};

/// One of the bakes as it is estimated.
struct BakeEstimate {
    std::string bake;
    /// The likeliest course of every zone, cavity, item and surface with the air that drove it, every 10 s.
    TraceSet traces;
    bake::DrivenNetwork driven;
    std::vector<std::vector<double>> members;  ///< by bake::MemberSpace::numbers() of `driven`
    bake::Uncertainty prior;                   ///< what those numbers are standard deviations of
    std::vector<EstimatedNumber> numbers;      ///< in the order of the members
};

/// Opaque: what a LinearForecast goes on from.
struct LinearPoint;

struct Estimate {
    bool is_conditioned =
        false;                ///< false: no channel tells anything, or the fit failed; members are then drawn as before any log
    std::string why_not;      ///< for people
    bool is_settled = false;  ///< the last step moved no number by more than a tenth of what was believed of it
    std::vector<BakeEstimate> bakes;
    std::vector<double> covariance;  ///< of the numbers of the first bake, row by row; empty where it is not conditioned
    std::vector<ChannelFinding> channels;
    std::vector<bake::DiscrepancySize> sizes;  ///< with their weights as they are after the bakes
    std::vector<double> evidence;              ///< logarithm of what these bakes say for each, the largest 0
    std::size_t unknowns = 0, readings = 0;
    EstimatePoint point{};                        ///< where the fit ended; of one bake
    std::shared_ptr<const LinearPoint> linear{};  ///< where it was asked for and is_conditioned
    std::size_t solves = 0;                       ///< of the model; those of the members come with what is asked of them
    double compute_s = 0.0;
};

/// Conditions what is not known of shell, booth and probes on logged bakes: the maximum a posteriori estimate over all of it at
/// once, by Gauss-Newton steps on the linearised model, with an error of each zone's own air and of the walls among the unknowns.
/// Of every size of those errors (bake::discrepancy_sizes()) the evidence is taken by Laplace's method at no further solve:
///
///     u_h = H_h^-1 J^T (r + J u),  H_h = J^T J + S_h^-2,  log w_h = log p_h + u_h^T J^T (r + J u) / 2 - log det H_h / 2 - log
///     det S_h
///
/// with r the whitened readings less the model at u, J its Jacobian, S_h the sizes over the widest ones. A reading's error is
/// noise, a part that stays alike for ten minutes, and the probe's own offset, air share and lag, which are unknowns too.
/// Members are drawn from the mixture. Channels are then left out in turn, by linear algebra: what the others foretell of one
/// says whether it stepped, came loose, or was exchanged; at most two faults are taken out, and what is left is fitted again.
/// Several bakes share everything but air, start and probes. The same bits at any thread count.
/// Sources: MacKay, Neural Computation 4 (1992) 415 (evidence; from memory); Kennedy & O'Hagan, J. R. Statist. Soc. B 63 (2001)
/// 425 (a model's own error among the unknowns; from memory).
/// @throws InputError where records have problems, or nothing can drive the model of a bake
[[nodiscard]] Estimate estimate(const TuneTask& task, const EstimateOptions& options = {});

/// Longer bakes are not estimated [s]: their log is judged as it is.
inline constexpr double kLongestEstimatedS = 72.0 * 3600.0;

}  // namespace bakewright::tune
