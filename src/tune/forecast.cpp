// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/forecast.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "air_ahead.hpp"
#include "bakewright/bake/build_network.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/thermal/ensemble.hpp"
#include "linear_basis.hpp"

namespace bakewright::tune {
namespace {

constexpr double kGridS = 30.0;
constexpr double kMemberErrorK = 0.02, kResponseErrorK = 0.002;
constexpr double kPulseK = 4.0;  // of the air, for the response: small against its rise, large against the solver's error
constexpr std::uint64_t kAirSeed = 0x616972ULL;
/// How far surfaces that were measured follow the air ahead: time constant [s]; common practice, no source.
constexpr double kSurfaceFollowsS = 900.0;

std::vector<thermal::WatchedPlace> watched_in(const bake::BuiltNetwork& built) {
    std::vector<thermal::WatchedPlace> watched;
    for (const bake::TraceOrigin& origin : built.origins) watched.push_back({origin.name, origin.at, {}});
    return watched;
}

/// A measured surface from now on: it keeps its share of the air's rise over the ambient, and follows slowly.
Trace surface_ahead(const Trace& measured, const Trace& air_so_far, const Trace& ahead, double ambient_k) {
    Trace trace = measured.usable_samples();
    const double now_s = ahead.time_s.front();
    while (trace.size() > 1 && trace.time_s.back() >= now_s) trace.time_s.pop_back(), trace.temperature_k.pop_back();
    double kelvin = trace.temperature_k.back();
    const double air_rise_k = std::max(1.0, air_so_far.temperature_k.back() - ambient_k);
    const double share = std::clamp((kelvin - ambient_k) / air_rise_k, 0.0, 1.0);
    double time_s = now_s;
    for (std::size_t i = 0; i < ahead.size(); ++i) {
        const double aim_k = ambient_k + share * (ahead.temperature_k[i] - ambient_k);
        kelvin += (aim_k - kelvin) * (1.0 - std::exp(-(ahead.time_s[i] - time_s) / kSurfaceFollowsS));
        time_s = ahead.time_s[i];
        trace.time_s.push_back(time_s);
        trace.temperature_k.push_back(kelvin);
    }
    trace.quality.clear();
    return trace;
}

void refuse_forecast(const TuneTask& task, const ForecastOptions& options) {
    std::vector<Problem> found;
    const auto add = [&](std::string key, std::string what) { found.push_back({{}, 0, std::move(key), std::move(what)}); };
    if (task.bakes.size() != 1) add("bakes", "a forecast is of one bake");
    if (!(options.ahead_s >= 60.0 && options.ahead_s <= 12.0 * 3600.0)) add("ahead", "accepts 1 min to 12 h");
    if (options.setpoint_k && !(*options.setpoint_k > 250.0 && *options.setpoint_k < 500.0))
        add("set-point", "accepts -23 to 226 degC");
    if (!found.empty()) throw InputError(std::move(found));
    const Trace* air = task.bakes.front().traces.first(TraceRole::booth_air);
    if (air == nullptr || air->usable_samples().size() < 2)
        throw InputError(Problem{
            {}, 0, task.bakes.front().name, "has no reading of the booth's air yet: what the shell will get is told from it"});
}

}  // namespace

struct Forecast::State {
    const TuneTask task;
    ForecastOptions options;
    Trace air;  ///< logged so far, usable samples
    Estimate estimate;
    std::vector<PhaseSpan> phases;
    std::optional<AirAhead> ahead;
    std::vector<AirOfMember> airs;  ///< of each member
    std::vector<double> likeliest;  ///< the members' mean, by the numbers of the space
    /// Of each place to a pulse of the air of 1 K, rising over one step of the air and falling over the next; by place, then
    /// moment of the grid from the first one ahead.
    std::vector<std::vector<double>> response;

    State(const TuneTask& of, const ForecastOptions& how) : task(of), options(how) {
        air = task.bakes.front().traces.first(TraceRole::booth_air)->usable_samples();
        estimate = tune::estimate(task, options.estimate);
        std::vector<bake::ResolvedStage> stages;
        const std::optional<bake::Cycle>& cycle = options.cycle ? options.cycle : task.bakes.front().cycle;
        if (cycle) stages = bake::resolve(*cycle, task.booth);
        phases = recognise_phases(air, options.heat_on_s, stages);
        ahead.emplace(task.booth, air, phases, stages, options.setpoint_k);
        if (ahead->is_unknown())
            throw InputError(
                Problem{{},
                        0,
                        task.bakes.front().name,
                        "nobody has said what is set: name the cycle, or the set point; from the hold on it is seen"});
        for (const EstimatedNumber& number : of_it().numbers) likeliest.push_back(number.mean);
        draw_airs();
    }

