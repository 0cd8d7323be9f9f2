// SPDX-License-Identifier: Apache-2.0
#include "run_phases.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "bakewright/base/error.hpp"

namespace bakewright::tune {
namespace {

constexpr std::size_t kFewestHeating = 8;  // readings while it heats: fewer do not show how it bends
constexpr double kColdWithinK = 5.0;       // of walls and outside, before the heat comes on
constexpr double kLongestGapS = 300.0;
constexpr double kLeastFallK = 5.0;  // that tells of the booth without heat
constexpr double kLeastHoldS = 300.0;
constexpr double kRisingFromK = 0.4;  // over noise, under what a heater does in one reading

[[noreturn]] void refuse(const EmptyRun& run, const std::string& message) { throw InputError(Problem{run.name, 0, {}, message}); }

double quantile(std::vector<double> values, double share) {
    const auto at = static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1) + 0.5);
    std::nth_element(values.begin(), values.begin() + at, values.end());
    return values[static_cast<std::size_t>(at)];
}

std::string degrees(double kelvin) { return fmt::format("{:.1f} °C", kelvin_to_celsius(kelvin)); }

class PhaseFinder {
public:
    PhaseFinder(const EmptyRun& run, const bake::Booth& booth)
        : run_(run), booth_(booth), air_(course_of(reference_air(run, booth).trace, kCourseEveryS)) {}

    RunPhases run() {
        if (air_.size() < 3 * kFewestHeating)
            refuse(run_, fmt::format("has {} readings of the air at {:g} s or more apart: too few for a run of an empty booth",
                                     air_.size(), kCourseEveryS));
        found_.end_s = air_.time_s.back();
        find_heat_on();
        find_hold();
        find_heat_off();
        find_flat_out();
        check_gaps();
        check_cold();
        if (run_.fans_change) found_.end_s = found_.heat_off_s;
        return found_;
    }

private:
    void find_heat_on() {
        const double first_k = *std::min_element(air_.kelvin.begin(), air_.kelvin.begin() + 3);
        const double rise_k = *std::max_element(air_.kelvin.begin(), air_.kelvin.end()) - first_k;
        if (rise_k < kLeastRunRiseK)
            refuse(run_, fmt::format("shows the air rise by {:.1f} K; a run of an empty booth heats it by {:g} K or more, from "
                                     "cold",
                                     std::max(rise_k, 0.0), kLeastRunRiseK));
        found_.heat_on_s = run_.heat_on_s.value_or(rise_begins_s(first_k, rise_k));
        if (found_.heat_on_s < air_.time_s.front() - kCourseEveryS || found_.heat_on_s >= air_.time_s.back())
            refuse(run_, "is over before, or begins after, the time at which the heat is said to come on");
        found_.start_k = air_.mean_k(air_.time_s.front() - 1.0, std::max(found_.heat_on_s, air_.time_s.front()) + 1.0);
    }

    /// By the readings themselves: seconds count in a booth that is hot in minutes.
    [[nodiscard]] double rise_begins_s(double first_k, double rise_k) const {
        const Trace air = reference_air(run_, booth_).trace.usable_samples();
        std::size_t at = 0;
        while (at + 1 < air.size() && air.temperature_k[at] < first_k + std::max(1.5, 0.04 * rise_k)) ++at;
        while (at > 0 && air.temperature_k[at] > first_k + kRisingFromK) --at;
        return air.time_s[at];
    }

    void find_hold() {
        std::vector<double> upper;
        const double most_k = *std::max_element(air_.kelvin.begin(), air_.kelvin.end());
        for (std::size_t i = 0; i < air_.size(); ++i)
            if (air_.kelvin[i] >= found_.start_k + 0.9 * (most_k - found_.start_k)) upper.push_back(air_.kelvin[i]);
        found_.hold_k = quantile(upper, 0.5);
    }

