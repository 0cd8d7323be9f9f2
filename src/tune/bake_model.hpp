// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <span>
#include <string>
#include <vector>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/bake/members.hpp"
#include "difference.hpp"
#include "unknowns.hpp"

namespace bakewright::tune {

/// What a probe does to the temperature that it is held to.
struct ProbeResponse {
    double air_share = 0.0;  ///< of the way from the zone to the air that it settles at, 0 to 1
    double lag_s = 0.0;      ///< first order, >= 0
};

/// A probe's reading on an even grid: first order in time towards (1 - share) zone + share air, which go in straight lines
/// between moments; exact for those. It starts settled. Shapes: one value a moment, also the result.
[[nodiscard]] std::vector<double> responded(std::span<const float> zone_k, std::span<const float> air_k, double interval_s,
                                            const ProbeResponse& response);

/// Value on an even grid at a time within it, by the straight line.
[[nodiscard]] double on_grid(std::span<const double> values, double begin_s, double interval_s, double time_s);

/// Values of the model's unknowns.
using ModelPoint = std::vector<double>;

/// What a solve gives: temperatures of the channels and of the booth's air on one grid.
struct ModelTraces {
    std::vector<std::vector<float>> channel_k;  ///< by channel, then moment
    std::vector<float> air_k;
};

/// One logged bake as its model sees it: what drives it, where it starts, which channels it is held against.
class BakeModel {
public:
    /// @throws InputError where nothing can drive the model
    BakeModel(const TuneTask& task, std::size_t bake, const TuneOptions& options);

    [[nodiscard]] const std::vector<std::string>& channels() const noexcept { return channels_; }
    /// Logged samples of a channel, thinned.
    [[nodiscard]] const std::vector<LoggedPoint>& samples(std::size_t channel) const { return samples_[channel]; }
    [[nodiscard]] const std::vector<double>& time_s() const noexcept { return time_s_; }
    [[nodiscard]] double interval_s() const noexcept { return interval_s_; }
    [[nodiscard]] bool is_surface(std::size_t channel) const { return is_surface_[channel]; }
    [[nodiscard]] BakeFacts facts() const;
    [[nodiscard]] double begin_s() const noexcept { return segments_.front().begin_s; }
    [[nodiscard]] double end_s() const noexcept { return segments_.back().end_s; }
    void leave_out(const std::string& channel);
    /// Keeps a channel's samples before a moment.
    void cut_off(const std::string& channel, double from_s);
    [[nodiscard]] const bake::BuiltNetwork& built() const noexcept { return built_; }
    [[nodiscard]] std::span<const thermal::Segment> segments() const noexcept { return segments_; }
    [[nodiscard]] bool is_replay() const noexcept { return is_replay_; }
    /// Traces of members that are set by their normal numbers. @throws SolveError
    [[nodiscard]] std::vector<ModelTraces> solve(const bake::MemberSpace& space, std::span<const std::vector<double>> members,
                                                 std::size_t thread_count = 1) const;
    /// Every trace of the network at one member, at least as often as so many seconds. @throws SolveError
    [[nodiscard]] TraceSet solve_whole(const bake::MemberSpace& space, const std::vector<double>& member, double every_s) const;

    /// Which numbers of the records the unknowns stand for; to be told before solve().
    void set_unknowns(const std::vector<Unknown>& unknowns);
    /// Traces at each of the points. Those that differ by factors alone are lanes of one ensemble. @throws SolveError
    [[nodiscard]] std::vector<ModelTraces> solve(std::span<const ModelPoint> points) const;

private:
    struct Lane {
        thermal::FactorIndex factor = thermal::kNoFactor;
        double sign = 1.0;
        std::size_t unknown = 0;
    };
    void find_channels();
    void choose_drive();
    void build(const bake::Shell& shell, const bake::Booth& booth);
    void start_at_first_readings(bake::PredictOptions& options) const;
    [[nodiscard]] bool needs_rebuild(const Unknown& unknown) const noexcept;
    [[nodiscard]] std::vector<thermal::Segment> segments_for(const bake::BuiltNetwork& built, const bake::Booth& booth) const;
    [[nodiscard]] std::vector<ModelTraces> solve_members(const bake::BuiltNetwork& built,
                                                         std::span<const thermal::Segment> segments, std::size_t count,
                                                         const thermal::MemberGenerator& generate,
                                                         std::size_t thread_count) const;
    [[nodiscard]] std::vector<ModelTraces> solve_alike(const bake::BuiltNetwork& built,
                                                       std::span<const thermal::Segment> segments, const std::vector<Lane>& lanes,
                                                       std::span<const ModelPoint* const> points) const;
    [[nodiscard]] std::vector<Lane> lanes_of(const bake::BuiltNetwork& built) const;
    [[nodiscard]] bake::BuiltNetwork built_for(const bake::Shell& shell, const bake::Booth& booth) const;

    const TuneTask& task_;
    std::size_t bake_;
    bool is_replay_ = true;
    bool solves_air_ = false;         ///< a replay driven by measured walls alone
    Trace air_;                       ///< that drives, simplified
    bake::SurfaceTraces surfaces_{};  ///< measured ones, which drive as well
    std::vector<bake::ResolvedStage> stages_;
    double interval_s_ = 10.0;
    std::vector<double> time_s_;
    bake::Shell shell_;  ///< with the tuned numbers at 1
    bake::Booth booth_;
    bake::BuiltNetwork built_;
    std::vector<thermal::Segment> segments_;
    std::vector<std::string> channels_;
    std::vector<std::size_t> origin_;  ///< of each channel, in built_.origins
    std::vector<bool> is_surface_;
    std::vector<std::vector<LoggedPoint>> samples_;
    std::vector<Unknown> unknowns_;
    std::vector<Lane> lanes_;
};

/// A trace with no more corners than keep it within a distance of the old one. Source: the straight-line test of Reumann & Witkam
/// in its plainest form, a line from the last kept sample to the present one (from memory).
[[nodiscard]] Trace simplified(const Trace& trace, double within_k);

}  // namespace bakewright::tune
