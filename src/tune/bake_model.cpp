// SPDX-License-Identifier: Apache-2.0
#include "bake_model.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <boost/math/distributions/chi_squared.hpp>
#include <cmath>
#include <map>
#include <numeric>

#include "bakewright/bake/build_network.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/base/units.hpp"
#include "bakewright/thermal/ensemble.hpp"

namespace bakewright::tune {

double probe_standard_k(const LoggedBake& bake, const std::string& channel) {
    constexpr double kTypicalK = celsius_to_kelvin(60.0);
    const probe::ProbeRecord* record = bake.probes ? bake.probes->find(channel) : nullptr;
    if (record != nullptr)
        if (const auto standard_k = record->standard_uncertainty_k(kTypicalK)) return std::max(*standard_k, 0.05);
    return probe::standard_uncertainty_k(
        *probe::tolerance_k(probe::ThermocoupleType::k, probe::ToleranceClass::iec_2, kTypicalK));
}

std::vector<double> responded(std::span<const float> zone_k, std::span<const float> air_k, double interval_s,
                              const ProbeResponse& response) {
    std::vector<double> out(zone_k.size());
    const auto target_k = [&](std::size_t i) {
        const double zone = zone_k[i];
        return zone + response.air_share * (static_cast<double>(air_k[i]) - zone);
    };
    const double lag_s = std::max(response.lag_s, 1e-6);
    const double decay = std::exp(-interval_s / lag_s);
    for (std::size_t i = 0; i < out.size(); ++i) {
        const double to_k = target_k(i);
        if (i == 0) {
            out[0] = to_k;
            continue;
        }
        const double from_k = target_k(i - 1);
        const double trail_k = (to_k - from_k) / interval_s * lag_s;
        out[i] = to_k - trail_k + (out[i - 1] - from_k + trail_k) * decay;
    }
    return out;
}

double on_grid(std::span<const double> values, double begin_s, double interval_s, double time_s) {
    const double at = std::clamp((time_s - begin_s) / interval_s, 0.0, static_cast<double>(values.size() - 1));
    const auto below = std::min(static_cast<std::size_t>(at), values.size() - 2);
    return values[below] + (at - static_cast<double>(below)) * (values[below + 1] - values[below]);
}

namespace {

constexpr std::size_t kFewestReadings = 10;  // of a channel that tells anything
constexpr std::size_t kMostSamples = 240;    // of a channel: more only repeat what neighbours say
constexpr double kShortestInterval_s = 5.0, kLongestInterval_s = 30.0;
constexpr double kGridMoments = 600.0, kMostMoments = 5000.0;
constexpr double kAirWithin_k = 0.1;  // the air's corners; a logger's own resolution
constexpr double kLargestError_k = 0.005;
constexpr int kFirstReadings = 3, kMostLayers = 64;
/// First readings are those of one temperature unless probes alone would scatter so in one log of a thousand.
constexpr double kOddScatter = 0.001;

bool is_shell_role(TraceRole role) {
    return role == TraceRole::zone || role == TraceRole::test_panel || role == TraceRole::cavity_air || role == TraceRole::item;
}

thermal::EnsembleOptions whole_options(double interval_s) {
    thermal::EnsembleOptions options;
    options.output_interval_s = options.quantile_interval_s = interval_s;
    options.largest_error_k = kLargestError_k;
    options.quantile_levels.clear();
    options.keeps_traces = true;
    options.thread_count = 1;
    options.precision = thermal::Precision::in_doubles;
    return options;
}

}  // namespace

Trace simplified(const Trace& trace, double within_k) {
    Trace out = trace;
    out.time_s.clear();
    out.temperature_k.clear();
    out.quality.clear();
    const auto keep = [&](std::size_t i) {
        out.time_s.push_back(trace.time_s[i]);
        out.temperature_k.push_back(trace.temperature_k[i]);
    };
    std::size_t last = 0;
    keep(0);
    for (std::size_t i = 2; i < trace.size(); ++i) {
        const double slope = (trace.temperature_k[i] - trace.temperature_k[last]) / (trace.time_s[i] - trace.time_s[last]);
        bool is_straight = i - last < 200;
        for (std::size_t k = last + 1; k < i && is_straight; ++k)
            is_straight = std::abs(trace.temperature_k[last] + slope * (trace.time_s[k] - trace.time_s[last]) -
                                   trace.temperature_k[k]) <= within_k;
        if (is_straight) continue;
        last = i - 1;
        keep(last);
    }
    if (trace.size() > 1) keep(trace.size() - 1);
    return out;
}

BakeModel::BakeModel(const TuneTask& task, std::size_t bake, bool by_cycle) : task_(task), bake_(bake), is_replay_(!by_cycle) {
    choose_drive();
    built_ = built_from(task_.shell, task_.booth);
    segments_ = driven();
    const double span_s = end_s() - begin_s();
    interval_s_ = std::clamp(std::round(span_s / kGridMoments), kShortestInterval_s, kLongestInterval_s);
    const auto steps = static_cast<std::size_t>((span_s + 1e-9) / interval_s_);
    for (std::size_t i = 0; i <= steps; ++i) time_s_.push_back(begin_s() + static_cast<double>(i) * interval_s_);
    find_channels();
}

void BakeModel::choose_drive() {
    const LoggedBake& log = task_.bakes[bake_];
    const Trace* air = log.traces.first(TraceRole::booth_air);
    const bool has_air = air != nullptr && air->usable_samples().size() >= 2;
    const Trace* wall = log.traces.find(word_of(bake::BoothSurface::walls));
    const bool has_wall = !has_air && wall != nullptr && wall->usable_samples().size() >= 2;
    is_replay_ = is_replay_ ? has_air || has_wall : !log.cycle && (has_air || has_wall);
    if (!is_replay_ && !log.cycle)
        throw InputError(
            Problem{{}, 0, log.name, "has neither a booth-air or booth-wall channel nor a cycle: nothing can drive the model"});
    if (log.cycle) stages_ = bake::resolve(*log.cycle, task_.booth);
    if (!is_replay_) return;
    air_ = simplified((has_air ? air : wall)->usable_samples(), kAirWithin_k);
    surfaces_ = bake::surface_traces(log.traces, air_);
    solves_air_ = !has_air;
    if (solves_air_) air_.temperature_k.assign(air_.size(), task_.booth.ambient_k);
}

std::vector<thermal::Segment> BakeModel::driven() const {
    const bake::Booth& booth = task_.booth;
    if (is_replay_) return bake::replay_segments(built_, booth, air_, surfaces_, stages_);
    const double after_s = std::max(0.0, task_.bakes[bake_].traces.end_s() - stages_.back().end_s);
    return bake::cycle_segments(built_, booth, *task_.bakes[bake_].cycle, stages_, after_s);
}

bake::BuiltNetwork BakeModel::built_from(const bake::Shell& shell, const bake::Booth& booth) const {
    bake::PredictOptions options;
    start_at_first_readings(options);
    if (solves_air_)
        return bake::build_network(shell, bake::drive_by_surfaces(booth, surfaces_).booth, options, bake::BoothAir::solved,
                                   surfaces_.front()->usable_samples().temperature_k.front(), surfaces_);
    const bake::BoothAir air = is_replay_ ? bake::BoothAir::given : bake::booth_air_of(booth);
    return bake::build_network(shell, booth, options, air, is_replay_ ? air_.temperature_k.front() : stages_.front().begin_k,
                               surfaces_, is_replay_ ? 0.0 : bake::doorway_loss_w_per_k(booth, stages_));
}

/// The shell starts at the mean of its first readings, which differ by probe and noise; where they differ by more than that, each
/// probed zone starts at its own.
void BakeModel::start_at_first_readings(bake::PredictOptions& options) const {
    std::map<std::string, double> first_k;
    for (const Trace& trace : task_.bakes[bake_].traces.traces) {
        const Trace usable = trace.usable_samples();
        if (!is_shell_role(trace.role) || usable.size() < kFirstReadings) continue;
        const auto begin = usable.temperature_k.begin();
        first_k[trace.name] = std::accumulate(begin, begin + kFirstReadings, 0.0) / kFirstReadings;
    }
    if (first_k.empty()) {
        options.start_temperature_k = is_replay_ ? air_.temperature_k.front() : stages_.front().begin_k;
        return;
    }
    double sum_k = 0.0;
    for (const auto& [name, start_k] : first_k) sum_k += start_k;
    options.start_temperature_k = sum_k / static_cast<double>(first_k.size());
    double scatter = 0.0;  // in squared standard deviations of the probes
    for (const auto& [name, start_k] : first_k)
        scatter += std::pow((start_k - options.start_temperature_k) / probe_standard_k(task_.bakes[bake_], name), 2);
    const auto freedom = static_cast<double>(first_k.size() - 1);
    const bool is_even = freedom == 0.0 || scatter <= boost::math::quantile(boost::math::complement(
                                                          boost::math::chi_squared(freedom), kOddScatter));
    for (const auto& [name, start_k] : first_k) {
        if (is_even) continue;
        options.node_start_k[name] = options.node_start_k[name + " mask"] = start_k;
        for (int layer = 1; layer <= kMostLayers; ++layer)
            options.node_start_k[fmt::format("{} layer {}", name, layer)] = start_k;
    }
}

void BakeModel::find_channels() {
    for (const Trace& trace : task_.bakes[bake_].traces.traces) {
        const bool is_air = trace.role == TraceRole::booth_air && !is_replay_;
        const std::optional<bake::BoothSurface> wall = bake::booth_surface_of(trace.name);
        const bool is_wall = trace.role == TraceRole::booth_wall && wall && !is_replay_ && !task_.booth.states_wall_offset();
        if (!is_air && !is_wall && !is_shell_role(trace.role)) continue;
        const auto origin = std::find_if(built_.origins.begin(), built_.origins.end(), [&](const bake::TraceOrigin& one) {
            return is_air ? one.role == TraceRole::booth_air : one.name == trace.name;
        });
        if (origin == built_.origins.end()) continue;
        std::vector<LoggedPoint> points = logged_points(trace);
        std::erase_if(points,
                      [&](const LoggedPoint& point) { return point.time_s < time_s_.front() || point.time_s > time_s_.back(); });
        if (points.size() < kFewestReadings) continue;
        channels_.push_back(trace.name);
        origin_.push_back(static_cast<std::size_t>(origin - built_.origins.begin()));
        is_surface_.push_back(is_wall || origin->role == TraceRole::zone || origin->role == TraceRole::test_panel);
        samples_.push_back(thinned(points, kMostSamples));
    }
}

void BakeModel::leave_out(const std::string& channel) {
    const auto at = std::find(channels_.begin(), channels_.end(), channel);
    if (at == channels_.end()) return;
    const auto index = at - channels_.begin();
    channels_.erase(at);
    origin_.erase(origin_.begin() + index);
    is_surface_.erase(is_surface_.begin() + index);
    samples_.erase(samples_.begin() + index);
}

void BakeModel::leave_out(const TimeSpan& span) {
    for (std::vector<LoggedPoint>& points : samples_)
        std::erase_if(points, [&](const LoggedPoint& point) { return span.holds(point.time_s); });
    for (const std::string& channel : std::vector<std::string>(channels_))
        if (samples_[static_cast<std::size_t>(std::find(channels_.begin(), channels_.end(), channel) - channels_.begin())]
                .size() < kFewestReadings)
            leave_out(channel);
}

void BakeModel::cut_off(const std::string& channel, double from_s) {
    const auto at = std::find(channels_.begin(), channels_.end(), channel);
    if (at == channels_.end()) return;
    std::vector<LoggedPoint>& points = samples_[static_cast<std::size_t>(at - channels_.begin())];
    std::erase_if(points, [&](const LoggedPoint& point) { return point.time_s >= from_s; });
    if (points.size() < kFewestReadings) leave_out(channel);
}

std::vector<ModelTraces> BakeModel::solve(const bake::MemberSpace& space, std::span<const std::vector<double>> members,
                                          std::size_t thread_count) const {
    const auto generate = [&](std::size_t index, thermal::EnsembleMember& member) { space.set(members[index], member); };
    return solve(members.size(), generate, thread_count);
}

std::vector<ModelTraces> BakeModel::solve(std::size_t count, const thermal::MemberGenerator& generate,
                                          std::size_t thread_count) const {
    std::vector<thermal::WatchedPlace> watched;
    for (const std::size_t origin : origin_) watched.push_back({built_.origins[origin].name, built_.origins[origin].at, {}});
    for (const bake::TraceOrigin& origin : built_.origins)
        if (origin.role == TraceRole::booth_air) watched.push_back({origin.name, origin.at, {}});
    thermal::EnsembleOptions options = whole_options(interval_s_);
    options.member_count = count;
    options.thread_count = thread_count;
    const thermal::EnsembleResult result = thermal::solve_ensemble(built_.network, segments_, watched, generate, options);
    const std::size_t moments = result.quantiles.time_s.size();
    ensure(moments == time_s_.size(), "an ensemble reports every moment of its grid");
    std::vector<ModelTraces> traces(count);
    for (std::size_t place = 0; place < watched.size(); ++place) {
        for (std::size_t member = 0; member < count; ++member) {
            std::vector<float> values(moments);
            for (std::size_t t = 0; t < moments; ++t) values[t] = result.trace_k[(place * moments + t) * count + member];
            if (place + 1 == watched.size())
                traces[member].air_k = std::move(values);
            else
                traces[member].channel_k.push_back(std::move(values));
        }
    }
    return traces;
}

TraceSet BakeModel::solve_whole(const bake::MemberSpace& space, const std::vector<double>& normals, double every_s) const {
    std::vector<thermal::WatchedPlace> watched;
    for (const bake::TraceOrigin& origin : built_.origins) watched.push_back({origin.name, origin.at, {}});
    thermal::EnsembleOptions options = whole_options(std::max(every_s, std::ceil((end_s() - begin_s()) / kMostMoments)));
    options.member_count = 1;
    const auto generate = [&](std::size_t, thermal::EnsembleMember& member) { space.set(normals, member); };
    const thermal::EnsembleResult result = thermal::solve_ensemble(built_.network, segments_, watched, generate, options);
    const std::size_t moments = result.quantiles.time_s.size();
    TraceSet traces;
    for (std::size_t place = 0; place < watched.size(); ++place) {
        Trace trace{built_.origins[place].name, built_.origins[place].role, result.quantiles.time_s, {}, {}};
        for (std::size_t t = 0; t < moments; ++t) trace.temperature_k.push_back(result.trace_k[place * moments + t]);
        traces.traces.push_back(std::move(trace));
    }
    return traces;
}

}  // namespace bakewright::tune
