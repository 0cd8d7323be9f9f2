// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "bakewright/bake/cycle.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/tune/estimate.hpp"
#include "bakewright/tune/phases.hpp"

/// A bake that is not over: every zone from the probes so far, and how it goes on.
namespace bakewright::tune {

struct ForecastOptions {
    EstimateOptions estimate{};
    std::optional<bake::Cycle> cycle{};  ///< that is set; absent: the one of the log
    std::optional<double> heat_on_s{};   ///< when the heat came on, as judging finds it in the air so far; absent: not yet
    std::optional<double> setpoint_k{};  ///< set now, in place of what the cycle still has
    double ahead_s = 3.0 * 3600.0;       ///< so far it is looked ahead with the heat on; 60 s to 12 h
};

/// Courses of simulated bakes that agree with the readings so far, from the log's first moment to one that is to come.
/// Shapes: kelvin holds a course of time_s.size() for each member, place by place.
struct ForecastTraces {
    std::vector<std::string> names;  ///< of the places: zones, cavities, items, surfaces, the booth's air
    std::vector<TraceRole> roles;
    std::vector<double> time_s;  ///< every 30 s
    std::size_t member_count = 0;
    std::vector<float> kelvin;

    [[nodiscard]] std::span<const float> of(std::size_t place, std::size_t member) const {
        return std::span(kelvin).subspan((member * names.size() + place) * time_s.size(), time_s.size());
    }
};

/// Opaque.
struct LinearBasis;

/// The estimate of a log that is not over (the same as estimate() gives of it), and how its members go on from the last reading.
///
/// What the air will do is not known either. Per member m, with r the set point's rise over the ambient as a share of the rise at
/// which the booth states its offsets:
///
///     air(t) = set_m(t) + r b_m + e_m(t),   de = AR(1) of 0.4 K, 5 min, from what the air was off by at the last reading
///     b_m ~ N(g x_m / r, (1 - g) 1 K^2),    x_m = mean over 10 min of the hold of (logged - set) + offset_m,  g = 1 / (1 + (0.4
///     K / r)^2)
///
/// where offset_m is what the member has the logged air off by: the level of the air and its probe's error are two unknowns.
/// set_m(t) is what the cycle still has: a ramp that is under way goes on at the rate of its last five minutes, one to come at
/// the cycle's, each within 10 % (1 sd); heat that is to come on comes up to minutes late; the last hold lasts until the heat
/// goes off; cooling is as the cycle's, or towards the ambient with 15 min, and as that of its last five minutes where it is
/// under way, within 25 %. All of these are common practice, no source. Members are solved in the air that is likeliest; what
/// their own air is off by acts through the places' response to a rise of the air by a kelvin for five minutes, found by two
/// solves (superposition; the model is close to linear in its air).
class Forecast {
public:
    /// @throws InputError where records have problems, there is not one bake, its booth air was not logged, or what is set is not
    /// known: no cycle, and not a hold yet
    Forecast(const TuneTask& task, const ForecastOptions& options);
    Forecast(Forecast&&) noexcept;
    Forecast& operator=(Forecast&&) noexcept;
    ~Forecast();

    [[nodiscard]] const Estimate& estimate() const noexcept;
    [[nodiscard]] double now_s() const noexcept;  ///< of the last reading of the booth's air
    [[nodiscard]] const std::vector<PhaseSpan>& phases() const noexcept;
    /// What the air goes to, or is held at; absent while it cools [K].
    [[nodiscard]] std::optional<double> setpoint_k() const noexcept;
    /// When the cycle as set ends its last hold, by the phases so far; nothing without a cycle, or while it cools [s].
    [[nodiscard]] std::optional<double> cycle_off_s() const noexcept;
    /// How the bake goes on with the heat on until a moment. @param heat_off_s  not before now_s(); absent: it stays on
    /// @throws SolveError
    [[nodiscard]] ForecastTraces traces(std::optional<double> heat_off_s) const;
    /// What a LinearForecast is made from. @param on  traces({}) @throws SolveError
    [[nodiscard]] std::shared_ptr<const LinearBasis> linear_basis(const ForecastTraces& on) const;

private:
    struct State;
    std::unique_ptr<State> state_;
};

/// How long after the heat went off members are followed [s].
inline constexpr double kForecastCoolingS = 3600.0;

}  // namespace bakewright::tune
