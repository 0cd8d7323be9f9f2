// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/tune/forecast.hpp"

/// A forecast that moves with each second, between one full estimate and the next.
namespace bakewright::tune {

/// So long after the last reading of a forecast its linear form goes on [s].
inline constexpr double kLinearForS = 150.0;

/// The linear form of a forecast: its members' courses T_m(t) moved by what was read since, at no solve.
///
///     T_m(t) + D(t) - d_m R(t) + dT/du(t) (u'_h - u_h),   h the size of the model's errors that m was drawn with
///
/// D is the response to what the logged air did beside the likeliest air ahead, by superposition of its steps; from now on what
/// it is off by fades as in Forecast. d_m R takes out what the member's own air had drifted until now: that is logged by now.
/// u_h is the posterior mean of the unknowns, u'_h that after the readings since, both exact for the model linearised where the
/// estimate ended: errors of readings that stay alike for ten minutes are alike to those that it heard already. Bands are those
/// of the last estimate; a minute of readings narrows them by less than a hundredth. Readings count as means over ten seconds,
/// each once its ten seconds are over; those of a channel that reads kDoubtedFrom standard deviations off what all say of it are
/// left out until the next full estimate, which looks for faults.
class LinearForecast {
public:
    /// Takes what it needs: the forecast need not outlive it. Takes n + 2 solves for n numbers that are not known.
    /// @param on  traces({}) of the forecast @param forecast  whose estimate was asked to keep its linear form
    /// @throws SolveError
    LinearForecast(const Forecast& forecast, ForecastTraces on);
    LinearForecast(std::shared_ptr<const LinearBasis> basis, ForecastTraces on);
    LinearForecast(LinearForecast&&) noexcept;
    LinearForecast& operator=(LinearForecast&&) noexcept;
    ~LinearForecast();

    /// Of the last reading that the forecast heard [s].
    [[nodiscard]] double from_s() const noexcept;
    /// Moves to what was read since.
    /// @param recent  channels and the booth's air by the names of the log, with all readings later than from_s(); earlier ones
    ///                and flagged ones are passed over
    /// @param now_s   not before from_s(), at most kLinearForS later
    void move_to(const TraceSet& recent, double now_s);
    /// The members' courses as moved, with the heat on: the same moments, places and members as before.
    [[nodiscard]] const ForecastTraces& traces() const noexcept;
    /// Channels whose newest readings are left out.
    [[nodiscard]] const std::vector<std::string>& doubted() const noexcept;

private:
    struct State;
    std::unique_ptr<State> state_;
};

/// Four in 100,000 readings of a sound channel are so far off.
inline constexpr double kDoubtedFrom = 4.0;

}  // namespace bakewright::tune
