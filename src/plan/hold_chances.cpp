#include "hold_chances.hpp"

#include <algorithm>
#include <cmath>

#include "ensemble_readings.hpp"

namespace bakewright::plan {
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
