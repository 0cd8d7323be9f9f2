// SPDX-License-Identifier: Apache-2.0
#include "bakewright/thermal/ensemble.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>

#include "bakewright/base/error.hpp"
#include "bakewright/thermal/solve.hpp"
#include "thermal/ensemble_networks.hpp"

using namespace bakewright;
using namespace bakewright::thermal;
using test::small_booth;
using test::SmallBooth;

namespace {

EnsembleResult run(const SmallBooth& booth, std::size_t first, EnsembleOptions options) {
    return solve_ensemble(
        booth.network, booth.segments, booth.watched,
        [first](std::size_t index, EnsembleMember& member) { test::perturb(first + index, member); }, options);
}

EnsembleOptions of_members(std::size_t count) {
    EnsembleOptions options;
    options.member_count = count;
    return options;
}

/// The network a member stands for, written out with plain numbers, and its segments.
SmallBooth written_out(const SmallBooth& booth, const EnsembleMember& member) {
    const auto of = [&](FactorIndex index) { return member.numbers.of(index); };
    const auto following = [&](Following at) {
        return Following{at.place, 1.0 + (at.gain - 1.0) * of(at.factor), at.offset_k * of(at.factor)};
    };
    SmallBooth out;
    out.segments = booth.segments;
    for (const Network::Node& node : booth.network.nodes())
        out.network.add_node(node.name, node.heat_capacity_j_per_k * of(node.factor),
                             node.start_k + member.numbers.start_shift_k);
    for (std::size_t b = 0; b < booth.network.boundary_count(); ++b) {
        out.network.add_boundary(booth.network.boundaries()[b]);
        for (Segment& segment : out.segments)
            for (auto* k : {&segment.boundary_begin_k, &segment.boundary_end_k})
                (*k)[b] = (*k)[b] * member.numbers.boundary_gain[b] + member.numbers.boundary_offset_k[b];
    }
    for (Conduction edge : booth.network.conductions())
        out.network.add_conduction({edge.from, edge.to, edge.conductance_w_per_k * of(edge.factor)});
    const auto by_mode = [&](ModeFactors factors, const ModeFactorIndices& indices) {
        for (std::size_t mode = 0; mode < kModeCount; ++mode) factors[mode] *= of(indices[mode]);
        return factors;
    };
    for (Film edge : booth.network.films())
        out.network.add_film({following(edge.air), edge.node, edge.conductance_w_per_k * of(edge.factor),
                              by_mode(edge.mode_factor, edge.factor_by_mode)});
    for (Convection edge : booth.network.convections())
        out.network.add_convection({following(edge.air), edge.node, edge.area_m2 * of(edge.factor), edge.film,
                                    by_mode(edge.forced_factor, edge.factor_by_mode)});
    for (Radiation edge : booth.network.radiations())
        out.network.add_radiation({following(edge.wall), edge.node, edge.exchange_area_m2 * of(edge.factor)});
    for (Heater heater : booth.network.heaters()) {
        heater.largest_power_w *= of(heater.factor);
        heater.factor = kNoFactor;
        out.network.add_heater(heater);
    }
    for (std::size_t w = 0; w < booth.watched.size(); ++w) {
        WatchedPlace place = booth.watched[w];
        place.at = following(place.at);
        place.at.offset_k += member.offset_k[w];
        if (place.than) place.than = following(*place.than);
        out.watched.push_back(place);
    }
    return out;
}

struct Trace {
    std::vector<double> time_s;
    std::vector<std::vector<double>> temperature_k;  ///< by watched place
};

/// A network solved by itself, with a tight tolerance, as the watched nodes show it.
Trace traced(const SmallBooth& booth) {
    Trace trace;
    trace.temperature_k.resize(booth.watched.size());
    SolveOptions options;
    options.absolute_tolerance_k = 1e-7;
    options.relative_tolerance = 1e-12;
    solve(booth.network, booth.segments, options, [&](double time_s, std::span<const double> node_k, std::span<const double>) {
        trace.time_s.push_back(time_s);
        for (std::size_t w = 0; w < booth.watched.size(); ++w) {
            const auto seen_k = [&](const Following& at) { return node_k[at.place.index] * at.gain + at.offset_k; };
            const WatchedPlace& place = booth.watched[w];
            if (place.at.place.kind != Place::Kind::node) continue;
            trace.temperature_k[w].push_back(seen_k(place.at) - (place.than ? seen_k(*place.than) : 0.0));
        }
    });
    return trace;
}

/// Stays at or above a threshold on straight lines: {in all, the longest}.
std::pair<double, double> stays_s(const Trace& trace, std::size_t place, double threshold_k) {
    double total_s = 0.0, run_s = 0.0, longest_s = 0.0;
    const std::vector<double>& k = trace.temperature_k[place];
    for (std::size_t i = 1; i < k.size(); ++i) {
        const double span_s = trace.time_s[i] - trace.time_s[i - 1];
        const double crossing = (threshold_k - k[i - 1]) / (k[i] - k[i - 1]);
        const bool was = k[i - 1] >= threshold_k, is = k[i] >= threshold_k;
        const double above_s = was && is ? span_s : was ? span_s * crossing : is ? span_s * (1.0 - crossing) : 0.0;
        run_s = was ? run_s + above_s : above_s;
        total_s += above_s;
        longest_s = std::max(longest_s, run_s);
    }
    return {total_s, longest_s};
}

double integral(const Trace& trace, std::size_t place, const TabulatedFunction& function) {
    double sum = 0.0;
    const std::vector<double>& k = trace.temperature_k[place];
    for (std::size_t i = 1; i < k.size(); ++i)
        sum += 0.5 * (function.at(k[i - 1]) + function.at(k[i])) * (trace.time_s[i] - trace.time_s[i - 1]);
    return sum;
}

/// A member's readings of a place against those of its trace. Tolerances: 0.01 K is what the ensemble aims at. A stay lies
/// between those at thresholds so much higher and lower; the integral, of a rate whose slope is at most 0.4 per K second, is off
/// by 0.01 K times 0.4 times 7200 s at most; a heating rate by twice 0.01 K over 10 s.
void check_place(const EnsembleResult& result, std::size_t member, std::size_t place, const Trace& trace) {
    const std::span<const double> row = result.row(member).subspan(result.first_column[place]);
    const std::vector<double>& k = trace.temperature_k[place];
    double fastest_k_per_s = -HUGE_VAL;
    for (std::size_t i = 1; i < k.size(); ++i)
        fastest_k_per_s = std::max(fastest_k_per_s, (k[i] - k[i - 1]) / (trace.time_s[i] - trace.time_s[i - 1]));
    const auto [least_total_s, least_longest_s] = stays_s(trace, place, test::kThresholdK + 0.01);
    const auto [most_total_s, most_longest_s] = stays_s(trace, place, test::kThresholdK - 0.01);
    CHECK(std::abs(row[0] - *std::max_element(k.begin(), k.end())) <= 0.01);
    CHECK(row[1] >= least_total_s - 1e-6);
    CHECK(row[1] <= most_total_s + 1e-6);
    CHECK(row[2] >= least_longest_s - 1e-6);
    CHECK(row[2] <= most_longest_s + 1e-6);
    CHECK(std::abs(row[3] - integral(trace, place, *test::rising_rate())) <= 30.0);
    CHECK(std::abs(row[4] - fastest_k_per_s) <= 2e-3);
    CHECK(row[5] >= stays_s(trace, place, 328.01).first - 1e-6);
    CHECK(row[5] <= stays_s(trace, place, 327.99).first + 1e-6);
}

void check_members(const SmallBooth& booth, const EnsembleResult& result, std::size_t count) {
    for (std::size_t m = 0; m < count; ++m) {
        CAPTURE(m);
        EnsembleMember member{Member<double>(booth.network), std::vector<double>(booth.watched.size(), 0.0)};
        test::perturb(m, member);
        const SmallBooth alone = written_out(booth, member);
        const Trace trace = traced(alone);
        check_place(result, m, 0, trace);
        check_place(result, m, 1, trace);
        // Of a difference: twice the error of a temperature.
        const std::vector<double>& difference_k = trace.temperature_k[3];
        CHECK(std::abs(result.row(m)[result.first_column[3]] - *std::max_element(difference_k.begin(), difference_k.end())) <=
              0.02);
    }
}

}  // namespace

