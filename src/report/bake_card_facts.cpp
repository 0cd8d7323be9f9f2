// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/required_time.hpp"
#include "bakewright/report/bake_card.hpp"
#include "bakewright/report/places_text.hpp"
#include "card_zones.hpp"

namespace bakewright::report {
namespace {

std::string reading_at(const Trace& trace, double time_s, const Units& units) {
    const double temperature_k = temperature_at_k(trace, time_s);
    return temperature_k == temperature_k ? format_temperature(temperature_k, units, 0) : std::string();
}

std::string readings_at(const BakeCard& card, const cure::ZoneVerdict* slowest, double time_s) {
    std::string text;
    if (const Trace* air = card.predicted.first(TraceRole::booth_air)) text = "air " + reading_at(*air, time_s, card.units);
    const Trace* zone = slowest == nullptr ? nullptr : card.predicted.find(slowest->zone);
    if (zone != nullptr) text += (text.empty() ? "" : ", ") + zone->name + " " + reading_at(*zone, time_s, card.units);
    return text;
}

double heat_on_s(const BakeCard& card) {
    for (const bake::ResolvedStage& stage : card.stages)
        if (stage.end_k > stage.begin_k) return stage.begin_s;
    return card.verdict.heat_on_s.value_or(0.0);
}

/// The coated or bare part that is last to come under a temperature, and when; nothing where it stays over it to the end.
struct LastCool {
    std::string zone;
    std::optional<double> at_s;
};

std::optional<double> cool_since_s(const Trace& trace, double below_k) {
    const std::vector<cure::Stay> stays = cure::stays_at_or_above(trace, below_k);
    if (stays.empty()) return trace.time_s.front();
    if (trace.temperature_k.back() >= below_k) return std::nullopt;
    return stays.back().until_s;
}

LastCool last_cool(const BakeCard& card) {
    LastCool last{{}, -1.0};
    for (const Trace& trace : card.predicted.traces) {
        if (trace.role != TraceRole::zone || trace.size() == 0) continue;
        const std::optional<double> since_s = cool_since_s(trace, card.handling_k);
        if (last.at_s && (!since_s || *since_s > *last.at_s)) last = {trace.name, since_s};
    }
    return last;
}

}  // namespace

const bake::ResolvedStage* last_hold(const BakeCard& card) {
    const bake::ResolvedStage* found = nullptr;
    for (const bake::ResolvedStage& stage : card.stages)
        if (stage.kind == bake::StageKind::hold) found = &stage;
    return found;
}

const cure::ZoneVerdict* slowest_zone(const BakeCard& card) {
    const cure::ZoneVerdict* slowest = nullptr;
    for (const cure::ZoneVerdict& zone : card.verdict.zones) {
        if (zone.role != TraceRole::zone || zone.word == cure::Word::not_judged) continue;
        if (slowest == nullptr || zone.dose.at_value < slowest->dose.at_value) slowest = &zone;
    }
    return slowest;
}

std::optional<double> clock_starts_s(const BakeCard& card) {
    const cure::ZoneVerdict* slowest = slowest_zone(card);
    const Trace* trace = slowest == nullptr ? nullptr : card.predicted.find(slowest->zone);
    if (trace == nullptr) return std::nullopt;
    const cure::StayReading stay = cure::stay_at_or_above(*trace, slowest->reference_temperature_k);
    if (stay.longest_s > 0.0) return stay.longest_from_s;
    return stay.first_up_s;
}

std::vector<CardCheck> card_checks(const BakeCard& card) {
    const cure::ZoneVerdict* slowest = slowest_zone(card);
    std::vector<CardCheck> checks;
    const double on_s = heat_on_s(card);
    checks.push_back({on_s, "purged, burner lit, air rising", {}});
    if (card.coating.largest_heating_rate_k_per_s)
        checks.push_back({on_s + 600.0, "no face rises faster than the sheet allows",
                          "at most " + format_heating_rate(*card.coating.largest_heating_rate_k_per_s, card.units, 1)});
    if (const std::optional<double> starts_s = clock_starts_s(card))
        checks.push_back({*starts_s, "slowest zone is at its schedule: the clock starts", readings_at(card, slowest, *starts_s)});
    if (const bake::ResolvedStage* hold = last_hold(card)) {
        const double middle_s = 0.5 * (hold->begin_s + hold->end_s);
        checks.push_back({middle_s, "middle of the hold", readings_at(card, slowest, middle_s)});
        checks.push_back({hold->end_s, "end of the hold: heat off only if the slowest zone has had its minutes",
                          readings_at(card, slowest, hold->end_s)});
    }
    const LastCool cool = last_cool(card);
    const std::string limit = format_temperature(card.handling_k, card.units, 0);
    if (cool.at_s && *cool.at_s > 0.0)
        checks.push_back({*cool.at_s, "hot surfaces: " + cool.zone + " is the last under " + limit, "under " + limit + ": test"});
    std::stable_sort(checks.begin(), checks.end(),
                     [](const CardCheck& one, const CardCheck& other) { return one.at_s < other.at_s; });
    return checks;
}

std::string hot_surface_sentence(const BakeCard& card) {
    const std::string limit = format_temperature(card.handling_k, card.units, 0);
    const LastCool cool = last_cool(card);
    if (cool.zone.empty()) return "Hot surfaces: nobody knows when the last is below " + limit + ". Test before you touch.";
    if (cool.at_s)
        return fmt::format("Hot surfaces: {} is the last estimated below {}, at {}. Test before you touch.", cool.zone, limit,
                           time_on_card(card, *cool.at_s));
    const Trace& trace = *card.predicted.find(cool.zone);
    return fmt::format("Hot surfaces: {} is still at {} at {}, the end of what is estimated. Test before you touch.", cool.zone,
                       format_temperature(trace.temperature_k.back(), card.units, 0), time_on_card(card, trace.time_s.back()));
}

std::vector<std::string> card_probes(const BakeCard& card) {
    std::vector<std::string> places;
    for (const plan::ProbePlace& place : card.probe_places) places.push_back(place_words(place));
    return places;
}

std::vector<std::string> card_stops(const BakeCard& card) {
    std::vector<std::string> stops;
    std::optional<double> lowest_k;
    std::string names;
    for (const cure::HeatSensitiveItem& item : card.items)
        for (const cure::ExposureLimit& limit : item.limits) {
            if (limit.allowed_s > 0.0 || limit.kind != cure::LimitKind::never) continue;
            names = !lowest_k || limit.temperature_k < *lowest_k ? item.name
                    : limit.temperature_k == *lowest_k           ? names + ", " + item.name
                                                                 : names;
            lowest_k = std::min(lowest_k.value_or(limit.temperature_k), limit.temperature_k);
        }
    if (lowest_k) stops.push_back(fmt::format("{} reads {} or more", names, format_temperature(*lowest_k, card.units, 0)));
    if (card.coating.absolute_maximum_k)
        stops.push_back("any coated face reads more than " + format_temperature(*card.coating.absolute_maximum_k, card.units, 0));
    stops.emplace_back("the burner trips: write down the time, shut the doors, purge before it may light again");
    stops.emplace_back("smoke, a strong smell, a bang, a probe that stops: heat off, nobody goes in, call");
    return stops;
}

}  // namespace bakewright::report
