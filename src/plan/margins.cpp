// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/margins.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

#include "bakewright/cure/dose.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/rule.hpp"

namespace bakewright::plan {
namespace {

using cure::JoinedTrace;

Trace shifted(const Trace& trace, double by_k) {
    Trace moved = trace;
    for (double& temperature_k : moved.temperature_k) temperature_k += by_k;
    return moved;
}

double cure_margin_k(const Trace& schedule, const cure::CoatingCurves& curves) {
    const JoinedTrace joined(schedule);
    return cure::cure_slack_k(cure::StayTrace(joined), curves.window, kWidestMarginK);
}

/// @param had  over-bake dose before
std::optional<double> too_much_margin_k(const Trace& schedule, const Trace& face, const cure::CoatingCurves& curves,
                                        double had = 0.0) {
    std::optional<double> least_k;
    if (curves.coating.absolute_maximum_k) least_k = *curves.coating.absolute_maximum_k - cure::peak(face)->temperature_k;
    if (curves.maximum) {
        const double over_k = cure::slack_k(
            [&](double hotter_k) {
                return 1.0 - had - cure::dose_band(shifted(schedule, hotter_k), *curves.maximum).dose.most();
            },
            kWidestMarginK);
        least_k = std::min(least_k.value_or(HUGE_VAL), over_k);
    }
    return least_k;
}

double limit_margin_k(const JoinedTrace& trace, const cure::ExposureLimit& limit, double had_s) {
    if (limit.allowed_s == 0.0) return limit.temperature_k - cure::peak(trace)->temperature_k;
    return cure::slack_k([&](double hotter_k) { return cure::limit_slack_s(trace, limit, hotter_k, had_s); }, kWidestMarginK);
}

double item_margin_k(const Trace& trace, const cure::HeatSensitiveItem& item, const ItemSoFar* had) {
    const JoinedTrace joined(trace);
    double least_k = kWidestMarginK;
    for (std::size_t i = 0; i < item.limits.size(); ++i)
        if (cure::changes_word(item.limits[i]))
            least_k = std::min(least_k, limit_margin_k(joined, item.limits[i], had == nullptr ? 0.0 : had->exposed_s.at(i)));
    return least_k;
}

const Trace* schedule_trace(const TraceSet& traces, const cure::Coating& coating, const Trace* face) {
    return coating.basis == cure::ScheduleBasis::booth_air ? traces.first(TraceRole::booth_air) : face;
}

void add_coats(Margins& made, const TraceSet& traces, const SoFar& so_far) {
    for (const CoatSoFar& coat : so_far.coats) {
        const Trace* face = traces.find(coat.zone);
        const Trace* schedule = schedule_trace(traces, *coat.coating, face);
        if (face == nullptr || schedule == nullptr) continue;
        const cure::CoatingCurves curves(*coat.coating);
        if (const auto spare_k = too_much_margin_k(*schedule, *face, curves, coat.over_bake_dose.most()))
            made.coats.push_back({coat.coat, coat.zone, *spare_k});
    }
}

}  // namespace

double Margins::smallest_k() const noexcept {
    double least_k = kWidestMarginK;
    for (const ZoneMargin& zone : zones) least_k = std::min({least_k, zone.cure_k, zone.too_much_k.value_or(kWidestMarginK)});
    for (const ItemMargin& item : items) least_k = std::min(least_k, item.spare_k);
    for (const CoatMargin& coat : coats) least_k = std::min(least_k, coat.spare_k);
    return least_k;
}

std::string Margins::smallest_of() const {
    const double least_k = smallest_k();
    for (const ZoneMargin& zone : zones)
        if (std::min(zone.cure_k, zone.too_much_k.value_or(kWidestMarginK)) == least_k) return zone.zone;
    for (const ItemMargin& item : items)
        if (item.spare_k == least_k) return item.item;
    for (const CoatMargin& coat : coats)
        if (coat.spare_k == least_k) return coat.coat + " on " + coat.zone;
    return {};
}

Margins margins(const TraceSet& traces, const cure::Coating& coating, const std::vector<cure::HeatSensitiveItem>& items,
                const std::vector<std::string>& zones, const SoFar* so_far) {
    const cure::CoatingCurves curves(coating);
    Margins made;
    for (const std::string& zone : zones) {
        const Trace* face = traces.find(zone);
        if (face == nullptr) continue;
        const Trace* schedule = schedule_trace(traces, coating, face);
        if (schedule == nullptr) continue;
        made.zones.push_back({zone, cure_margin_k(*schedule, curves), too_much_margin_k(*schedule, *face, curves)});
    }
    for (const cure::HeatSensitiveItem& item : items)
        if (const Trace* trace = traces.find(item.name))
            made.items.push_back(
                {item.name, item_margin_k(*trace, item, so_far == nullptr ? nullptr : so_far->find_item(item.name))});
    if (so_far != nullptr) add_coats(made, traces, *so_far);
    return made;
}

namespace {

enum class Stuff { metal, laminate, other };

Stuff stuff_of(const bake::Shell& shell, const std::string& name, bake::Link::Side side) {
    const bake::Zone* zone = shell.find_zone(name);
    if (zone == nullptr || zone->layers.empty()) return Stuff::other;
    const bake::Layer& face = side == bake::Link::Side::outer ? zone->layers.front() : zone->layers.back();
    if (face.kind != bake::Layer::Kind::solid) return Stuff::other;
    if (thermal::is_metal(face.material)) return Stuff::metal;
    const double density = face.material.density_kg_per_m3;
    return density >= kLightestLaminate && density <= kHeaviestLaminate ? Stuff::laminate : Stuff::other;
}

std::optional<BondedPair> pair_of(const bake::Shell& shell, const bake::Link& link) {
    const Stuff from = stuff_of(shell, link.from, link.from_side), to = stuff_of(shell, link.to, link.to_side);
    const bool by_material = (from == Stuff::metal && to == Stuff::laminate) || (from == Stuff::laminate && to == Stuff::metal);
    if (!link.bonded.value_or(by_material)) return std::nullopt;
    const bool from_is_metal = from == Stuff::metal || to != Stuff::metal;
    return from_is_metal ? BondedPair{link.from, link.to} : BondedPair{link.to, link.from};
}

void take_larger(std::optional<LargestDifference>& largest, const Trace& metal, const Trace& laminate, const BondedPair& pair) {
    const bool one_grid = metal.time_s.size() == laminate.time_s.size();
    for (std::size_t i = 0; i < metal.size(); ++i) {
        const double other_k = one_grid && laminate.time_s[i] == metal.time_s[i] ? laminate.temperature_k[i]
                                                                                 : temperature_at_k(laminate, metal.time_s[i]);
        const double difference_k = metal.temperature_k[i] - other_k;
        if (std::isfinite(difference_k) && (!largest || std::abs(difference_k) > largest->size_k()))
            largest = LargestDifference{pair, difference_k, metal.time_s[i]};
    }
}

}  // namespace

double LargestDifference::size_k() const noexcept { return std::abs(metal_less_laminate_k); }

std::vector<BondedPair> bonded_pairs(const bake::Shell& shell) {
    std::vector<BondedPair> pairs;
    for (const bake::Link& link : shell.links)
        if (const std::optional<BondedPair> pair = pair_of(shell, link)) pairs.push_back(*pair);
    return pairs;
}

std::optional<LargestDifference> largest_difference(const TraceSet& traces, const std::vector<BondedPair>& pairs) {
    std::optional<LargestDifference> largest;
    for (const BondedPair& pair : pairs) {
        const Trace *metal = traces.find(pair.metal), *laminate = traces.find(pair.laminate);
        if (metal != nullptr && laminate != nullptr) take_larger(largest, *metal, *laminate, pair);
    }
    return largest;
}

}  // namespace bakewright::plan
