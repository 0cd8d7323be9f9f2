// SPDX-License-Identifier: Apache-2.0
#include "estimate_bakes.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/profile/library.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/thermal/ensemble.hpp"

namespace bakewright::test {
namespace {

constexpr double kEveryS = 30.0, kHotK = celsius_to_kelvin(50.0);

thermal::EnsembleOptions whole_options(std::size_t members) {
    thermal::EnsembleOptions options;
    options.member_count = members;
    options.output_interval_s = options.quantile_interval_s = kEveryS;
    options.quantile_levels.clear();
    options.keeps_traces = true;
    return options;
}

std::vector<thermal::WatchedPlace> watched_in(const bake::BuiltNetwork& built) {
    std::vector<thermal::WatchedPlace> watched;
    for (const bake::TraceOrigin& origin : built.origins) watched.push_back({origin.name, origin.at, {}});
    return watched;
}

/// First order towards the surface with a share of the air, by steps of the log's interval.
std::vector<double> read_by_probe(const std::vector<double>& zone_k, const std::vector<double>& air_k, double share,
                                  double lag_s) {
    std::vector<double> read;
    double state_k = zone_k.front();
    constexpr int kSubsteps = 10;
    for (std::size_t i = 0; i < zone_k.size(); ++i) {
        if (i > 0)
            for (int s = 1; s <= kSubsteps; ++s) {
                const double part = static_cast<double>(s) / kSubsteps;
                const double zone = zone_k[i - 1] + part * (zone_k[i] - zone_k[i - 1]);
                const double air = air_k[i - 1] + part * (air_k[i] - air_k[i - 1]);
                state_k +=
                    (zone + share * (air - zone) - state_k) * (1.0 - std::exp(-kEveryS / kSubsteps / std::max(lag_s, 0.1)));
            }
        read.push_back(state_k);
    }
    return read;
}

}  // namespace

DemoVan::DemoVan() {
    const profile::Library library({BAKEWRIGHT_PROFILES});
    const profile::ShellProfile of_van = profile::load_shell("library_van", library).record;
    shell = of_van.shell;
    coated = shell.coated_zone_names();
    booth = profile::load_booth("stirred_insulated", library).record;
    booth.wall_offset_k.reset();  // walls, ceiling and floor by their balances
    cycle = profile::load_cycle("clear_60", library).record;
    coating = profile::load_coating("clear_low_bake", library).record;
}

namespace {

/// By a fault that all of a channel's readings have.
double misread(double temperature_k, double time_s, double first_k, const tune::ProbeFault& fault) {
    using Kind = tune::ProbeFault::Kind;
    if (fault.kind == Kind::drift) return temperature_k + fault.amount * time_s / kSecondPerHour;
    if (fault.kind == Kind::wrong_type) return first_k + fault.amount * (temperature_k - first_k);
    if (fault.kind == Kind::wrong_unit) return celsius_to_kelvin(kelvin_to_fahrenheit(temperature_k));
    if (fault.kind == Kind::dead) return 294.0;
    return temperature_k;
}

/// The cycle as the booth runs it.
std::vector<bake::ResolvedStage> stages_of(const DemoVan& van, const TruthMaking& making) {
    std::vector<bake::ResolvedStage> stages = bake::resolve(van.cycle, van.booth);
    bool is_heated = false;
    for (bake::ResolvedStage& stage : stages) {
        if (is_heated) stage.begin_s += making.late_s, stage.end_s += making.late_s;
        const bool comes_on = !is_heated && &stage != &stages.back() && (&stage + 1)->kind == bake::StageKind::ramp;
        if (comes_on) stage.end_s += making.late_s;
        is_heated = is_heated || comes_on;
    }
    return stages;
}

}  // namespace

MadeBake made_bake(const DemoVan& van, const TruthMaking& making) {
    MadeBake made{{van.shell, van.booth, {}}, {}, {}, {}};
    bake::Uncertainty of_truth;
    of_truth.own_air = of_truth.surroundings = 1.0;
    const std::vector<bake::ResolvedStage> stages = stages_of(van, making);
    const bake::BuiltNetwork built =
        bake::build_network(van.shell, van.booth, {}, bake::BoothAir::given, stages.front().begin_k, {}, 0.0);
    // The air as it is, by the cycle in an ideal booth; its log is off by its probe.
    Trace air{"booth air", TraceRole::booth_air, {}, {}, {}};
    for (double time_s = 0.0; time_s <= stages.back().end_s; time_s += kEveryS) {
        const auto at =
            std::find_if(stages.begin(), stages.end(), [&](const bake::ResolvedStage& one) { return one.end_s >= time_s; });
        const bake::ResolvedStage& stage = at == stages.end() ? stages.back() : *at;
        air.time_s.push_back(time_s);
        air.temperature_k.push_back(stage.begin_k +
                                    (stage.end_k - stage.begin_k) * (time_s - stage.begin_s) / (stage.end_s - stage.begin_s));
        if (making.dip && time_s > making.dip->from_s && time_s <= making.dip->until_s)
            air.temperature_k.back() -= making.dip->depth_k;
    }
    const std::vector<thermal::Segment> segments = bake::replay_segments(built, van.booth, air, {}, stages);
    const bake::MemberSpace space(built, van.shell, van.booth, of_truth);
    std::vector<double> normals = space.draw(making.seed, 0);
    std::vector<double> extra(normals.size());
    thermal::draw_normals(making.seed + 1'000'003, 0, extra);
    for (std::size_t n = 0; n < normals.size(); ++n) {
        const bake::DrawnNumber& number = space.numbers()[n];
        if (number.kind == bake::DrawnNumber::Kind::air) normals[n] = 0.0;
        if (number.kind == bake::DrawnNumber::Kind::start) normals[n] *= 0.8;
        if (number.kind == bake::DrawnNumber::Kind::own_air) normals[n] = extra[n] * making.own_air_k / space.standard(n);
        if (number.kind == bake::DrawnNumber::Kind::surroundings) normals[n] = -making.colder_walls_k / space.standard(n);
    }
    const auto generate = [&](std::size_t, thermal::EnsembleMember& member) { space.set(normals, member); };
    const thermal::EnsembleResult solved =
        thermal::solve_ensemble(built.network, segments, watched_in(built), generate, whole_options(1));
    const std::vector<double>& time_s = solved.quantiles.time_s;
    for (std::size_t place = 0; place < built.origins.size(); ++place) {
        Trace trace{built.origins[place].name, built.origins[place].role, time_s, {}, {}};
        for (std::size_t t = 0; t < time_s.size(); ++t) trace.temperature_k.push_back(solved.trace_k[place * time_s.size() + t]);
        made.truth.traces.push_back(std::move(trace));
    }
    // Which zones have a probe, and what the probes do.
    std::vector<std::string> zones;
    for (const bake::Zone& zone : van.shell.zones)
        if (zone.role == bake::ZoneRole::shell) zones.push_back(zone.name);
    std::vector<double> z(zones.size() * 5 + 8);
    thermal::draw_normals(making.seed + 2'000'003, 0, z);
    std::vector<std::size_t> order(zones.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return z[a] < z[b]; });
    auto next = z.begin() + static_cast<std::ptrdiff_t>(zones.size());
    std::vector<double> noise(time_s.size() * (making.probed + 1));
    thermal::draw_normals(making.seed + 3'000'017, 0, noise);
    auto noise_of = noise.begin();
    tune::LoggedBake log{"bake", {}, {}, {}};
    Trace logged_air = *made.truth.find("booth air");
    const std::vector<double> true_air_k = logged_air.temperature_k;
    const double air_offset_k = making.probe_standard_k * *next++;
    for (double& kelvin : logged_air.temperature_k) kelvin += air_offset_k + 0.2 * *noise_of++;
    log.traces.traces.push_back(std::move(logged_air));
    for (std::size_t p = 0; p < std::min(making.probed, zones.size()); ++p) {
        const std::string& zone = zones[order[p]];
        made.probed.push_back(zone);
        Trace read = *made.truth.find(zone);
        const double offset_k = making.probe_standard_k * *next++;
        double share = 0.05 * thermal::cumulative_normal(*next++);
        const double lag_s = 30.0 * thermal::cumulative_normal(*next++),
                     noise_k = 0.1 + 0.1 * thermal::cumulative_normal(*next++);
        const std::vector<double> held_k = read.temperature_k;
        read.temperature_k = read_by_probe(held_k, true_air_k, share, lag_s);
        if (making.fault && p == 0 && making.fault->kind == tune::ProbeFault::Kind::loose) {
            const std::vector<double> loose_k = read_by_probe(held_k, true_air_k, making.fault->amount, lag_s);
            for (std::size_t t = 0; t < time_s.size(); ++t)
                if (time_s[t] >= making.fault->from_s) read.temperature_k[t] = loose_k[t];
        }
        for (std::size_t t = 0; t < time_s.size(); ++t) {
            read.temperature_k[t] += offset_k + noise_k * *noise_of++;
            if (making.fault && p == 0 && making.fault->kind == tune::ProbeFault::Kind::step && time_s[t] >= making.fault->from_s)
                read.temperature_k[t] += making.fault->amount;
            if (making.fault && p == 0)
                read.temperature_k[t] = misread(read.temperature_k[t], time_s[t], read.temperature_k[0], *making.fault);
        }
        log.traces.traces.push_back(std::move(read));
    }
    if (making.fault && making.fault->kind == tune::ProbeFault::Kind::exchanged)
        std::swap(log.traces.traces[1].temperature_k, log.traces.traces[2].temperature_k);
    made.task.bakes.push_back(std::move(log));
    return made;
}

