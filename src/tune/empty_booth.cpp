// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/empty_booth.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/probe/probe_record.hpp"
#include "bakewright/tune/tune.hpp"
#include "controller_fit.hpp"
#include "run_phases.hpp"

namespace bakewright::tune {
namespace {

using bake::BoothSurface;
using bake::LearnedKind;

constexpr double kFarStandards = 4.0, kFarFactor = 3.0;
constexpr double kTold = 0.3;  // share of the prior's variance that a log must take away
/// What is left by no such booth: more is a door that opened, another burner, channels that are something else.
constexpr double kMostLeftK = 3.0;
/// What is believed of a number before the log, as bake::Uncertainty has it; builder/booth.cpp has the ranges.
/// Priors are wide and a log of the booth alone says much: what a third of a deviation does is bent by then.
constexpr double kBoothNumberStep = 0.05;
/// When heat comes and goes is known to seconds, and a burner takes some to be at its power: so much of each number.
constexpr double kMomentsStandard = 0.03;
constexpr double kAirProbeK = 0.1;
constexpr double kFreshAirSpread = 1.0, kPowerSpread = 0.3, kGuessedPowerSpread = 1.0, kCapacitySpread = 0.5;

double rounded(double value, int digits) {
    if (value == 0.0) return 0.0;
    const double scale = std::pow(10.0, digits - 1 - std::floor(std::log10(std::abs(value))));
    return std::round(value * scale) / scale;
}

Trace renamed(Trace trace, std::string name, TraceRole role, double shift_s, double from_s, double to_s) {
    Trace out;
    out.name = std::move(name);
    out.role = role;
    for (std::size_t i = 0; i < trace.size(); ++i) {
        if (!trace.usable(i) || trace.time_s[i] < from_s || trace.time_s[i] > to_s) continue;
        out.time_s.push_back(trace.time_s[i] - shift_s);
        out.temperature_k.push_back(trace.temperature_k[i]);
    }
    return out;
}

/// Where a learned number stands in the profile.
struct Kept {
    LearnedKind kind;
    std::string_view subject;
    const char *key, *name;
    FieldUnit unit;
    const char *by, *wants;
};

const Kept kKept[] = {
    {LearnedKind::burner_power,
     {},
     "burner.power",
     "heater, into the air",
     unit::kw,
     "how fast the air rises at full power",
     "a rise at full power from cold"},
    {LearnedKind::make_up,
     {},
     "ventilation.bake.make_up",
     "fresh air while baking",
     unit::m3_per_s,
     "how fast the air falls without heat",
     "20 min without heat, the fans as in a bake"},
    {LearnedKind::wall_loss,
     {},
     "wall_loss",
     "walls to outside",
     unit::w_per_m2k,
     "where the walls stay under the held air",
     "a probe on a wall, inside, and a longer hold"},
    {LearnedKind::wall_capacity,
     {},
     "wall_heat_capacity",
     "heat that walls and ceiling hold",
     unit::kj_per_m2k,
     "how soon the walls follow",
     "a probe on a wall, inside"},
    {LearnedKind::group_film, bake::kBoothWallGroup, "learned.booth wall", "air along the walls, times what is usual", unit::none,
     "walls against air while it heats", "a probe on a wall, inside"},
    {LearnedKind::floor,
     {},
     "learned.floor",
     "heat into the floor, times what is usual",
     unit::none,
     "how the floor warms",
     "a probe on the floor"},
};

class Fit {
public:
    Fit(const bake::Booth& start, const EmptyRun& run, const EmptyBoothOptions& options)
        : start_(start), run_(run), is_guess_(options.power_is_guess) {}

    EmptyBoothFit run() {
        if (const std::vector<Problem> found = bake::problems_in(start_); !found.empty()) throw InputError(found);
        fit_.booth = start_;
        fit_.booth.learned = {};
        if (!start_.learned.numbers.empty())
            fit_.remarks.push_back(
                "What was learned of the booth from bakes goes: learn from them again with `bakewright tune`.");
        if (start_.wall_offset_k) {
            fit_.booth.wall_offset_k.reset();
            fit_.booth.sources.erase("wall_offset");
            fit_.remarks.push_back("wall_offset goes: walls, ceiling and floor have balances of their own now.");
        }
        fit_.phases = phases_of(run_, start_);
        if (!fit_.phases.has_cooling())
            fit_.remarks.push_back(run_.fans_change ? "What follows the heat is left out: the fans ran otherwise."
                                                    : "The log ends with the heat on.");
        put_profile();
        learn();
        put_controller();
        for (std::size_t n = 0; n < fit_.numbers.size(); ++n) mark_source(fit_.numbers[n]);
        fit_.booth.learned.from = {run_.name};
        if (const std::vector<Problem> found = bake::problems_in(fit_.booth); !found.empty()) throw InputError(found);
        return std::move(fit_);
    }

private:
    void mark_source(const BoothNumber& number) {
        if (number.is_told && !number.key.starts_with("learned."))
            fit_.booth.sources[number.key] = fmt::format("log of the empty booth, {}", run_.name);
    }