    void find_heat_off() {
        std::size_t last = air_.size() - 1;
        while (last > 0 && air_.kelvin[last] < found_.hold_k - 2.0) --last;
        const bool falls = air_.kelvin.back() < found_.hold_k - kLeastFallK;
        found_.heat_off_s = run_.heat_off_s.value_or(falls ? fall_begins_s(air_.time_s[last]) : found_.end_s);
        if (found_.heat_off_s <= found_.heat_on_s || found_.heat_off_s > found_.end_s)
            refuse(run_, "ends before, or has no heat at, the time at which the heat is said to go off");
        std::vector<double> held;
        const double reached_s = reached(found_.hold_k - 1.0);
        for (std::size_t i = 0; i < air_.size(); ++i)
            if (air_.time_s[i] > reached_s && air_.time_s[i] < found_.heat_off_s) held.push_back(air_.kelvin[i]);
        if (static_cast<double>(held.size()) * kCourseEveryS < kLeastHoldS)
            refuse(run_, fmt::format("holds the air for {:.0f} min; {:.0f} min and better 30 are wanted",
                                     static_cast<double>(held.size()) * kCourseEveryS / kSecondPerMinute,
                                     kLeastHoldS / kSecondPerMinute));
        // The way in, overshoot included, does not count where there is more.
        if (held.size() > 30) held.erase(held.begin(), held.begin() + static_cast<std::ptrdiff_t>(held.size() / 3));
        found_.hold_k = std::accumulate(held.begin(), held.end(), 0.0) / static_cast<double>(held.size());
        found_.swing_k = quantile(held, 0.95) - quantile(held, 0.05);
    }

    /// By the readings themselves: the last within the swing of those before it. @param near_s  about then
    [[nodiscard]] double fall_begins_s(double near_s) const {
        constexpr double kBeforeS = 600.0;
        double least_k = found_.hold_k, begins_s = near_s;
        for (std::size_t i = 0; i < air_.size(); ++i)
            if (air_.time_s[i] > near_s - kBeforeS && air_.time_s[i] < near_s - 2.0 * kCourseEveryS)
                least_k = std::min(least_k, air_.kelvin[i]);
        const Trace air = reference_air(run_, booth_).trace.usable_samples();
        for (std::size_t i = 0; i < air.size(); ++i)
            if (air.time_s[i] <= near_s + 2.0 * kCourseEveryS && air.temperature_k[i] >= least_k - kRisingFromK)
                begins_s = air.time_s[i];
        return begins_s;
    }

    [[nodiscard]] double reached(double kelvin) const {
        for (std::size_t i = 0; i < air_.size(); ++i)
            if (air_.time_s[i] > found_.heat_on_s && air_.kelvin[i] >= kelvin) return air_.time_s[i];
        return found_.end_s;
    }

    /// A steady flame is turned down before the air is where it is set, by as much as its gain has it.
    void find_flat_out() {
        const double rise_k = found_.hold_k - found_.start_k;
        const bool modulates = booth_.controller.kind == bake::Controller::Kind::proportional_integral;
        const double band_k = modulates ? 1.25 * booth_.burner_power_w / booth_.controller.gain_w_per_k : 2.0;
        const double under_k = std::clamp(band_k + found_.swing_k, 0.1 * rise_k, 0.4 * rise_k);
        found_.flat_out_until_s = std::min(reached(found_.hold_k - under_k), found_.heat_off_s);
        std::size_t heating = 0;
        const Trace& air = reference_air(run_, booth_).trace;
        for (std::size_t i = 0; i < air.size(); ++i)
            if (air.usable(i) && air.time_s[i] >= found_.heat_on_s && air.time_s[i] <= found_.flat_out_until_s) ++heating;
        if (heating < kFewestHeating)
            refuse(run_, fmt::format("has {} readings of the air while it heats from {} to {}; log every 10 s, or heat farther",
                                     heating, degrees(found_.start_k), degrees(found_.hold_k)));
    }

    void check_gaps() const {
        for (std::size_t i = 1; i < air_.size(); ++i)
            if (air_.time_s[i] - air_.time_s[i - 1] > kLongestGapS)
                refuse(run_, fmt::format("has no reading of the air from {:.0f} to {:.0f} min", air_.time_s[i - 1] / 60.0,
                                         air_.time_s[i] / 60.0));
    }

    /// A booth that was warm holds heat that nobody saw go in.
    void check_cold() const {
        const auto check = [&](const std::optional<Trace>& trace, const char* what) {
            if (!trace) return;
            const double first_k = course_of(*trace, kCourseEveryS).at_k(found_.heat_on_s);
            if (std::abs(first_k - found_.start_k) > kColdWithinK)
                refuse(run_, fmt::format("begins with the air at {} and {} at {}: the booth was not cold, or these are not what "
                                         "they are said to be. Begin with a booth that stood overnight",
                                         degrees(found_.start_k), what, degrees(first_k)));
        };
        check(run_.walls, "the wall");
        check(run_.ceiling, "the ceiling");
        check(run_.outside, "the outside");
    }

