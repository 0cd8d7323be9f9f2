// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/chances.hpp"

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"

namespace bakewright::plan {
namespace {

double laplace(std::size_t count, std::size_t of) { return (static_cast<double>(count) + 1.0) / (static_cast<double>(of) + 3.0); }

}  // namespace

void Confidence::check() const {
    std::vector<Problem> found;
    if (!(level >= 0.5 && level <= 0.999)) found.push_back({{}, 0, "confidence", "is out of range, accepted is 50 to 99.9 %"});
    if (!(member_count >= 40 && member_count <= 100000))
        found.push_back({{}, 0, "members", "is out of range, accepted is 40 to 100000"});
    else if (laplace(member_count, member_count) < level)
        found.push_back({{}, 0, "members", "are too few to be so sure; more members, or less confidence"});
    if (!found.empty()) throw InputError(std::move(found));
    uncertainty.check();
}

double HoldChances::good(double hold_s) const {
    return laplace(
        static_cast<std::size_t>(std::count_if(
            members.begin(), members.end(),
            [hold_s](const MemberHolds& member) { return member.cured_from_s <= hold_s && hold_s <= member.spared_until_s; })),
        members.size());
}

double HoldChances::cured(double hold_s) const {
    const auto cures = [hold_s](const MemberHolds& member) { return member.cured_from_s <= hold_s; };
    return laplace(static_cast<std::size_t>(std::count_if(members.begin(), members.end(), cures)), members.size());
}

double HoldChances::spared(double hold_s) const {
    const auto spares = [hold_s](const MemberHolds& member) { return hold_s <= member.spared_until_s; };
    return laplace(static_cast<std::size_t>(std::count_if(members.begin(), members.end(), spares)), members.size());
}

std::optional<double> HoldChances::shortest_s(double level, double from_s, double until_s) const {
    if (good(from_s) >= level) return from_s;
    // The chance only rises at a member's cured_from_s.
    std::vector<double> turns;
    for (const MemberHolds& member : members)
        if (member.cured_from_s > from_s && member.cured_from_s <= until_s) turns.push_back(member.cured_from_s);
    std::sort(turns.begin(), turns.end());
    const auto enough = std::find_if(turns.begin(), turns.end(), [&](double hold_s) { return good(hold_s) >= level; });
    return enough == turns.end() ? std::nullopt : std::optional(*enough);
}

std::optional<double> HoldChances::longest_s(double level, double from_s, double until_s) const {
    if (good(until_s) >= level) return until_s;
    // Towards shorter holds it only rises at a member's spared_until_s.
    std::vector<double> turns;
    for (const MemberHolds& member : members)
        if (member.spared_until_s >= from_s && member.spared_until_s < until_s) turns.push_back(member.spared_until_s);
    std::sort(turns.begin(), turns.end(), std::greater<>());
    const auto enough = std::find_if(turns.begin(), turns.end(), [&](double hold_s) { return good(hold_s) >= level; });
    return enough == turns.end() ? std::nullopt : std::optional(*enough);
}

double HoldChances::surest_s(double from_s, double until_s) const {
    double best_s = from_s, best = good(from_s);
    for (const MemberHolds& member : members) {
        if (!(member.cured_from_s > from_s && member.cured_from_s <= until_s)) continue;
        const double chance = good(member.cured_from_s);
        if (chance < best || (chance == best && member.cured_from_s > best_s)) continue;
        best = chance;
        best_s = member.cured_from_s;
    }
    return best_s;
}

std::optional<Phrase> HoldChances::likeliest_obstacle(double hold_s) const {
    std::vector<std::size_t> under(zones.size(), 0), hot(subjects.size(), 0);
    for (const MemberHolds& member : members) {
        if (member.cured_from_s > hold_s) ++under[member.last_zone];
        if (hold_s > member.spared_until_s) ++hot[member.first_hot];
    }
    const auto worst_zone = std::max_element(under.begin(), under.end());
    const auto worst_subject = std::max_element(hot.begin(), hot.end());
    const std::size_t zone_count = worst_zone == under.end() ? 0 : *worst_zone;
    const std::size_t subject_count = worst_subject == hot.end() ? 0 : *worst_subject;
    if (zone_count == 0 && subject_count == 0) return std::nullopt;
    if (zone_count >= subject_count) return Phrase::place(zones[static_cast<std::size_t>(worst_zone - under.begin())]);
    return subjects[static_cast<std::size_t>(worst_subject - hot.begin())];
}

}  // namespace bakewright::plan