TEST_CASE("a member of an ensemble has the readings of its network written out with plain numbers and solved alone") {
    const SmallBooth booth = small_booth();
    const EnsembleResult result = run(booth, 0, of_members(40));
    REQUIRE(result.is_complete);
    REQUIRE(result.member_count() == 40);
    CHECK(result.statistics.pack_width > 1);
    CHECK(result.statistics.planned_steps.size() == 3);
    check_members(booth, result, 40);
    const std::vector<double> stays_s = result.column(0, 1);
    CHECK(*std::max_element(stays_s.begin(), stays_s.end()) - *std::min_element(stays_s.begin(), stays_s.end()) > 60.0);
}

TEST_CASE("members of a network with a heater are solved one by one, with the same readings") {
    for (const test::Burner burner : {test::Burner::controlled, test::Burner::on_off}) {
        const SmallBooth booth = small_booth(burner);
        EnsembleOptions options = of_members(12);
        const EnsembleResult result = run(booth, 0, options);
        CHECK(result.statistics.pack_width == 1);
        CHECK(result.statistics.members_alone == 12);
        check_members(booth, result, 12);
        options.thread_count = 1;
        CHECK(run(booth, 0, options).rows == result.rows);
        const EnsembleResult shifted = run(booth, 4, of_members(8));
        CHECK(std::equal(shifted.rows.begin(), shifted.rows.end(),
                         result.rows.begin() + static_cast<std::ptrdiff_t>(4 * result.column_count)));
    }
}

