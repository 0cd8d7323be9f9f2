// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <stdexcept>
#include <thread>

#include "bakewright/thermal/ensemble.hpp"
#include "measure.hpp"
#include "networks.hpp"
#include "sparse_cvode.hpp"

namespace bakewright::bench {
namespace {

constexpr double kIntervalS = 10.0;
constexpr double kWantedErrorK = 0.01;
constexpr std::size_t kMembers = 10'000;
constexpr std::size_t kPeerMembers = 400;
constexpr std::size_t kCheckedMembers = 16;
constexpr double kThresholdK = 333.15;

/// The demo van, and what is watched.
struct Demo {
    bake::BuiltNetwork built;
    std::vector<thermal::Segment> segments;
    std::vector<thermal::WatchedPlace> watched;

    [[nodiscard]] const thermal::Network& network() const { return built.network; }
};

/// Rate of a cure with 80 kJ/mol that takes 30 min at 60 C; invented.
std::shared_ptr<const thermal::TabulatedFunction> dose_rate() {
    thermal::TabulatedFunction rate{253.15, 0.25, {}};
    for (int i = 0; i <= 800; ++i) {
        const double temperature_k = rate.lowest_k + rate.step_k * i;
        rate.value.push_back(std::exp(80e3 / 8.314462618 * (1.0 / 333.15 - 1.0 / temperature_k)) / 1800.0);
    }
    return std::make_shared<const thermal::TabulatedFunction>(std::move(rate));
}

Demo demo() {
    Bake bake = demo_bake();
    using Kind = thermal::Reading::Kind;
    const std::vector<thermal::Reading> readings{
        {Kind::highest_temperature}, {Kind::total_time_at_or_above, kThresholdK}, {Kind::integral, 0.0, dose_rate()}};
    Demo made{std::move(bake.built), std::move(bake.segments), {}};
    for (const bake::TraceOrigin& origin : made.built.origins) {
        if (origin.role != TraceRole::zone) continue;
        thermal::Following at = origin.at;
        at.factor = thermal::kNoFactor;  // the peer reads the plain place
        made.watched.push_back({origin.name, at, readings});
    }
    return made;
}

/// Films within about 20 %, everything else (thickness, so heat capacity and conductance; links, leakage, emissivity) within
/// about 5 %: one standard deviation.
void perturb(const Demo& van, std::size_t index, thermal::Member<double>& member) {
    std::vector<double> z(van.built.factors.size());
    thermal::draw_normals(2024, index, z);
    for (std::size_t f = 0; f < z.size(); ++f) {
        const bake::NetworkFactor& factor = van.built.factors[f];
        member.factor[factor.index] = std::exp((factor.kind == bake::FactorKind::film ? 0.2 : 0.05) * z[f]);
    }
}

/// Peak, time above and dose of each zone from a member's moments: what the ensemble streams, for the peer.
class PlainReadings {
public:
    explicit PlainReadings(const Demo& van)
        : van_(van), rate_(*van.watched.front().readings[2].function), row_(3 * van.watched.size()), last_(van.watched.size()) {}

    void add(double time_s, std::span<const double> node_k) {
        for (std::size_t w = 0; w < last_.size(); ++w) {
            const thermal::Following& at = van_.watched[w].at;
            const double now_k = at.gain * node_k[at.place.index] + at.offset_k;
            const double rate = rate_.at(now_k);
            if (count_ > 0) add_interval(w, now_k, rate, time_s - last_s_);
            row_[3 * w] = std::max(row_[3 * w], now_k);
            last_[w] = {now_k, rate};
        }
        last_s_ = time_s;
        ++count_;
    }
    [[nodiscard]] const std::vector<double>& row() const { return row_; }

private:
    struct Last {
        double temperature_k, rate;
    };
    void add_interval(std::size_t w, double now_k, double rate, double span_s) {
        const double low_k = std::min(now_k, last_[w].temperature_k);
        const double high_k = std::max(now_k, last_[w].temperature_k);
        if (low_k >= kThresholdK)
            row_[3 * w + 1] += span_s;
        else if (high_k > kThresholdK)
            row_[3 * w + 1] += span_s * (high_k - kThresholdK) / (high_k - low_k);
        row_[3 * w + 2] += 0.5 * span_s * (rate + last_[w].rate);
    }