    [[nodiscard]] const BakeEstimate& of_it() const { return estimate.bakes.front(); }
    [[nodiscard]] const bake::BuiltNetwork& built() const { return of_it().driven.built; }
    [[nodiscard]] bake::MemberSpace space() const { return {built(), task.shell, task.booth, of_it().prior}; }

    void draw_airs() {
        const auto steps = static_cast<std::size_t>((options.ahead_s + kForecastCoolingS) / kAirStepS) + 2;
        const bake::MemberSpace numbers = space();
        for (std::size_t m = 0; m < of_it().members.size(); ++m) {
            thermal::EnsembleMember member{thermal::Member<double>(built().network), {}};
            member.offset_k.assign(built().origins.size(), 0.0);
            numbers.set(of_it().members[m], member);
            airs.push_back(ahead->draw(options.estimate.seed ^ kAirSeed, m, member.numbers.boundary_offset_k.front(), steps));
        }
    }

    [[nodiscard]] double until_s(std::optional<double> heat_off_s) const {
        return heat_off_s ? std::max(*heat_off_s, ahead->now_s()) + kForecastCoolingS : ahead->now_s() + options.ahead_s;
    }

    /// The log's air and what comes after it. @param air_ahead  begins at now
    [[nodiscard]] std::vector<thermal::Segment> segments(const Trace& air_ahead,
                                                         const std::vector<bake::ResolvedStage>& stages) const {
        std::vector<thermal::Segment> all = of_it().driven.segments;
        std::array<Trace, bake::kBoothSurfaceCount> surfaces;
        bake::SurfaceTraces pointers{};
        if (!built().logged.empty()) {
            const bake::SurfaceTraces measured = bake::surface_traces(task.bakes.front().traces, air);
            for (std::size_t s = 0; s < measured.size(); ++s)
                if (measured[s] != nullptr) {
                    surfaces[s] = surface_ahead(*measured[s], air, air_ahead, task.booth.ambient_k);
                    pointers[s] = &surfaces[s];
                }
        }
        for (thermal::Segment& segment : bake::replay_segments(built(), task.booth, air_ahead, pointers, stages))
            all.push_back(std::move(segment));
        // The log's last moment and the first one ahead may differ by what a minute's mean does: a straight line joins them.
        const std::size_t first = of_it().driven.segments.size();
        if (first > 0 && first < all.size()) all[first].boundary_begin_k.front() = all[first - 1].boundary_end_k.front();
        return all;
    }

    /// Courses of one member on the grid, by place.
    [[nodiscard]] std::vector<std::vector<double>> solve_one(const std::vector<thermal::Segment>& driven) const {
        const bake::MemberSpace numbers = space();
        const auto generate = [&](std::size_t, thermal::EnsembleMember& member) { numbers.set(likeliest, member); };
        thermal::EnsembleOptions how = grid_options();
        how.member_count = 1;
        how.keeps_traces = true;
        how.largest_error_k = kResponseErrorK;
        how.precision = thermal::Precision::in_doubles;
        const thermal::EnsembleResult result =
            thermal::solve_ensemble(built().network, driven, watched_in(built()), generate, how);
        const std::size_t moments = result.quantiles.time_s.size();
        std::vector<std::vector<double>> courses(built().origins.size());
        for (std::size_t place = 0; place < courses.size(); ++place)
            for (std::size_t t = 0; t < moments; ++t)
                courses[place].push_back(static_cast<double>(result.trace_k[place * moments + t]));
        return courses;
    }

