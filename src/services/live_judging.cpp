// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/live_judging.hpp"

#include <algorithm>
#include <cmath>
#include <span>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/confidence.hpp"
#include "bakewright/cure/rule.hpp"
#include "bakewright/cure/stay.hpp"
#include "bakewright/thermal/ensemble.hpp"

namespace bakewright::services {
namespace {

/// The member as a set of traces, of what judging looks at.
TraceSet traces_of(const tune::ForecastTraces& traces, const std::vector<std::size_t>& places, std::size_t member) {
    TraceSet set;
    for (const std::size_t place : places) {
        const std::span<const float> course = traces.of(place, member);
        set.traces.push_back(
            {traces.names[place], traces.roles[place], traces.time_s, std::vector<double>(course.begin(), course.end()), {}});
    }
    return set;
}

std::vector<std::size_t> judged_places(const tune::ForecastTraces& traces, const LiveSheet& sheet) {
    std::vector<std::size_t> places;
    const auto add = [&](const std::optional<std::size_t>& place) {
        if (place && std::find(places.begin(), places.end(), *place) == places.end()) places.push_back(*place);
    };
    add(air_of(traces));
    for (const std::string& zone : sheet.coated) add(place_of(traces, zone));
    for (const cure::HeatSensitiveItem& item : sheet.items) add(place_of(traces, item.name));
    return places;
}

JudgedMember judged_member(const TraceSet& traces, const LiveSheet& sheet) {
    const cure::BakeCourse course = cure::bake_course(traces, sheet.coating, sheet.items, sheet.coated);
    JudgedMember member;
    for (const std::string& zone : sheet.coated) {
        const auto at = std::find_if(course.zones.begin(), course.zones.end(), [&](const auto& one) { return one.zone == zone; });
        const bool is_there = at != course.zones.end();
        member.good_s.push_back(is_there ? at->cured_from_s.value_or(kNeverS) : kNeverS);
        member.over_s.push_back(is_there ? at->past_maximum_from_s.value_or(kNeverS) : kNeverS);
    }
    for (const cure::HeatSensitiveItem& item : sheet.items) {
        const auto at =
            std::find_if(course.items.begin(), course.items.end(), [&](const auto& one) { return one.item == item.name; });
        member.passed_s.push_back(at != course.items.end() ? at->passed_at_s.value_or(kNeverS) : kNeverS);
    }
    return member;
}

}  // namespace

std::optional<std::size_t> place_of(const tune::ForecastTraces& traces, const std::string& name) {
    const auto at = std::find(traces.names.begin(), traces.names.end(), name);
    if (at == traces.names.end()) return std::nullopt;
    return static_cast<std::size_t>(at - traces.names.begin());
}
std::optional<std::size_t> air_of(const tune::ForecastTraces& traces) {
    const auto at = std::find(traces.roles.begin(), traces.roles.end(), TraceRole::booth_air);
    if (at == traces.roles.end()) return std::nullopt;
    return static_cast<std::size_t>(at - traces.roles.begin());
}

std::size_t judged_place(const tune::ForecastTraces& traces, const LiveSheet& sheet, std::size_t zone) {
    const auto air = sheet.coating.basis == cure::ScheduleBasis::booth_air ? air_of(traces) : std::nullopt;
    const auto place = air ? air : place_of(traces, sheet.coated[zone]);
    ensure(place.has_value(), "a coated zone that is followed is one of the places");
    return *place;
}

report::LiveBand band_of(std::vector<double> values) {
    return {thermal::quantile(values, kBandLow), thermal::quantile(values, 0.5), thermal::quantile(values, kBandHigh)};
}
report::LiveMoment moment_of(const std::vector<double>& moments_s) {
    return {moment_quantile(moments_s, kBandLow), moment_quantile(moments_s, 0.5), moment_quantile(moments_s, kBandHigh)};
}

report::LiveBand band_at(const tune::ForecastTraces& traces, std::size_t place, double time_s) {
    const double at = (time_s - traces.time_s.front()) / (traces.time_s[1] - traces.time_s[0]);
    const std::size_t below = std::min(static_cast<std::size_t>(at), traces.time_s.size() - 2);
    const double share = std::min(1.0, at - static_cast<double>(below));
    std::vector<double> kelvin;
    for (std::size_t m = 0; m < traces.member_count; ++m) {
        const std::span<const float> course = traces.of(place, m);
        const double low = course[below], high = course[below + 1];
        kelvin.push_back(low + share * (high - low));
    }
    return band_of(std::move(kelvin));
}

report::LiveLimit limit_of(std::string what, double temperature_k, const std::vector<double>& passed_s) {
    report::LiveLimit limit{std::move(what), temperature_k, 0.0, {}, {}};
    const auto passing = std::count_if(passed_s.begin(), passed_s.end(), [](double s) { return s < kNeverS; });
    limit.chance = static_cast<double>(passing) / static_cast<double>(passed_s.size());
    limit.earliest_s = moment_quantile(passed_s, kBandLow);
    limit.likeliest_s = moment_quantile(passed_s, 0.5);
    return limit;
}

double sure_level(std::size_t members) {
    const auto n = static_cast<double>(members);
    return std::min(1.0, (cure::kSure * (n + 3.0) - 1.0) / n);
}

bool JudgedMember::is_good() const {
    const auto never = [](double moment_s) { return moment_s == kNeverS; };
    return all_good_s() < kNeverS && std::all_of(over_s.begin(), over_s.end(), never) &&
           std::all_of(passed_s.begin(), passed_s.end(), never);
}

double JudgedMember::all_good_s() const { return good_s.empty() ? kNeverS : *std::max_element(good_s.begin(), good_s.end()); }

std::vector<JudgedMember> judged_members(const tune::ForecastTraces& traces, const LiveSheet& sheet) {
    const std::vector<std::size_t> places = judged_places(traces, sheet);
    std::vector<JudgedMember> members;
    for (std::size_t m = 0; m < traces.member_count; ++m) members.push_back(judged_member(traces_of(traces, places, m), sheet));
    return members;
}

std::vector<double> cured_s(const tune::ForecastTraces& traces, std::size_t place, const cure::CureWindow& window) {
    std::vector<double> moments_s;
    for (std::size_t m = 0; m < traces.member_count; ++m) {
        const std::span<const float> course = traces.of(place, m);
        const std::vector<double> kelvin(course.begin(), course.end());
        moments_s.push_back(cure::read_window(cure::StayTrace(traces.time_s, kelvin), window).reached_s.value_or(kNeverS));
    }
    return moments_s;
}

std::vector<double> all_cured_s(const tune::ForecastTraces& traces, const LiveSheet& sheet) {
    const cure::CureWindow window(sheet.coating);
    std::vector<std::size_t> places;
    for (std::size_t zone = 0; zone < sheet.coated.size(); ++zone)
        if (const std::size_t place = judged_place(traces, sheet, zone);
            std::find(places.begin(), places.end(), place) == places.end())
            places.push_back(place);
    std::vector<double> moments_s(traces.member_count, places.empty() ? kNeverS : 0.0);
    for (const std::size_t place : places) {
        const std::vector<double> of_place = cured_s(traces, place, window);
        for (std::size_t m = 0; m < moments_s.size(); ++m) moments_s[m] = std::max(moments_s[m], of_place[m]);
    }
    return moments_s;
}

std::vector<double> passed_s(const tune::ForecastTraces& traces, std::size_t place, const cure::HeatSensitiveItem& item) {
    std::vector<double> moments_s;
    Trace trace{traces.names[place], traces.roles[place], traces.time_s, {}, {}};
    for (std::size_t m = 0; m < traces.member_count; ++m) {
        const std::span<const float> course = traces.of(place, m);
        trace.temperature_k.assign(course.begin(), course.end());
        moments_s.push_back(cure::item_course(trace, item).passed_at_s.value_or(kNeverS));
    }
    return moments_s;
}

std::vector<double> credits(const tune::ForecastTraces& traces, std::size_t place, double until_s,
                            const cure::CureWindow& window) {
    const auto count = static_cast<std::size_t>(std::upper_bound(traces.time_s.begin(), traces.time_s.end(), until_s + 1e-6) -
                                                traces.time_s.begin());
    const std::span<const double> time_s = std::span(traces.time_s).first(count);
    std::vector<double> shares;
    for (std::size_t m = 0; m < traces.member_count; ++m) {
        const std::span<const float> course = traces.of(place, m).first(count);
        const std::vector<double> kelvin(course.begin(), course.end());
        const cure::WindowReading reading = cure::read_window(cure::StayTrace(time_s, kelvin), window);
        shares.push_back(reading.is_cured() ? 1.0 : std::min(1.0, reading.credit));
    }
    return shares;
}

cure::WordProbabilities words_of_zone(const std::vector<JudgedMember>& members, std::size_t zone) {
    std::vector<cure::MemberChance> chances;
    for (const JudgedMember& member : members) {
        const double over = member.over_s[zone] < kNeverS ? 1.0 : 0.0;
        chances.push_back({member.good_s[zone] < kNeverS ? 1.0 - over : 0.0, over, 1.0});
    }
    return cure::ensemble_probabilities(chances);
}

cure::WordProbabilities words_of_item(const std::vector<JudgedMember>& members, std::size_t item) {
    std::vector<cure::MemberChance> chances;
    for (const JudgedMember& member : members) {
        const double over = member.passed_s[item] < kNeverS ? 1.0 : 0.0;
        chances.push_back({1.0 - over, over, 1.0});
    }
    return cure::ensemble_probabilities(chances);
}

double chance_of(const std::vector<JudgedMember>& members) {
    std::vector<cure::MemberChance> chances;
    for (const JudgedMember& member : members) chances.push_back({member.is_good() ? 1.0 : 0.0, 0.0, 1.0});
    return cure::ensemble_probabilities(chances).good;
}

std::optional<double> moment_quantile(std::vector<double> moments_s, double level) {
    if (moments_s.empty()) return std::nullopt;
    std::sort(moments_s.begin(), moments_s.end());
    // The next one up: where it is asked how late something may be, nothing that is later is left out.
    const auto at = static_cast<std::size_t>(std::ceil(level * static_cast<double>(moments_s.size() - 1) - 1e-9));
    return moments_s[at] < kNeverS ? std::optional(moments_s[at]) : std::nullopt;
}

}  // namespace bakewright::services
