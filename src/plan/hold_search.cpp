// SPDX-License-Identifier: Apache-2.0
#include "hold_search.hpp"

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>

#include "ensemble_readings.hpp"

namespace bakewright::plan {
namespace {

/// Whole minutes on either side of a turn are tried, so that it need not be found more exactly than this.
constexpr double kTurnErrorS = 10.0;
/// How much further each step goes that looks for the other side of a turn.
constexpr double kStepGrowth = 4.0;

using StandingAt = std::function<Standing(double hold_s)>;

bool met(const Standing& standing) { return standing.spare >= 0.0; }
/// A root finder must not stop at an exact 0: met is met.
double not_zero(double value) { return value == 0.0 ? 1e-12 : value; }

/// Looks downward from the longest hold that can turn. What the heat-up alone tells is one side of that already and costs no
/// solve: what comes after it only adds to a stay, a dose or an exposure.
class BoundFinder {
public:
    BoundFinder(StandingAt heat, StandingAt whole, double shortest_s, double longest_s, double error_s)
        : heat_(std::move(heat)), whole_(std::move(whole)), shortest_s_(shortest_s), longest_s_(longest_s), error_s_(error_s) {}

    /// @param met_later  met at long holds rather than at short ones
    HoldBound find(bool met_later) const {
        const double from_s = where_heat_turns(met_later);
        Standing from = whole_(from_s);
        if (met(from) == met_later) return walk_down(from_s, std::move(from));
        return {met(from) ? HoldBound::Kind::met_always : HoldBound::Kind::met_never, {}, std::move(from)};
    }

private:
    static HoldBound turned(Turn turn) { return {HoldBound::Kind::turns, std::move(turn), {}}; }

    /// The shortest hold at which the heat-up alone is what the longest holds are; the ends of the range where there is none or
    /// every one is.
    double where_heat_turns(bool met_later) const {
        const Standing shortest = heat_(shortest_s_);
        if (met(shortest) == met_later) return shortest_s_;
        const Standing longest = heat_(longest_s_);
        if (met(longest) != met_later) return longest_s_;
        return turn_between(heat_, shortest_s_, shortest, longest_s_, longest, 0.1 * error_s_).after_s;
    }

    /// A stay grows about as the hold does: what is to spare, or lacking, is about the way to go.
    HoldBound walk_down(double from_s, Standing from) const {
        double step_s = std::abs(from.spare) + 0.4 * error_s_;
        while (from_s > shortest_s_) {
            const double to_s = std::max(from_s - step_s, shortest_s_);
            Standing to = whole_(to_s);
            if (met(to) != met(from)) return turned(turn_between(whole_, to_s, std::move(to), from_s, std::move(from), error_s_));
            from_s = to_s;
            from = std::move(to);
            step_s *= kStepGrowth;
        }
        return {met(from) ? HoldBound::Kind::met_always : HoldBound::Kind::met_never, {}, std::move(from)};
    }