    void put_profile() {
        const LoggedProfile logged = logged_profile(run_, fit_.phases, start_);
        std::vector<bake::VerticalOffset>& rows = fit_.booth.vertical_profile;
        const double top_m = start_.inside().height_m;
        const auto number = [&](double height_m, double now_k, bool is_told) {
            const double before_k = start_.vertical_offset_k(height_m);
            const double open_k = 0.5 * std::abs(before_k), band_k = 1.645 * logged.standard_k;
            BoothNumber one{"vertical_profile",
                            fmt::format("air at {:g} m against the middle", height_m),
                            unit::k,
                            {before_k - open_k, before_k, before_k + open_k},
                            {},
                            is_told,
                            "the air there against the reference air"};
            one.now = is_told ? Spread{now_k - band_k, now_k, now_k + band_k} : one.before;
            if (!is_told) one.told_by = "a probe in the air there";
            fit_.numbers.push_back(one);
        };
        if (logged.rows.size() < 2) {
            for (const bake::VerticalOffset& row : rows)
                if (row.offset_k != 0.0) number(row.height_m, row.offset_k, false);
            return;
        }
        std::vector<bake::VerticalOffset> made;
        for (const bake::VerticalOffset& row : logged.rows) {
            made.push_back({row.height_m, std::round(row.offset_k * 10.0) / 10.0});
            if (row.offset_k != 0.0) number(row.height_m, made.back().offset_k, true);
        }
        // Beyond what was logged the booth keeps what was believed of it.
        const double low_m = made.front().height_m, high_m = made.back().height_m;
        bool has_low = made.front().offset_k != 0.0, has_high = made.back().offset_k != 0.0;
        for (const bake::VerticalOffset& row : rows) {
            if (!has_low && row.height_m < low_m) made.push_back(row), number(row.height_m, row.offset_k, false);
            if (!has_high && row.height_m > high_m) made.push_back(row), number(row.height_m, row.offset_k, false);
        }
        std::ranges::sort(made, {}, &bake::VerticalOffset::height_m);
        rows = std::move(made);
        is_profile_told_ = has_low && has_high;
        double most_k = 1.0;
        for (const bake::VerticalOffset& row : rows) most_k = std::max(most_k, std::abs(row.offset_k));
        if (is_profile_told_)
            profile_ = {
                LearnedKind::vertical_profile, {}, 1.0, rounded(std::clamp(logged.standard_k / most_k, 0.02, 0.3), 2), {}};
        static_cast<void>(top_m);
    }

    [[nodiscard]] TuneTask task() const {
        const RunPhases& phases = fit_.phases;
        const double outside = outside_k(run_, phases);
        TuneTask task{run_panel(start_), as_logged(fit_.booth, outside), {}};
        task.booth.controller = {.kind = bake::Controller::Kind::burner_limited};
        LoggedBake log{.name = run_.name};
        const auto add = [&](const std::optional<Trace>& trace, std::string_view name, TraceRole role) {
            if (trace)
                log.traces.traces.push_back(
                    renamed(*trace, std::string(name), role, phases.heat_on_s, phases.heat_on_s, phases.end_s));
        };
        add(without_corners(reference_air(run_, start_).trace), "booth air", TraceRole::booth_air);
        add(run_.walls, word_of(BoothSurface::walls), TraceRole::booth_wall);
        add(run_.ceiling, word_of(BoothSurface::ceiling), TraceRole::booth_wall);
        add(run_.floor, word_of(BoothSurface::floor), TraceRole::booth_wall);
        log.cycle = driving_cycle(run_, phases, task.booth);
        // Held air is where its own probe has it: that probe is the measure of all, and what walls differ from it is theirs.
        probe::ProbeRecord air;
        air.channel = "booth air";
        air.calibration = probe::Calibration{{{phases.start_k, 0.0}}, kAirProbeK, 1.0};
        log.probes = probe::ProbeSet{{}, {}, {air}};
        task.bakes.push_back(std::move(log));
        return task;
    }