    /// Courses of members on the grid, by place, then moment.
    [[nodiscard]] std::vector<std::vector<float>> solve_each(const std::vector<thermal::Segment>& driven,
                                                             const std::vector<std::vector<double>>& members) const {
        const bake::MemberSpace numbers = space();
        std::vector<std::vector<float>> courses(members.size());
        thermal::EnsembleOptions how = grid_options();
        how.member_count = members.size();
        how.largest_error_k = kResponseErrorK;
        how.precision = thermal::Precision::in_doubles;
        how.observe = [&](std::size_t member, std::span<const float> trace_k) {
            courses[member].assign(trace_k.begin(), trace_k.end());
        };
        const auto generate = [&](std::size_t m, thermal::EnsembleMember& member) { numbers.set(members[m], member); };
        static_cast<void>(thermal::solve_ensemble(built().network, driven, watched_in(built()), generate, how));
        return courses;
    }

    [[nodiscard]] std::shared_ptr<const LinearBasis> linear_basis(const ForecastTraces& on) const {
        const double until = until_s({});
        const std::vector<bake::ResolvedStage> stages = ahead->stages_ahead({}, until);
        auto basis = std::make_shared<LinearBasis>();
        basis->from_s = ahead->now_s();
        basis->point = estimate.linear;
        basis->air = ahead->course({}, until);
        basis->stays_per_s = ahead->stays_per_s();
        std::vector<std::vector<double>> members{basis->point ? estimate.point.values : likeliest};
        if (basis->point)
            for (const std::size_t n : basis->point->moved) {
                members.push_back(members.front());
                members.back()[n] += kNumberStep;
            }
        basis->solved_k = solve_each(segments(basis->air, stages), members);
        const std::vector<float> stepped = solve_each(segments(stepped_up(basis->air), stages), {members.front()}).front();
        const std::size_t first = first_ahead(on.time_s.front()), moments = on.time_s.size();
        ensure(stepped.size() == on.names.size() * moments, "a forecast with the heat on has one grid");
        basis->step_response.resize(on.names.size());
        for (std::size_t place = 0; place < on.names.size(); ++place)
            for (std::size_t t = place * moments + first; t < (place + 1) * moments; ++t)
                basis->step_response[place].push_back(static_cast<double>(stepped[t] - basis->solved_k.front()[t]) / kPulseK);
        const double likeliest_k = ahead->steps_k(ahead->likeliest(), {}, until).at(1);
        for (const AirOfMember& air_of_member : airs)
            basis->drift_k.push_back(ahead->steps_k(air_of_member, {}, until).at(1) - likeliest_k);
        return basis;
    }
    [[nodiscard]] static Trace stepped_up(Trace course) {
        constexpr double kAtOnceS = 0.5;
        const double before_k = course.temperature_k.front();
        for (double& kelvin : course.temperature_k) kelvin += kPulseK;
        course.temperature_k.front() = before_k;
        course.time_s.insert(course.time_s.begin() + 1, course.time_s.front() + kAtOnceS);
        course.temperature_k.insert(course.temperature_k.begin() + 1, before_k + kPulseK);
        return course;
    }

    [[nodiscard]] thermal::EnsembleOptions grid_options() const {
        thermal::EnsembleOptions how;
        how.output_interval_s = how.quantile_interval_s = kGridS;
        how.largest_error_k = kMemberErrorK;
        how.quantile_levels.clear();
        how.thread_count = options.estimate.thread_count;
        return how;
    }

    /// Two solves in the likeliest air, one of them with a pulse in it at the second step.
    void find_response() {
        const double until = until_s({});
        const std::vector<bake::ResolvedStage> stages = ahead->stages_ahead({}, until);
        const Trace course = ahead->course({}, until);
        Trace pulsed = course;
        const double at_s = ahead->now_s() + kAirStepS;
        for (std::size_t i = 0; i < pulsed.size(); ++i)
            pulsed.temperature_k[i] += kPulseK * std::max(0.0, 1.0 - std::abs(pulsed.time_s[i] - at_s) / kAirStepS);
        const auto without = solve_one(segments(course, stages)), with = solve_one(segments(pulsed, stages));
        // From the first moment of the grid that is not past: pulses of later steps lie whole moments later.
        const std::size_t first = first_ahead(of_it().driven.segments.front().begin_s);
        response.resize(without.size());
        for (std::size_t place = 0; place < without.size(); ++place)
            for (std::size_t t = first; t < without[place].size(); ++t)
                response[place].push_back((with[place][t] - without[place][t]) / kPulseK);
    }
    [[nodiscard]] std::size_t first_ahead(double begin_s) const {
        return static_cast<std::size_t>(std::ceil((ahead->now_s() - begin_s) / kGridS - 1e-9));
    }