    StandingAt heat_, whole_;
    double shortest_s_, longest_s_, error_s_;
};

}  // namespace

Turn turn_between(const StandingAt& standing, double low_s, Standing low, double high_s, Standing high, double error_s) {
    const double low_spare = not_zero(low.spare), high_spare = not_zero(high.spare);
    const bool low_is_met = met(low);
    Turn turn{low_s, high_s, std::move(low), std::move(high)};
    const auto spare = [&](double hold_s) {
        Standing here = standing(hold_s);
        const double value = not_zero(here.spare);
        const bool is_before = met(here) == low_is_met;
        if (is_before && hold_s >= turn.before_s) {
            turn.before_s = hold_s;
            turn.before = std::move(here);
        } else if (!is_before && hold_s <= turn.after_s) {
            turn.after_s = hold_s;
            turn.after = std::move(here);
        }
        return value;
    };
    const auto near = [error_s](double a, double b) { return std::abs(a - b) <= error_s; };
    std::uintmax_t iterations = 60;
    if (!near(low_s, high_s))
        (void)boost::math::tools::toms748_solve(spare, low_s, high_s, low_spare, high_spare, near, iterations);
    return turn;
}

HoldBound where_cured(SetpointRun& run, const Requirements& requirements, double shortest_s, double longest_s, double error_s) {
    return BoundFinder([&](double hold_s) { return requirements.cured(run.heat(hold_s).traces); },
                       [&](double hold_s) { return requirements.cured(run.bake(hold_s).traces); }, shortest_s, longest_s, error_s)
        .find(true);
}

HoldBound where_spared(SetpointRun& run, const Requirements& requirements, double shortest_s, double longest_s, double error_s) {
    return BoundFinder([&](double hold_s) { return requirements.spared(run.heat(hold_s).traces); },
                       [&](double hold_s) { return requirements.spared(run.bake(hold_s).traces); }, shortest_s, longest_s,
                       error_s)
        .find(false);
}

std::optional<double> shortest_curing_hold_s(SetpointRun& run, const Requirements& requirements, double shortest_s,
                                             double longest_s) {
    const HoldBound bound = where_cured(run, requirements, shortest_s, longest_s, kTurnErrorS);
    if (bound.kind == HoldBound::Kind::met_never) return std::nullopt;
    if (bound.kind == HoldBound::Kind::met_always) return shortest_s;
    const auto up_to_minute_s = [](double time_s) { return std::ceil(time_s / kSecondPerMinute - 1e-9) * kSecondPerMinute; };
    const double sure_s = std::min(up_to_minute_s(bound.turn.after_s), longest_s);
    const double earlier_s = up_to_minute_s(bound.turn.before_s);
    const bool is_earlier =
        earlier_s < sure_s && earlier_s > bound.turn.before_s && met(requirements.cured(run.bake(earlier_s).traces));
    return is_earlier ? earlier_s : sure_s;
}

namespace {

/// Estimates of a neighbour are good to a minute; after so many tries the range is halved in place of them.
constexpr int kEstimatesTried = 8;

double whole_minutes_s(double time_s) { return std::round(time_s / kSecondPerMinute) * kSecondPerMinute; }
double up_to_minute_s(double time_s) { return std::ceil(time_s / kSecondPerMinute - 1e-9) * kSecondPerMinute; }
double down_to_minute_s(double time_s) { return std::floor(time_s / kSecondPerMinute + 1e-9) * kSecondPerMinute; }

double halfway_s(double low_s, double high_s) { return down_to_minute_s(0.5 * (low_s + high_s)); }

}  // namespace

HoldChances hold_chances(const EnsemblePrediction& ensemble, double hold_s) {
    HoldChances made;
    made.exact_hold_s = hold_s;
    made.exact_chance = ensemble.chance;
    made.members.resize(ensemble.member_count, {0.0, kNever_s, 0, 0});
    for (const ZoneChances& zone : ensemble.zones) {
        if (!zone.coated) continue;
        const auto number = static_cast<std::uint32_t>(made.zones.size());
        made.zones.push_back(zone.zone);
        std::vector<double>& from_s = made.zone_cured_from_s.emplace_back();
        for (std::size_t i = 0; i < ensemble.member_count; ++i) {
            from_s.push_back(hold_s + zone.lacking_s[i]);
            if (from_s.back() <= made.members[i].cured_from_s) continue;
            made.members[i].cured_from_s = from_s.back();
            made.members[i].last_zone = number;
        }
    }
    for (const SubjectChances& subject : ensemble.subjects) {
        const auto number = static_cast<std::uint32_t>(made.subjects.size());
        made.subjects.push_back(subject.subject);
        for (std::size_t i = 0; i < ensemble.member_count; ++i) {
            const double until_s = hold_s + subject.spare_s[i];
            if (until_s >= made.members[i].spared_until_s) continue;
            made.members[i].spared_until_s = until_s;
            made.members[i].first_hot = number;
        }
    }
    return made;
}

const HoldChances& SureHolds::at(double hold_s) {
    const long minutes = std::lround(hold_s / kSecondPerMinute);
    const auto known = asked_.find(minutes);
    if (known != asked_.end()) return known->second;
    const double asked_s = static_cast<double>(minutes) * kSecondPerMinute;
    return asked_.emplace(minutes, hold_chances(run_.ensemble(run_.cycle(asked_s), confidence_), asked_s)).first->second;
}

std::optional<double> SureHolds::shortest_s(double guess_s, double until_s) {
    const double shortest_s = up_to_minute_s(run_.model().options().shortest_hold_s), longest_s = down_to_minute_s(until_s);
    if (longest_s < shortest_s) return std::nullopt;
    double low_s = shortest_s - kSecondPerMinute, high_s = kNever_s,
           here_s = std::clamp(whole_minutes_s(guess_s), shortest_s, longest_s);
    for (int tries = 0; high_s - low_s > 1.5 * kSecondPerMinute; ++tries) {
        const HoldChances& here = at(here_s);
        const bool is_enough = is_sure(here_s);
        (is_enough ? high_s : low_s) = here_s;
        const auto estimate_s = here.shortest_s(confidence_.level, low_s, longest_s);
        if (!std::isfinite(high_s)) {
            // What has had too much gets more with every minute; what never came into the window may with a longer hold.
            const bool is_hopeless = here.spared(here_s) < confidence_.level;
            if (low_s >= longest_s || (!estimate_s && is_hopeless)) return std::nullopt;
            const double next_s = estimate_s ? up_to_minute_s(*estimate_s) : 2.0 * here_s;
            here_s = std::clamp(next_s, low_s + kSecondPerMinute, longest_s);
        } else {
            const bool trusts = estimate_s && tries < kEstimatesTried;
            here_s = std::clamp(trusts ? up_to_minute_s(*estimate_s) : halfway_s(low_s, high_s), low_s + kSecondPerMinute,
                                std::max(high_s - kSecondPerMinute, low_s + kSecondPerMinute));
        }
    }
    return high_s;
}

double SureHolds::longest_s(double from_s, double until_s) {
    double low_s = from_s, high_s = std::max(down_to_minute_s(until_s), from_s);
    if (high_s == low_s || is_sure(high_s)) return high_s;
    for (int tries = 0; high_s - low_s > 1.5 * kSecondPerMinute; ++tries) {
        const auto estimate_s = at(high_s).longest_s(confidence_.level, low_s, high_s);
        const bool trusts = estimate_s && tries < kEstimatesTried;
        const double here_s = std::clamp(trusts ? down_to_minute_s(*estimate_s) : halfway_s(low_s, high_s),
                                         low_s + kSecondPerMinute, high_s - kSecondPerMinute);
        (is_sure(here_s) ? low_s : high_s) = here_s;
    }
    return low_s;
}

}  // namespace bakewright::plan