double Score::rms_k() const { return std::sqrt(square_k2 / moments); }

void Score::add(const Score& other) {
    inside += other.inside, moments += other.moments, square_k2 += other.square_k2, band_k += other.band_k;
    peak_inside += other.peak_inside, hot_inside += other.hot_inside, zones += other.zones;
}

namespace {

/// Readings of one course every 30 s.
struct Course {
    double peak_k = 0.0, hot_s = 0.0;
    template <class At>
    Course(std::size_t count, const At& at) {
        for (std::size_t t = 0; t < count; ++t) {
            peak_k = std::max(peak_k, at(t));
            if (at(t) >= kHotK) hot_s += kEveryS;
        }
    }
};

bool is_within(std::vector<double> values, double truth) {
    const double low = thermal::quantile(values, 0.05), high = thermal::quantile(std::move(values), 0.95);
    return truth >= low - 1e-9 && truth <= high + 1e-9;
}

}  // namespace

BakeScore score_of(const DemoVan& van, const MadeBake& made, const tune::BakeEstimate& estimate) {
    const bake::BuiltNetwork& built = estimate.driven.built;
    const bake::MemberSpace space(built, made.task.shell, made.task.booth, estimate.prior);
    const std::size_t members = estimate.members.size();
    const auto generate = [&](std::size_t m, thermal::EnsembleMember& member) { space.set(estimate.members[m], member); };
    const thermal::EnsembleResult solved =
        thermal::solve_ensemble(built.network, estimate.driven.segments, watched_in(built), generate, whole_options(members));
    const std::size_t moments = solved.quantiles.time_s.size();
    BakeScore score;
    for (std::size_t place = 0; place < built.origins.size(); ++place) {
        const std::string& name = built.origins[place].name;
        if (std::find(van.coated.begin(), van.coated.end(), name) == van.coated.end()) continue;
        const Trace& truth = *made.truth.find(name);
        Score& own = std::find(made.probed.begin(), made.probed.end(), name) == made.probed.end() ? score.unprobed : score.probed;
        const auto at = [&](std::size_t m, std::size_t t) {
            return static_cast<double>(solved.trace_k[(place * moments + t) * members + m]);
        };
        const std::size_t count = std::min(moments, truth.size());
        std::vector<double> values(members);
        for (std::size_t t = 10; t < count; t += 4) {  // every other minute, from minute 5 on
            for (std::size_t m = 0; m < members; ++m) values[m] = at(m, t);
            std::sort(values.begin(), values.end());
            const auto level = [&](double share) {
                return values[static_cast<std::size_t>(std::lround(share * static_cast<double>(members - 1)))];
            };
            const double low = level(0.05), middle = level(0.5), high = level(0.95);
            own.inside += truth.temperature_k[t] >= low && truth.temperature_k[t] <= high ? 1.0 : 0.0;
            own.square_k2 += (middle - truth.temperature_k[t]) * (middle - truth.temperature_k[t]);
            own.band_k += high - low;
            own.moments += 1.0;
        }
        std::vector<double> peaks, hot;
        for (std::size_t m = 0; m < members; ++m) {
            const Course course(count, [&](std::size_t t) { return at(m, t); });
            peaks.push_back(course.peak_k);
            hot.push_back(course.hot_s);
        }
        const Course of_truth(count, [&](std::size_t t) { return truth.temperature_k[t]; });
        own.peak_inside += is_within(peaks, of_truth.peak_k) ? 1.0 : 0.0;
        own.hot_inside += is_within(hot, of_truth.hot_s) ? 1.0 : 0.0;
        own.zones += 1.0;
    }
    return score;
}

}  // namespace bakewright::test