    const Demo& van_;
    const thermal::TabulatedFunction& rate_;
    std::vector<double> row_;
    std::vector<Last> last_;
    double last_s_ = 0.0;
    std::size_t count_ = 0;
};

/// The watched places' temperatures of one member on the grid, and its row.
struct Trace {
    std::vector<double> temperature_k;  ///< by moment, then place
    std::vector<double> row;
};

Trace peer_trace(const Demo& van, SparseCvode& loop, std::size_t index) {
    thermal::Member<double> member(van.network());
    perturb(van, index, member);
    Trace trace;
    PlainReadings readings(van);
    loop.solve(member, [&](double time_s, std::span<const double> node_k) {
        readings.add(time_s, node_k);
        if (std::abs(std::remainder(time_s, kIntervalS)) > 1e-6) return;
        for (const thermal::WatchedPlace& place : van.watched)
            trace.temperature_k.push_back(place.at.gain * node_k[place.at.place.index] + place.at.offset_k);
    });
    trace.row = readings.row();
    return trace;
}

thermal::EnsembleResult ensemble(const Demo& van, std::size_t first, const thermal::EnsembleOptions& options) {
    return thermal::solve_ensemble(
        van.network(), van.segments, van.watched,
        [&](std::size_t index, thermal::EnsembleMember& member) { perturb(van, first + index, member.numbers); }, options);
}

/// An ensemble of one member shows its trace as a quantile.
Trace our_trace(const Demo& van, std::size_t index, double aim_k) {
    thermal::EnsembleOptions options;
    options.largest_error_k = aim_k;
    options.member_count = 1;
    options.quantile_levels = {0.5};
    options.quantile_interval_s = kIntervalS;
    const thermal::EnsembleResult one = ensemble(van, index, options);
    Trace trace;
    for (std::size_t t = 0; t < one.quantiles.time_s.size(); ++t)
        for (std::size_t w = 0; w < van.watched.size(); ++w) trace.temperature_k.push_back(one.quantiles.of(w, 0)[t]);
    trace.row.assign(one.row(0).begin(), one.row(0).end());
    return trace;
}

double largest_difference(const std::vector<double>& one, const std::vector<double>& two) {
    if (one.size() != two.size()) throw std::runtime_error("two solves reported different moments");
    double largest = 0.0;
    for (std::size_t i = 0; i < one.size(); ++i) largest = std::max(largest, std::abs(one[i] - two[i]));
    return largest;
}

template <class TraceOf>
double largest_error_k(const std::vector<Trace>& reference, TraceOf&& trace_of) {
    double largest_k = 0.0;
    for (std::size_t m = 0; m < reference.size(); ++m)
        largest_k = std::max(largest_k, largest_difference(trace_of(m).temperature_k, reference[m].temperature_k));
    return largest_k;
}

/// Members one by one on so many threads.
void run_peer(const Demo& van, double relative_tolerance, std::size_t thread_count) {
    std::vector<std::jthread> threads;
    for (std::size_t t = 0; t < thread_count; ++t)
        threads.emplace_back([&, t] {
            SparseCvode loop(van.network(), van.segments, kIntervalS, Correlations::tabulated, relative_tolerance,
                             30.0 * relative_tolerance);
            thermal::Member<double> member(van.network());
            for (std::size_t m = t; m < kPeerMembers; m += thread_count) {
                perturb(van, m, member);
                PlainReadings readings(van);
                loop.solve(member, [&](double time_s, std::span<const double> node_k) { readings.add(time_s, node_k); });
            }
        });
}

}  // namespace

Record ensemble_demo() {
    const Demo van = demo();
    const auto peer = [&](double relative_tolerance, std::size_t index) {
        SparseCvode loop(van.network(), van.segments, kIntervalS, Correlations::tabulated, relative_tolerance,
                         30.0 * relative_tolerance);
        return peer_trace(van, loop, index);
    };
    std::vector<Trace> reference;
    for (std::size_t m = 0; m < kCheckedMembers; ++m) reference.push_back(peer(1e-10, m));
    // The loosest tolerance with which each reaches the error wanted.
    double aim_k = 0.1;
    double error_k = 0.0;
    for (;; aim_k /= std::sqrt(2.0)) {
        error_k = largest_error_k(reference, [&](std::size_t m) { return our_trace(van, m, aim_k); });
        if (error_k <= kWantedErrorK) break;
        if (aim_k < 1e-4) throw std::runtime_error("the ensemble does not reach the error wanted");
    }
    double relative_tolerance = 1e-4;
    double peer_error_k = 0.0;
    for (;; relative_tolerance /= std::sqrt(10.0)) {
        peer_error_k = largest_error_k(reference, [&](std::size_t m) { return peer(relative_tolerance, m); });
        if (peer_error_k <= kWantedErrorK) break;
        if (relative_tolerance < 1e-9) throw std::runtime_error("the peer does not reach the error wanted");
    }

    const std::size_t thread_count = std::max(1U, std::thread::hardware_concurrency());
    thermal::EnsembleOptions options;
    options.member_count = kMembers;
    options.largest_error_k = aim_k;
    options.thread_count = thread_count;
    options.quantile_levels = {};
    thermal::EnsembleResult result;
    const std::vector<double> median_s = interleaved_medians_s(
        {[&] { result = ensemble(van, 0, options); }, [&] { run_peer(van, relative_tolerance, thread_count); }}, 5);
    const double scale = static_cast<double>(kMembers) / static_cast<double>(kPeerMembers);
    const thermal::EnsembleStatistics& statistics = result.statistics;
    return {
        "ensemble.demo.10000",
        median_s[0],
        "s",
        "CVODE BDF, KLU",
        median_s[1] * scale,
        fmt::format("{} nodes, {} zones, {} threads, packs of {}, {} planned steps, {} members by shorter steps, {} alone; "
                    "peer from {} members; largest error {:.2g} K, peer {:.2g} K at relative {:.1g}",
                    van.network().node_count(), van.watched.size(), thread_count, statistics.pack_width,
                    statistics.planned_steps.front(), kMembers - statistics.members_by_plan.front() - statistics.members_alone,
                    statistics.members_alone, kPeerMembers, error_k, peer_error_k, relative_tolerance)};
}

}  // namespace bakewright::bench
