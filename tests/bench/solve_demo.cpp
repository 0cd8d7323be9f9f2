#include "solve_demo.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/thermal/solve.hpp"
#include "measure.hpp"

namespace bakewright::bench {
namespace {

constexpr double kIntervalS = 10.0;
constexpr double kWantedErrorK = 0.01;

struct Demo {
    bake::BuiltNetwork built;
    std::vector<thermal::Segment> segments;
};

Demo demo() {
    const profile::Library library({BAKEWRIGHT_PROFILES});
    const bake::Shell shell = profile::load_shell("library_van", library).record.shell;
    const bake::Booth booth = profile::load_booth("stirred_insulated", library).record;
    const bake::Cycle cycle = profile::load_cycle("clear_60", library).record;
    const bake::PredictOptions options;
    bake::BuiltNetwork built = bake::build_network(shell, booth, options, bake::booth_air_of(booth), booth.ambient_k);
    std::vector<thermal::Segment> segments = bake::cycle_segments(built, booth, cycle, bake::resolve(cycle, booth), 0.0);
    return {std::move(built), std::move(segments)};
}

bool is_output(double time_s) { return std::abs(std::remainder(time_s, kIntervalS)) < 1e-6; }

Rows solve_ours(const Demo& demo, const thermal::SolveOptions& options) {
    Rows rows;
    thermal::solve(demo.built.network, demo.segments, options,
                   [&](double time_s, std::span<const double> node_k, std::span<const double>) {
                       if (is_output(time_s)) rows.insert(rows.end(), node_k.begin(), node_k.end());
                   });
    return rows;
}

double largest_difference_k(const Rows& one, const Rows& two) {
    if (one.size() != two.size()) throw std::runtime_error("two solves reported different moments");
    double largest_k = 0.0;
    for (std::size_t i = 0; i < one.size(); ++i) largest_k = std::max(largest_k, std::abs(one[i] - two[i]));
    return largest_k;
}

}  // namespace

Record solve_demo() {
    const Demo van = demo();
    const auto peer = [&](double relative_tolerance) {
        return solve_with_sparse_cvode(van.built.network, van.segments, kIntervalS, relative_tolerance,
                                       30.0 * relative_tolerance);
    };
    const Rows reference = peer(1e-10);
    const thermal::SolveOptions options{.output_interval_s = kIntervalS};
    const double error_k = largest_difference_k(solve_ours(van, options), reference);

    // The loosest tolerance with which the peer reaches the error wanted.
    double relative_tolerance = 1e-4;
    double peer_error_k = 0.0;
    for (;; relative_tolerance /= std::sqrt(10.0)) {
        peer_error_k = largest_difference_k(peer(relative_tolerance), reference);
        if (peer_error_k <= kWantedErrorK) break;
        if (relative_tolerance < 1e-9) throw std::runtime_error("the peer does not reach the error wanted");
    }
    const std::vector<double> median_s = interleaved_medians_s(
        {[&] { static_cast<void>(solve_ours(van, options)); }, [&] { static_cast<void>(peer(relative_tolerance)); }}, 31);
    return {"solve.demo",
            median_s[0] * 1e3,
            "ms",
            "CVODE BDF, KLU",
            median_s[1] * 1e3,
            fmt::format("{} nodes; largest error {:.2g} K, peer {:.2g} K at relative {:.1g}", van.built.network.node_count(),
                        error_k, peer_error_k, relative_tolerance)};
}

}  // namespace bakewright::bench
