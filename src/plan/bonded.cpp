#include "bakewright/plan/bonded.hpp"

#include <cmath>

namespace bakewright::plan {
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
