// SPDX-License-Identifier: Apache-2.0
#include "bake_part.hpp"

#include <algorithm>
#include <cmath>

namespace bakewright::tune {
namespace {

constexpr std::size_t kMostReadings = 120;  // of a channel: more only repeat what neighbours say
constexpr double kLeastNoiseK = 0.05;
constexpr double kLeastShareStandard = 0.015;

/// The white part of a channel's errors, by the median of its second differences, which a smooth course hardly moves; those of a
/// normal have sqrt(6) times its standard deviation.
double noise_k(const std::vector<LoggedPoint>& points) {
    std::vector<double> bends;
    for (std::size_t i = 2; i < points.size(); ++i)
        if (points[i].joined && points[i - 1].joined)
            bends.push_back(std::abs(points[i].temperature_k - 2.0 * points[i - 1].temperature_k + points[i - 2].temperature_k));
    if (bends.empty()) return kLeastNoiseK;
    const auto middle = bends.begin() + static_cast<std::ptrdiff_t>(bends.size() / 2);
    std::nth_element(bends.begin(), middle, bends.end());
    return std::max(kLeastNoiseK, *middle / (0.6745 * std::sqrt(6.0)));
}

EstimatedProbe probe_of(const LoggedBake& log, const std::string& channel, bool is_surface) {
    EstimatedProbe made;
    made.offset_standard_k = probe_standard_k(log, channel);
    made.has_share = is_surface;
    if (!is_surface) return made;
    const probe::ProbeRecord* record = log.probes ? log.probes->find(channel) : nullptr;
    // The record's share is the most that the probe reads; half of it is as good a guess as any.
    const double most = record != nullptr ? record->air_share : probe::usual_air_share(probe::Attachment::taped);
    made.share = most / 2.0;
    made.share_standard = std::max(most / 2.0, kLeastShareStandard);
    return made;
}

}  // namespace

double EstimatedProbe::lag_s(double normal) const noexcept { return std::max(0.0, kTapedLagS + kTapedLagStandardS * normal); }

double EstimatedProbe::air_share(double normal) const noexcept { return std::max(0.0, share + share_standard * normal); }

std::vector<double> EstimatedProbe::reads(std::span<const float> zone_k, std::span<const float> air_k, double interval_s,
                                          const Vector& point, std::size_t which_moved, double number_step) const {
    const auto value = [&](std::size_t which) {
        return point[static_cast<Eigen::Index>(at + which)] + (which_moved == which ? number_step : 0.0);
    };
    ProbeResponse response;
    response.lag_s = lag_s(value(1));
    if (has_share) response.air_share = air_share(value(2));
    std::vector<double> read_k = responded(zone_k, air_k, interval_s, response);
    for (double& kelvin : read_k) kelvin += offset_standard_k * value(0);
    return read_k;
}

std::size_t BakePart::add_probes(const LoggedBake& log, std::size_t next) {
    probes.clear();
    for (std::size_t c = 0; c < model.channels().size(); ++c) {
        probes.push_back(probe_of(log, model.channels()[c], model.is_surface(c)));
        probes.back().at = next;
        probes.back().noise_k = noise_k(model.samples(c));
        next += probes.back().count();
    }
    return next;
}

std::vector<double> BakePart::normals(const Vector& point) const {
    std::vector<double> normals;
    for (const std::size_t place : at) normals.push_back(point[static_cast<Eigen::Index>(place)]);
    return normals;
}

Vector BakePart::at_readings(const std::vector<double>& time_s, const std::vector<double>& on_grid_k) const {
    Vector values(static_cast<Eigen::Index>(time_s.size()));
    for (std::size_t i = 0; i < time_s.size(); ++i)
        values[static_cast<Eigen::Index>(i)] = on_grid(on_grid_k, model.begin_s(), model.interval_s(), time_s[i]);
    return values;
}

/// A channel's readings without the model, as far as they do not change from step to step.
ChannelBlock BakePart::readings(std::size_t channel) const {
    ChannelBlock made;
    made.bake = bake_;
    made.channel = channel;
    for (const LoggedPoint& point : thinned(model.samples(channel), kMostReadings)) {
        made.time_s.push_back(point.time_s);
        made.reading_k.push_back(point.temperature_k);
    }
    made.root.compute(reading_covariance(made.time_s, probes[channel].noise_k));
    return made;
}

Vector BakePart::whitened_residual(std::size_t channel, const ModelTraces& solved, const Vector& point) const {
    const ChannelBlock made = readings(channel);
    const Eigen::Map<const Vector> read(made.reading_k.data(), static_cast<Eigen::Index>(made.reading_k.size()));
    return made.whitened(read - at_readings(made.time_s, read_by(channel, solved, point, kNoneMoved)));
}

ChannelBlock BakePart::block(std::size_t channel, const Vector& point) const {
    ChannelBlock made = readings(channel);
    const ModelTraces& here = traces.front();
    const Vector modelled = at_readings(made.time_s, read_by(channel, here, point, kNoneMoved));
    const Eigen::Map<const Vector> read(made.reading_k.data(), modelled.size());
    std::vector<double> difference_k;
    for (std::size_t t = 0; t < here.air_k.size(); ++t)
        difference_k.push_back(static_cast<double>(here.air_k[t]) - static_cast<double>(here.channel_k[channel][t]));
    made.air_less_zone_k = at_readings(made.time_s, difference_k);
    Matrix slope_k = Matrix::Zero(modelled.size(), point.size());
    for (std::size_t m = 0; m < moved.size(); ++m)
        slope_k.col(static_cast<Eigen::Index>(at[moved[m]])) +=
            (at_readings(made.time_s, read_by(channel, traces[m + 1], point, kNoneMoved)) - modelled) / number_step_;
    for (std::size_t p = 0; p < probes[channel].count(); ++p)
        slope_k.col(static_cast<Eigen::Index>(probes[channel].at + p)) =
            (at_readings(made.time_s, read_by(channel, here, point, p)) - modelled) / number_step_;
    made.residual = made.whitened(read - modelled);
    made.slope = made.root.matrixL().solve(slope_k);
    return made;
}

}  // namespace bakewright::tune