    /// Without the seconds in which the heat comes and goes: what those tell is how exactly their moments are known.
    [[nodiscard]] Trace without_corners(Trace trace) const {
        constexpr double kBeforeS = 15.0, kAfterS = 40.0;
        trace.quality.resize(trace.size(), SampleQuality::good);
        for (std::size_t i = 0; i < trace.size(); ++i)
            for (const double corner_s : {fit_.phases.heat_on_s, fit_.phases.heat_off_s})
                if (trace.time_s[i] > corner_s - kBeforeS && trace.time_s[i] < corner_s + kAfterS)
                    trace.quality[i] = SampleQuality::missing;
        return trace;
    }

    [[nodiscard]] bake::Uncertainty prior() const {
        bake::Uncertainty prior;
        prior.make_up = kFreshAirSpread;
        prior.burner_power = is_guess_ ? kGuessedPowerSpread : kPowerSpread;
        prior.wall_capacity = kCapacitySpread;
        prior.vertical_profile = is_profile_told_ ? 0.1 : 0.5;
        prior.air_k = 0.0;
        prior.outside_air_k = run_.outside ? 1.0 : 3.0;
        prior.start_k = 1.0;
        return prior;
    }

    void learn() {
        TuneOptions options;
        options.what = {Tunable::film, Tunable::walls, Tunable::air};
        options.prior = prior();
        options.holds_out = false;
        options.drives_by_cycle = true;
        options.number_step = kBoothNumberStep;
        TuneResult result = tune::tune(task(), options);
        const auto is_out = [](const TunedNumber& one) { return one.learned.kind == LearnedKind::burner_power && one.at_bound; };
        if (!is_guess_ && std::ranges::any_of(result.numbers, is_out)) {
            is_guess_ = true;
            fit_.remarks.push_back("The heater is far from what it was said to be: is the plate another's, or what goes in?");
            options.prior = prior();
            result = tune::tune(task(), options);
        }
        fit_.before_k = result.errors.front().before_k;
        fit_.now_k = result.used_k().value_or(0.0);
        for (const ChannelFinding& suspect : result.suspects)
            fit_.remarks.push_back(fmt::format("The probe of '{}' looks faulty and is left out.", suspect.channel));
        if (fit_.now_k > kMostLeftK)
            throw InputError(Problem{
                run_.name,
                0,
                {},
                fmt::format(
                    "is met no better than within {:.1f} K by any booth of this size and kind: is each channel what it is "
                    "said to be, were doors shut and fans running, and was the heater at full power from the start?",
                    fit_.now_k)});
        for (const TunedProbe& probe : result.probes)
            if (probe.channel == "booth air") air_lag_s_ = probe.lag_s.value_or(air_lag_s_);
        keep(result);
    }

    void keep(const TuneResult& result) {
        std::vector<std::size_t> places;
        bake::Learned& learned = fit_.booth.learned;
        for (std::size_t n = 0; n < result.numbers.size(); ++n) {
            const TunedNumber& number = result.numbers[n];
            const auto kept = std::find_if(std::begin(kKept), std::end(kKept), [&](const Kept& one) {
                return one.kind == number.learned.kind && one.subject == number.learned.subject;
            });
            if (kept == std::end(kKept)) continue;
            refuse_far(*kept, number);
            bake::LearnedNumber one = number.learned;
            one.correlation.clear();
            for (const std::size_t before : places)
                one.correlation.push_back(number.learned.correlation.empty() ? 0.0
                                                                             : rounded(number.learned.correlation[before], 3));
            one.standard_error = rounded(std::hypot(one.standard_error, kMomentsStandard), 3);
            places.push_back(n);
            put(*kept, number, one);
            learned.numbers.push_back(std::move(one));
        }
        if (profile_) {
            profile_->correlation.assign(learned.numbers.size(), 0.0);
            learned.numbers.push_back(*profile_);
        }
        learned.residual_k = rounded(result.noise_k, 3);
        learned.error_used_k = rounded(fit_.now_k, 3);
    }

