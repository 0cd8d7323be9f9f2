// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <span>
#include <string>
#include <vector>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/bake/members.hpp"
#include "bakewright/tune/task.hpp"
#include "difference.hpp"

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

/// Standard uncertainty of a channel's probe near 60 degC: by its record, else that of a class 2 type K probe (IEC 60584-1).
[[nodiscard]] double probe_standard_k(const LoggedBake& bake, const std::string& channel);

/// What a solve gives: temperatures of the channels and of the booth's air on one grid.
struct ModelTraces {
    std::vector<std::vector<float>> channel_k;  ///< by channel, then moment
    std::vector<float> air_k;
};

/// One logged bake as its model sees it: what drives it, where it starts, which channels it is held against.
class BakeModel {
public:
    /// @param by_cycle  the cycle drives it although the log has the air @throws InputError where nothing can drive the model
    BakeModel(const TuneTask& task, std::size_t bake, bool by_cycle);

    [[nodiscard]] const std::vector<std::string>& channels() const noexcept { return channels_; }
    /// Logged samples of a channel, thinned.
    [[nodiscard]] const std::vector<LoggedPoint>& samples(std::size_t channel) const { return samples_[channel]; }
    [[nodiscard]] const std::vector<double>& time_s() const noexcept { return time_s_; }
    [[nodiscard]] double interval_s() const noexcept { return interval_s_; }
    [[nodiscard]] bool is_surface(std::size_t channel) const { return is_surface_[channel]; }
    [[nodiscard]] bool tells_modes() const noexcept { return !stages_.empty(); }
    [[nodiscard]] double begin_s() const noexcept { return segments_.front().begin_s; }
    [[nodiscard]] double end_s() const noexcept { return segments_.back().end_s; }
    void leave_out(const std::string& channel);
    /// Samples of every channel that lie within; a channel that has too few left goes.
    void leave_out(const TimeSpan& span);
    /// Keeps a channel's samples before a moment.
    void cut_off(const std::string& channel, double from_s);
    [[nodiscard]] const bake::BuiltNetwork& built() const noexcept { return built_; }
    [[nodiscard]] std::span<const thermal::Segment> segments() const noexcept { return segments_; }
    [[nodiscard]] bool is_replay() const noexcept { return is_replay_; }
    /// Traces of members that are set by their normal numbers. @throws SolveError
    [[nodiscard]] std::vector<ModelTraces> solve(const bake::MemberSpace& space, std::span<const std::vector<double>> members,
                                                 std::size_t thread_count = 1) const;
    [[nodiscard]] std::vector<ModelTraces> solve(std::size_t count, const thermal::MemberGenerator& generate,
                                                 std::size_t thread_count = 1) const;
    /// Every trace of the network at one member, at least as often as so many seconds. @throws SolveError
    [[nodiscard]] TraceSet solve_whole(const bake::MemberSpace& space, const std::vector<double>& member, double every_s) const;

private:
    void find_channels();
    void choose_drive();
    void start_at_first_readings(bake::PredictOptions& options) const;
    [[nodiscard]] bake::BuiltNetwork built_from(const bake::Shell& shell, const bake::Booth& booth) const;
    [[nodiscard]] std::vector<thermal::Segment> driven() const;

    const TuneTask& task_;
    std::size_t bake_;
    bool is_replay_ = true;
    bool solves_air_ = false;         ///< a replay driven by measured walls alone
    Trace air_;                       ///< that drives, simplified
    bake::SurfaceTraces surfaces_{};  ///< measured ones, which drive as well
    std::vector<bake::ResolvedStage> stages_;
    double interval_s_ = 10.0;
    std::vector<double> time_s_;
    bake::BuiltNetwork built_;
    std::vector<thermal::Segment> segments_;
    std::vector<std::string> channels_;
    std::vector<std::size_t> origin_;  ///< of each channel, in built_.origins
    std::vector<bool> is_surface_;
    std::vector<std::vector<LoggedPoint>> samples_;
};

/// A trace with no more corners than keep it within a distance of the old one. Source: the straight-line test of Reumann & Witkam
/// in its plainest form, a line from the last kept sample to the present one (from memory).
[[nodiscard]] Trace simplified(const Trace& trace, double within_k);

}  // namespace bakewright::tune