TEST_CASE("an ensemble is the same to the bit on any number of threads") {
    const SmallBooth booth = small_booth();
    EnsembleOptions options = of_members(1100);  // more than are sorted: histograms too
    options.output_interval_s = 60.0;
    options.thread_count = 1;
    const EnsembleResult one = run(booth, 0, options);
    for (const std::size_t threads : {2U, 5U}) {
        options.thread_count = threads;
        const EnsembleResult more = run(booth, 0, options);
        CHECK(more.rows == one.rows);
        CHECK(more.quantiles.temperature_k == one.quantiles.temperature_k);
        CHECK(more.statistics.members_by_plan == one.statistics.members_by_plan);
    }
}

TEST_CASE("a member is the same to the bit in any company") {
    const SmallBooth booth = small_booth();
    const EnsembleResult all = run(booth, 0, of_members(50));
    for (const std::size_t member : {3U, 17U, 49U}) {
        const EnsembleResult alone = run(booth, member, of_members(1));
        CHECK(std::equal(alone.rows.begin(), alone.rows.end(), all.row(member).begin()));
    }
    const EnsembleResult shifted = run(booth, 5, of_members(45));
    CHECK(std::equal(shifted.rows.begin(), shifted.rows.end(),
                     all.rows.begin() + static_cast<std::ptrdiff_t>(5 * all.column_count)));
}

TEST_CASE("every instruction set gives the same members to the bit") {
    const SmallBooth booth = small_booth();
    EnsembleOptions options = of_members(40);
    options.widest = InstructionSet::baseline;
    const EnsembleResult baseline = run(booth, 0, options);
    CHECK(baseline.statistics.instruction_set == InstructionSet::baseline);
    for (const InstructionSet set : instruction_sets()) {
        options.widest = set;
        const EnsembleResult other = run(booth, 0, options);
        CHECK(other.statistics.instruction_set == set);
        CHECK(other.rows == baseline.rows);
        CHECK(other.quantiles.temperature_k == baseline.quantiles.temperature_k);
    }
}

TEST_CASE("members that nothing sets apart are all equal to the unperturbed solve") {
    const SmallBooth booth = small_booth();
    const EnsembleResult result = solve_ensemble(
        booth.network, booth.segments, booth.watched, [](std::size_t, EnsembleMember&) {}, of_members(20));
    for (std::size_t m = 1; m < 20; ++m) CHECK(std::equal(result.row(m).begin(), result.row(m).end(), result.row(0).begin()));
    const Trace trace = traced(booth);
    check_place(result, 7, 0, trace);
    CHECK(result.statistics.members_by_plan == std::vector<std::size_t>{20, 0, 0});
}

