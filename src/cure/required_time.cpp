// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/required_time.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/readings.hpp"

namespace bakewright::cure {
namespace {

/// Far under any bake; nearer to 0 K the Arrhenius law would overflow.
constexpr double kColdestFloorK = 100.0;
constexpr double kInfinity = std::numeric_limits<double>::infinity();

/// The piece through a point with a slope.
RequiredTime::Piece piece_through(const SchedulePoint& point, double slope_k, double from_k, double until_k) {
    return {from_k, until_k, slope_k / point.temperature_k - std::log(point.time_s), slope_k};
}

double slope_between_k(const SchedulePoint& cold, const SchedulePoint& hot) {
    return std::log(cold.time_s / hot.time_s) / (1.0 / cold.temperature_k - 1.0 / hot.temperature_k);
}

bool rises_and_falls(std::span<const SchedulePoint> points) {
    for (std::size_t i = 0; i + 1 < points.size(); ++i)
        if (!(points[i].temperature_k < points[i + 1].temperature_k && points[i].time_s > points[i + 1].time_s)) return false;
    return true;
}

bool positive(const SchedulePoint& point) { return point.temperature_k > 0.0 && point.time_s > 0.0; }

/// Leaves out what lies under the floor.
std::vector<RequiredTime::Piece> above_floor(std::vector<RequiredTime::Piece> pieces, double floor_k) {
    std::erase_if(pieces, [&](const RequiredTime::Piece& piece) { return piece.until_k <= floor_k; });
    pieces.front().from_k = std::max(pieces.front().from_k, floor_k);
    return pieces;
}

}  // namespace

RequiredTime::RequiredTime(std::vector<SchedulePoint> points, double activation_energy_j_per_mol, double floor_k,
                           BeyondLastPoint beyond)
    : floor_k_(floor_k) {
    ensure(!points.empty() && std::all_of(points.begin(), points.end(), positive), "a schedule has points, above 0 K and 0 s");
    ensure(rises_and_falls(points), "a schedule rises in temperature and falls in time");
    ensure(floor_k >= kColdestFloorK, "a floor is 100 K or more");
    ensure(activation_energy_j_per_mol > 0.0, "an activation energy is above 0");
    last_point_k_ = points.back().temperature_k;
    sheet_from_k_ = std::max(points.front().temperature_k, floor_k);
    sheet_until_k_ = beyond == BeyondLastPoint::go_on ? last_point_k_ : kInfinity;
    const double outer_slope_k = activation_energy_j_per_mol / kGasConstant;
    pieces_.push_back(piece_through(points.front(), outer_slope_k, 0.0, points.front().temperature_k));
    for (std::size_t i = 0; i + 1 < points.size(); ++i)
        pieces_.push_back(piece_through(points[i], slope_between_k(points[i], points[i + 1]), points[i].temperature_k,
                                        points[i + 1].temperature_k));
    const double last_slope_k = beyond == BeyondLastPoint::go_on ? outer_slope_k : 0.0;
    pieces_.push_back(piece_through(points.back(), last_slope_k, last_point_k_, kInfinity));
    if (beyond == BeyondLastPoint::nothing) {
        // At the last point itself, roundings apart, its own rate still holds.
        pieces_.back().log_rate = -kInfinity;
        pieces_.back().from_k = last_point_k_ + kTemperatureRoundingK;
        pieces_[pieces_.size() - 2].until_k = pieces_.back().from_k;
    }
    pieces_ = above_floor(std::move(pieces_), floor_k);
}

double RequiredTime::rate_per_s(double temperature_k) const noexcept {
    if (!(temperature_k >= floor_k_)) return 0.0;
    for (const Piece& piece : pieces_)
        if (temperature_k < piece.until_k) return std::exp(piece.log_rate - piece.slope_k / temperature_k);
    return 0.0;
}

double RequiredTime::required_s(double temperature_k) const noexcept {
    const double rate = rate_per_s(temperature_k);
    return rate > 0.0 ? 1.0 / rate : kInfinity;
}

double fit_activation_energy_j_per_mol(std::span<const SchedulePoint> points) {
    ensure(points.size() >= 2, "a slope needs two points");
    double mean_x = 0.0;
    double mean_y = 0.0;
    for (const SchedulePoint& point : points) {
        mean_x += 1.0 / point.temperature_k / static_cast<double>(points.size());
        mean_y += std::log(point.time_s) / static_cast<double>(points.size());
    }
    double xy = 0.0;
    double xx = 0.0;
    for (const SchedulePoint& point : points) {
        const double x = 1.0 / point.temperature_k - mean_x;
        xy += x * (std::log(point.time_s) - mean_y);
        xx += x * x;
    }
    ensure(xx > 0.0, "a slope needs points of different temperatures");
    return xy / xx * kGasConstant;
}

ChosenActivationEnergy choose_activation_energy(const Coating& coating) {
    if (coating.activation_energy) return {*coating.activation_energy, "given"};
    const ActivationEnergy usual;
    if (coating.schedule.size() < 2) return {usual, "default band"};
    const double fitted = fit_activation_energy_j_per_mol(minimum_points(coating));
    const ActivationEnergy band{std::min(fitted, usual.low_j_per_mol), fitted, std::max(fitted, usual.high_j_per_mol)};
    return {band, fmt::format("from the sheet's {} schedules", coating.schedule.size())};
}

std::vector<SchedulePoint> minimum_points(const Coating& coating) {
    std::vector<SchedulePoint> points;
    for (const ScheduleRow& row : coating.schedule) points.push_back({row.temperature_k, row.minimum_s});
    return points;
}

std::vector<SchedulePoint> maximum_points(const Coating& coating) {
    std::vector<SchedulePoint> points;
    for (const ScheduleRow& row : coating.schedule)
        if (row.maximum_s) points.push_back({row.temperature_k, *row.maximum_s});
    return points;
}

const ScheduleRow& reference_row(const Coating& coating) {
    ensure(!coating.schedule.empty(), "a coating has a schedule");
    for (const ScheduleRow& row : coating.schedule)
        if (row.temperature_k >= coating.floor_k) return row;
    return coating.schedule.back();
}

}  // namespace bakewright::cure