    /// A number that goes to where nobody would believe it stands for something else that is wrong.
    void refuse_far(const Kept& kept, const TunedNumber& number) const {
        const double far = std::max(kFarStandards * number.prior_standard, std::log(kFarFactor));
        if (!number.at_bound && std::abs(std::log(number.learned.value)) <= far) return;
        throw InputError(Problem{
            run_.name,
            0,
            {},
            fmt::format("fits a booth of this size and kind only with {:.2g} times what is believed of '{}': are size, walls "
                        "and channels right, was the booth empty, and was the heater at full power from the start?",
                        number.learned.value, kept.name)});
    }

    /// Puts what is told into the profile's own number; what is left is a factor of 1 that is so sure.
    void put(const Kept& kept, const TunedNumber& number, bake::LearnedNumber& learned) {
        const double was = value_of(fit_.booth, kept.kind);
        BoothNumber told{kept.key, kept.name, kept.unit, band(was, 1.0, number.prior_standard), {}, number.told() >= kTold,
                         kept.by};
        if (kept.kind == LearnedKind::wall_loss) told.before = start_.wall_loss();
        if (!told.is_told) {
            told.now = band(was, learned.value, learned.standard_error);
            told.told_by = kept.wants;
            learned.value = rounded(learned.value, 4);
        } else if (double* const own = own_value(kept.kind)) {
            const double now = rounded(was * learned.value, 3);
            *own = now;
            learned.value = 1.0;
            told.now = band(now, 1.0, learned.standard_error);
            if (kept.kind == LearnedKind::wall_loss)
                fit_.booth.wall_loss_w_per_m2_k = Spread{rounded(told.now.low, 3), now, rounded(told.now.high, 3)};
        } else {
            learned.value = rounded(learned.value, 4);
            told.now = band(was, learned.value, learned.standard_error);
        }
        fit_.numbers.push_back(std::move(told));
    }

    static Spread band(double value, double factor, double log_standard) {
        const double wide = std::exp(bake::kDeviationsTo95 * log_standard);
        return {value * factor / wide, value * factor, value * factor * wide};
    }
    [[nodiscard]] double* own_value(LearnedKind kind) {
        switch (kind) {
            case LearnedKind::burner_power:
                return &fit_.booth.burner_power_w;
            case LearnedKind::make_up:
                return &fit_.booth.ventilation[static_cast<std::size_t>(bake::FanMode::bake)].make_up_m3_per_s;
            case LearnedKind::wall_capacity:
                return &fit_.booth.wall_heat_capacity_j_per_m2_k;
            case LearnedKind::wall_loss:
                return &loss_w_per_m2_k_;
            default:
                return nullptr;
        }
    }
    [[nodiscard]] double value_of(const bake::Booth& booth, LearnedKind kind) {
        if (kind == LearnedKind::wall_loss) loss_w_per_m2_k_ = booth.wall_loss().value;
        const double* const own = own_value(kind);
        return own != nullptr ? *own : 1.0;
    }

    void put_controller() {
        constexpr double kUsualK = 1.4;  // class 2 type K near 60 degC, standard; IEC 60584-1:2013
        const ControllerFit found =
            fit_controller(as_logged(fit_.booth, outside_k(run_, fit_.phases)), run_, fit_.phases, air_lag_s_, kUsualK);
        fit_.booth.controller = found.controller;
        if (found.tells_offset) {
            bake::Learned& learned = fit_.booth.learned;
            learned.numbers.push_back({LearnedKind::air_offset,
                                       {},
                                       0.0,
                                       rounded(found.offset_standard_k, 2),
                                       std::vector<double>(learned.numbers.size(), 0.0)});
        }
        fit_.numbers.insert(fit_.numbers.end(), found.numbers.begin(), found.numbers.end());
        fit_.remarks.insert(fit_.remarks.end(), found.remarks.begin(), found.remarks.end());
    }

    const bake::Booth& start_;
    const EmptyRun& run_;
    bool is_guess_;  ///< how strong the heater is
    EmptyBoothFit fit_;
    bool is_profile_told_ = false;
    std::optional<bake::LearnedNumber> profile_;
    double loss_w_per_m2_k_ = 0.0, air_lag_s_ = 15.0;
};

}  // namespace

EmptyBoothFit fit_empty_booth(const bake::Booth& start, const EmptyRun& run, const EmptyBoothOptions& options) {
    return Fit(start, run, options).run();
}

}  // namespace bakewright::tune