    const EmptyRun& run_;
    const bake::Booth& booth_;
    Course air_;
    RunPhases found_;
};

/// Slope of what is seen over the rise, and how far it may be off, by straight lines with a constant.
struct Slope {
    double per_k = 0.0, standard = 0.0;
};

Slope slope_of(const std::vector<double>& rise_k, const std::vector<double>& seen_k) {
    const auto count = static_cast<double>(rise_k.size());
    const double mean_rise = std::accumulate(rise_k.begin(), rise_k.end(), 0.0) / count;
    const double mean_seen = std::accumulate(seen_k.begin(), seen_k.end(), 0.0) / count;
    double squares = 0.0, products = 0.0;
    for (std::size_t i = 0; i < rise_k.size(); ++i) {
        squares += (rise_k[i] - mean_rise) * (rise_k[i] - mean_rise);
        products += (rise_k[i] - mean_rise) * (seen_k[i] - mean_seen);
    }
    const double slope = squares > 0.0 ? products / squares : 0.0;
    double left = 0.0;
    for (std::size_t i = 0; i < rise_k.size(); ++i) left += std::pow(seen_k[i] - mean_seen - slope * (rise_k[i] - mean_rise), 2);
    // What is left stays alike for minutes: a tenth of the readings count as their own.
    const double standard = squares > 0.0 ? std::sqrt(left / std::max(1.0, count - 2.0) * 10.0 / squares) : 0.0;
    return {slope, standard};
}

void add_stage(bake::Cycle& cycle, double setpoint_k, double duration_s) {
    cycle.stages.push_back({.kind = bake::StageKind::hold,
                            .setpoint_k = setpoint_k,
                            .duration_s = std::max(duration_s, 1.0),
                            .rate_k_per_s = {},
                            .infrared = {}});
}

}  // namespace

double Course::at_k(double at_s) const {
    const auto after = static_cast<std::size_t>(std::upper_bound(time_s.begin(), time_s.end(), at_s) - time_s.begin());
    if (after == 0) return kelvin.front();
    if (after == time_s.size()) return kelvin.back();
    const double share = (at_s - time_s[after - 1]) / (time_s[after] - time_s[after - 1]);
    return kelvin[after - 1] + share * (kelvin[after] - kelvin[after - 1]);
}

double Course::mean_k(double from_s, double to_s) const {
    double sum_k = 0.0, count = 0.0;
    for (std::size_t i = 0; i < size(); ++i)
        if (time_s[i] >= from_s && time_s[i] <= to_s) sum_k += kelvin[i], count += 1.0;
    return count > 0.0 ? sum_k / count : at_k(from_s);
}

Course course_of(const Trace& trace, double every_s) {
    Course course;
    double sum_s = 0.0, sum_k = 0.0, count = 0.0, until_s = 0.0;
    const auto close = [&] {
        if (count == 0.0) return;
        course.time_s.push_back(sum_s / count);
        course.kelvin.push_back(sum_k / count);
        sum_s = sum_k = count = 0.0;
    };
    for (std::size_t i = 0; i < trace.size(); ++i) {
        if (!trace.usable(i)) continue;
        if (count == 0.0 || trace.time_s[i] >= until_s) {
            close();
            until_s = trace.time_s[i] + every_s;
        }
        sum_s += trace.time_s[i], sum_k += trace.temperature_k[i], count += 1.0;
    }
    close();
    return course;
}

const AirAtHeight& reference_air(const EmptyRun& run, const bake::Booth& booth) {
    const double middle_m = 0.5 * booth.inside().height_m;
    return *std::min_element(run.air.begin(), run.air.end(), [&](const AirAtHeight& one, const AirAtHeight& other) {
        return std::abs(one.height_m - middle_m) < std::abs(other.height_m - middle_m);
    });
}

RunPhases phases_of(const EmptyRun& run, const bake::Booth& booth) {
    if (run.air.empty()) refuse(run, "has no channel of the booth's air: say which one it is");
    return PhaseFinder(run, booth).run();
}