    /// Adds to each member's courses what its own air does beside the likeliest one.
    void add_own_air(ForecastTraces& traces, std::optional<double> heat_off_s, double until) const {
        const std::vector<double> likeliest_k = ahead->steps_k(ahead->likeliest(), heat_off_s, until);
        const auto stride = static_cast<std::size_t>(kAirStepS / kGridS);
        const std::size_t first = first_ahead(traces.time_s.front());
        for (std::size_t m = 0; m < traces.member_count; ++m) {
            std::vector<double> off_k = ahead->steps_k(airs[m], heat_off_s, until);
            for (std::size_t k = 0; k < off_k.size(); ++k) off_k[k] -= likeliest_k[k];
            for (std::size_t place = 0; place < traces.names.size(); ++place) {
                float* course = traces.kelvin.data() + (m * traces.names.size() + place) * traces.time_s.size();
                const std::vector<double>& of_place = response[place];
                for (std::size_t t = first; t < traces.time_s.size(); ++t) {
                    // A pulse about step k begins a step before it. What is off at now itself is none: all start from the log.
                    const std::size_t since = t - first;
                    double sum_k = 0.0;
                    for (std::size_t k = 1; k < off_k.size() && (k - 1) * stride <= since; ++k) {
                        const std::size_t after = since - (k - 1) * stride;
                        if (after < of_place.size()) sum_k += off_k[k] * of_place[after];
                    }
                    course[t] += static_cast<float>(sum_k);
                }
            }
        }
    }

    [[nodiscard]] ForecastTraces traces(std::optional<double> heat_off_s) {
        if (response.empty()) find_response();
        const double until = until_s(heat_off_s);
        const std::vector<thermal::Segment> driven =
            segments(ahead->course(heat_off_s, until), ahead->stages_ahead(heat_off_s, until));
        const bake::MemberSpace numbers = space();
        ForecastTraces made;
        for (const bake::TraceOrigin& origin : built().origins) {
            made.names.push_back(origin.name);
            made.roles.push_back(origin.role);
        }
        made.member_count = of_it().members.size();
        const double begin_s = driven.front().begin_s;
        for (std::size_t i = 0; begin_s + static_cast<double>(i) * kGridS <= driven.back().end_s + 1e-6; ++i)
            made.time_s.push_back(begin_s + static_cast<double>(i) * kGridS);
        const std::size_t size = made.names.size() * made.time_s.size();
        made.kelvin.resize(size * made.member_count);
        thermal::EnsembleOptions how = grid_options();
        how.member_count = made.member_count;
        how.observe = [&](std::size_t member, std::span<const float> trace_k) {
            ensure(trace_k.size() == size, "an ensemble tells every moment of its grid");
            std::copy(trace_k.begin(), trace_k.end(), made.kelvin.begin() + static_cast<std::ptrdiff_t>(member * size));
        };
        const auto generate = [&](std::size_t m, thermal::EnsembleMember& member) { numbers.set(of_it().members[m], member); };
        static_cast<void>(thermal::solve_ensemble(built().network, driven, watched_in(built()), generate, how));
        add_own_air(made, heat_off_s, until);
        return made;
    }
};

Forecast::Forecast(const TuneTask& task, const ForecastOptions& options) {
    refuse_forecast(task, options);
    state_ = std::make_unique<State>(task, options);
}
Forecast::Forecast(Forecast&&) noexcept = default;
Forecast& Forecast::operator=(Forecast&&) noexcept = default;
Forecast::~Forecast() = default;

const Estimate& Forecast::estimate() const noexcept { return state_->estimate; }
double Forecast::now_s() const noexcept { return state_->ahead->now_s(); }
const std::vector<PhaseSpan>& Forecast::phases() const noexcept { return state_->phases; }
std::optional<double> Forecast::setpoint_k() const noexcept { return state_->ahead->setpoint_k(); }
std::optional<double> Forecast::cycle_off_s() const noexcept { return state_->ahead->cycle_off_s(); }
ForecastTraces Forecast::traces(std::optional<double> heat_off_s) const { return state_->traces(heat_off_s); }
std::shared_ptr<const LinearBasis> Forecast::linear_basis(const ForecastTraces& on) const { return state_->linear_basis(on); }

}  // namespace bakewright::tune
