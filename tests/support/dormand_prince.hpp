// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <boost/numeric/odeint/integrate/integrate_times.hpp>
#include <boost/numeric/odeint/stepper/dense_output_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/generation/generation_dense_output_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/generation/generation_runge_kutta_dopri5.hpp>
#include <boost/numeric/odeint/stepper/generation/make_dense_output.hpp>
#include <boost/numeric/odeint/stepper/runge_kutta_dopri5.hpp>
#include <span>
#include <vector>

#include "rate_system.hpp"

namespace bakewright::support {

/// Every node of a network without switches at the start, at each multiple of the interval and at each segment's end: Odeint's
/// own explicit stepper of order 5 over the product's rates, with tight steps. Limits of controllers are kinks to it.
inline std::vector<std::vector<double>> solve_with_dormand_prince(const thermal::Network& network,
                                                                  std::span<const thermal::Segment> segments, double interval_s,
                                                                  double tolerance_k) {
    namespace odeint = boost::numeric::odeint;
    using State = std::vector<double>;
    thermal::RateSystem<double> system(network, thermal::Accounts::leave_out);
    State y(system.size());
    system.start(y);
    std::vector<State> found{State(y.begin(), y.begin() + static_cast<std::ptrdiff_t>(system.node_count()))};
    const auto rates = [&](const State& at, State& rate, double time_s) { system.rates(time_s, at, rate); };
    for (const thermal::Segment& segment : segments) {
        system.set_segment(segment);
        std::vector<double> times_s{segment.begin_s};
        for (double time_s = segment.begin_s + interval_s; time_s < segment.end_s - 1e-9; time_s += interval_s)
            times_s.push_back(time_s);
        times_s.push_back(segment.end_s);
        const auto keep = [&](const State& at, double time_s) {
            if (time_s > segment.begin_s)
                found.emplace_back(at.begin(), at.begin() + static_cast<std::ptrdiff_t>(system.node_count()));
        };
        odeint::integrate_times(odeint::make_dense_output(tolerance_k, 1e-12, odeint::runge_kutta_dopri5<State>()), rates, y,
                                times_s.begin(), times_s.end(), 1e-3, keep);
    }
    return found;
}

}  // namespace bakewright::support
