// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <functional>
#include <span>
#include <string>
#include <vector>

/// What a solve is asked and what it tells.
namespace bakewright::thermal {

/// How a network is solved. check() refuses values out of range.
struct SolveOptions {
    /// A step is accepted where every state's error estimate is at most absolute + relative times the state. At the defaults
    /// whole bakes came out within 0.003 K; see docs/solvers.md.
    double relative_tolerance = 1e-6;          ///< 1e-12 to 1e-2
    double absolute_tolerance_k = 5e-3;        ///< 1e-9 to 1
    double output_interval_s = 10.0;           ///< > 0: states are reported at multiples of it, and at every segment's end
    bool with_accounts = true;                 ///< false: no heat accounts, the observer's account_j is empty; a shorter solve
    std::size_t largest_step_count = 200'000;  ///< > 0; of the whole run, after which it stops: some seconds
    /// @throws PromiseError
    void check() const;
};

/// A heater that switched by itself.
struct HeaterSwitch {
    double time_s = 0.0;
    std::size_t heater = 0;  ///< in Network::heaters()
    enum class Kind { on, off, tripped } kind = Kind::on;
};

/// What a solve did.
struct SolveStatistics {
    std::string stepper;
    std::size_t accepted_steps = 0;
    std::size_t rejected_steps = 0;
    std::size_t rate_evaluations = 0;
    std::vector<HeaterSwitch> switches{};  ///< in order of time
};

/// Told each reported state. Shapes: node_k holds node_count() temperatures [K], account_j one heat [J] an account.
using StateObserver = std::function<void(double time_s, std::span<const double> node_k, std::span<const double> account_j)>;

}  // namespace bakewright::thermal