TEST_CASE("a member far from the plan goes with shorter steps, leaves the others alone and keeps the error wanted") {
    const SmallBooth booth = small_booth();
    const auto generator = [&](std::size_t index, EnsembleMember& member) {
        test::perturb(index, member);
        if (index == 9)
            for (std::size_t f = 0; f < member.numbers.factor.size(); ++f)
                if (booth.network.factors()[f].ends_with("mass")) member.numbers.factor[f] = 0.02;
    };
    const EnsembleResult result = solve_ensemble(booth.network, booth.segments, booth.watched, generator, of_members(16));
    const std::vector<std::size_t>& by_plan = result.statistics.members_by_plan;
    CHECK(by_plan[1] + by_plan[2] + result.statistics.members_alone >= 1);
    EnsembleMember member{Member<double>(booth.network), std::vector<double>(booth.watched.size(), 0.0)};
    generator(9, member);
    check_place(result, 9, 0, traced(written_out(booth, member)));
    const EnsembleResult plain = run(booth, 0, of_members(16));
    CHECK(std::equal(plain.row(8).begin(), plain.row(8).end(), result.row(8).begin()));
}

TEST_CASE("the failing member with the lowest index is named, on any number of threads") {
    const SmallBooth booth = small_booth();
    EnsembleOptions options = of_members(60);
    for (const std::size_t threads : {1U, 3U}) {
        options.thread_count = threads;
        const auto generator = [](std::size_t index, EnsembleMember& member) {
            if (index == 41 || index == 23) member.numbers.factor[1] = std::numeric_limits<double>::quiet_NaN();
        };
        CHECK_THROWS_WITH_AS(solve_ensemble(booth.network, booth.segments, booth.watched, generator, options),
                             doctest::Contains("member 23: run stopped at"), SolveError);
    }
}

TEST_CASE("what a generator throws comes out as it is") {
    const SmallBooth booth = small_booth();
    const auto generator = [](std::size_t index, EnsembleMember&) {
        if (index >= 12) throw InputError(Problem{"", 0, "", "number " + std::to_string(index)});
    };
    CHECK_THROWS_WITH_AS(solve_ensemble(booth.network, booth.segments, booth.watched, generator, of_members(40)),
                         doctest::Contains("number 12"), InputError);
}

TEST_CASE("progress is told from the calling thread, and its no ends the work") {
    const SmallBooth booth = small_booth();
    EnsembleOptions options = of_members(100);
    options.thread_count = 1;
    double last = 0.0;
    options.progress = [&](double fraction) {
        CHECK(fraction >= last);
        last = fraction;
        return true;
    };
    CHECK(run(booth, 0, options).is_complete);
    CHECK(last == 1.0);
    options.progress = [](double fraction) { return fraction < 0.3; };
    const EnsembleResult ended = run(booth, 0, options);
    CHECK_FALSE(ended.is_complete);
    CHECK(ended.rows.empty());
}

TEST_CASE("options and readings out of range are refused") {
    const SmallBooth booth = small_booth();
    const auto refuses = [&](auto&& change) {
        EnsembleOptions options = of_members(2);
        change(options);
        CHECK_THROWS_AS(run(booth, 0, options), PromiseError);
    };
    refuses([](EnsembleOptions& o) { o.member_count = 0; });
    refuses([](EnsembleOptions& o) { o.output_interval_s = 0.0; });
    refuses([](EnsembleOptions& o) { o.largest_error_k = 2.0; });
    refuses([](EnsembleOptions& o) { o.quantile_levels = {0.5, 0.2}; });
    refuses([](EnsembleOptions& o) { o.quantile_levels = {1.5}; });
    refuses([](EnsembleOptions& o) { o.quantile_interval_s = 25.0; });
    SmallBooth without_function = booth;
    without_function.watched[0].readings[3].function.reset();
    CHECK_THROWS_AS(run(without_function, 0, of_members(2)), PromiseError);
}