double outside_k(const EmptyRun& run, const RunPhases& phases) {
    if (!run.outside) return phases.start_k;
    return course_of(*run.outside, kCourseEveryS).mean_k(phases.heat_on_s, phases.end_s);
}

bake::Cycle driving_cycle(const EmptyRun& run, const RunPhases& phases, const bake::Booth& booth) {
    constexpr double kFarK = 60.0, kMostK = 520.0, kFastestKPerS = 0.95;
    constexpr std::size_t kMostSteps = 800;
    const Course air = course_of(reference_air(run, booth).trace, kCourseEveryS);
    bake::Cycle cycle;
    cycle.id = "empty run";
    cycle.start_k = std::max(phases.start_k, booth.ambient_k);
    const double far_k = std::min(phases.hold_k + kFarK, kMostK);
    const double up_s = std::max(10.0, (far_k - *cycle.start_k) / kFastestKPerS);
    const double flat_s = phases.flat_out_until_s - phases.heat_on_s;
    add_stage(cycle, std::min(far_k, *cycle.start_k + kFastestKPerS * flat_s), std::min(up_s, flat_s));
    if (flat_s > up_s + 1.0) add_stage(cycle, far_k, flat_s - up_s);
    double now_s = phases.flat_out_until_s, now_k = far_k;
    const auto held_to = [&](double at_s, double kelvin) {
        const double most_k = now_k + kFastestKPerS * (at_s - now_s);
        now_k = std::max(std::min(kelvin, most_k), booth.ambient_k);
        add_stage(cycle, now_k, at_s - now_s);
        now_s = at_s;
    };
    held_to(now_s + 2.0, air.at_k(now_s + 2.0));
    const double step_s = std::max(kCourseEveryS, (phases.heat_off_s - now_s) / static_cast<double>(kMostSteps));
    while (now_s + 1.5 * step_s < phases.heat_off_s) held_to(now_s + step_s, air.at_k(now_s + step_s));
    if (phases.heat_off_s > now_s + 1.0) held_to(phases.heat_off_s, now_k);
    if (phases.has_cooling() && phases.end_s > now_s + 2.0) {
        held_to(now_s + 1.0, booth.ambient_k);
        add_stage(cycle, booth.ambient_k, phases.end_s - now_s);
    }
    return cycle;
}

LoggedProfile logged_profile(const EmptyRun& run, const RunPhases& phases, const bake::Booth& booth) {
    const AirAtHeight& reference = reference_air(run, booth);
    const Course air = course_of(reference.trace, kCourseEveryS);
    const double room_k = outside_k(run, phases);
    LoggedProfile profile;
    for (const AirAtHeight& one : run.air) {
        if (&one == &reference) {
            profile.rows.push_back({one.height_m, 0.0});
            continue;
        }
        const Course here = course_of(one.trace, kCourseEveryS);
        std::vector<double> rise_k, seen_k;
        for (std::size_t i = 0; i < here.size(); ++i)
            if (here.time_s[i] <= phases.end_s) {
                rise_k.push_back(air.at_k(here.time_s[i]) - room_k);
                seen_k.push_back(here.kelvin[i] - air.at_k(here.time_s[i]));
            }
        if (rise_k.size() < kFewestHeating) refuse(run, fmt::format("has too few readings of the air at {:g} m", one.height_m));
        const Slope slope = slope_of(rise_k, seen_k);
        const double full_k = booth.reference_temperature_k + booth.reference_rise_k - room_k;
        profile.rows.push_back({one.height_m, slope.per_k * full_k});
        profile.standard_k = std::max(profile.standard_k, slope.standard * full_k);
    }
    std::ranges::sort(profile.rows, {}, &bake::VerticalOffset::height_m);
    for (std::size_t i = 1; i < profile.rows.size(); ++i)
        if (profile.rows[i].height_m <= profile.rows[i - 1].height_m)
            refuse(run, fmt::format("has the air at {:g} m twice", profile.rows[i].height_m));
    constexpr double kMostK = 40.0;
    for (const bake::VerticalOffset& row : profile.rows)
        if (std::abs(row.offset_k) > kMostK)
            refuse(run, fmt::format("has the air at {:g} m {:.0f} K off the reference air: is that channel air?", row.height_m,
                                    row.offset_k));
    return profile;
}

}  // namespace bakewright::tune
