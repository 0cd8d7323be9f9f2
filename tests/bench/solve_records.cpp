// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "bakewright/thermal/solve.hpp"
#include "measure.hpp"
#include "networks.hpp"
#include "sparse_cvode.hpp"

namespace bakewright::bench {
namespace {

/// Node temperatures [K] at every output moment, one row after the other. Kept from run to run: memory that is asked for anew
/// costs more than a solve.
using Rows = std::vector<double>;

constexpr double kIntervalS = 10.0;
constexpr double kWantedErrorK = 0.01;

bool is_output(double time_s) { return std::abs(std::remainder(time_s, kIntervalS)) < 1e-6; }

void solve_ours(const Bake& bake, const thermal::SolveOptions& options, Rows& rows) {
    rows.clear();
    thermal::solve(bake.built.network, bake.segments, options,
                   [&](double time_s, std::span<const double> node_k, std::span<const double>) {
                       if (is_output(time_s)) rows.insert(rows.end(), node_k.begin(), node_k.end());
                   });
}

void solve_peer(const Bake& bake, Correlations correlations, double relative_tolerance, Rows& rows) {
    rows.clear();
    SparseCvode peer(bake.built.network, bake.segments, kIntervalS, correlations, relative_tolerance, 30.0 * relative_tolerance);
    peer.solve(thermal::Member<double>(bake.built.network), [&](double time_s, std::span<const double> node_k) {
        if (is_output(time_s)) rows.insert(rows.end(), node_k.begin(), node_k.end());
    });
}

double largest_difference_k(const Rows& one, const Rows& two) {
    if (one.size() != two.size()) throw std::runtime_error("two solves reported different moments");
    double largest_k = 0.0;
    for (std::size_t i = 0; i < one.size(); ++i) largest_k = std::max(largest_k, std::abs(one[i] - two[i]));
    return largest_k;
}

/// The loosest of a row of tolerances, each a root of ten tighter, at which a solve reaches the error wanted.
struct Reached {
    double tolerance = 0.0;
    double error_k = 0.0;
};
template <class Solve>
Reached loosest_tolerance(const Solve& solve, double loosest, const Rows& reference) {
    for (double tolerance = loosest; tolerance > loosest * 1e-6; tolerance /= std::sqrt(10.0)) {
        Rows rows;
        solve(tolerance, rows);
        const double error_k = largest_difference_k(rows, reference);
        if (error_k <= kWantedErrorK) return {tolerance, error_k};
    }
    throw std::runtime_error("no tolerance reaches the error wanted");
}

thermal::SolveOptions with_tolerance(double absolute_tolerance_k) {
    return {.relative_tolerance = 1e-12,
            .absolute_tolerance_k = absolute_tolerance_k,
            .output_interval_s = kIntervalS,
            .with_accounts = false};
}

/// Both sides at the loosest tolerance that reaches the error wanted; the peer once more with the correlations untabulated.
Record solve_record(const char* name, const Bake& bake, int rounds) {
    Rows reference, rows;
    solve_peer(bake, Correlations::tabulated, 1e-10, reference);
    const auto ours = [&](double tolerance, Rows& into) { solve_ours(bake, with_tolerance(tolerance), into); };
    const auto peer = [&](double tolerance, Rows& into) { solve_peer(bake, Correlations::tabulated, tolerance, into); };
    const auto at_the_defaults = [&] { solve_ours(bake, {.output_interval_s = kIntervalS}, rows); };
    const Reached ours_reached = loosest_tolerance(ours, 0.3, reference);
    const Reached peer_reached = loosest_tolerance(peer, 1e-3, reference);
    const std::vector<double> median_s = interleaved_medians_s(
        {[&] { ours(ours_reached.tolerance, rows); }, [&] { peer(peer_reached.tolerance, rows); },
         [&] { solve_peer(bake, Correlations::themselves, peer_reached.tolerance, rows); }, at_the_defaults},
        rounds);
    at_the_defaults();
    const double default_error_k = largest_difference_k(rows, reference);
    return {
        name,
        median_s[0] * 1e3,
        "ms",
        "CVODE BDF, KLU",
        median_s[1] * 1e3,
        fmt::format("{} nodes; error {:.2g} K, peer {:.2g} K at relative {:.1g}; peer untabulated {:.2f} ms, ratio {:.2f}; ours "
                    "at the defaults with accounts {:.2f} ms, {:.2g} K",
                    bake.built.network.node_count(), ours_reached.error_k, peer_reached.error_k, peer_reached.tolerance,
                    median_s[2] * 1e3, median_s[2] / median_s[0], median_s[3] * 1e3, default_error_k)};
}

}  // namespace

Record solve_demo() { return solve_record("solve.demo", demo_bake(), 31); }
Record solve_60_zones() { return solve_record("solve.60-zones", generated_bake(60), 15); }
Record solve_240_zones() { return solve_record("solve.240-zones", generated_bake(240), 7); }

}  // namespace bakewright::bench
