// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/shell.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cold_places.hpp"
#include "bakewright/base/fields.hpp"
#include "learned_rules.hpp"

namespace bakewright::bake {
namespace {

/// More parts than a shell is ever drawn with; each costs a step of the solver its share.
constexpr std::size_t kMostZones = 400;
constexpr std::size_t kMostParts = 1000;  // links, cavities, items
constexpr std::size_t kMostLayers = 20;

/// A body that would follow another within less than this [s] is a slip of unit.
constexpr double kShortestFollowingS = 1e-6;

double layer_j_per_m2_k(const Layer& layer) {
    if (layer.kind == Layer::Kind::air_gap) return 0.0;
    return layer.thickness_m * layer.material.density_kg_per_m3 * layer.material.specific_heat_j_per_kg_k;
}

double zone_j_per_k(const Zone& zone) {
    double sum_j_per_m2_k = 0.0;
    for (const Layer& layer : zone.layers) sum_j_per_m2_k += layer_j_per_m2_k(layer);
    return sum_j_per_m2_k * zone.area_m2;
}

/// A conductance to a body that would follow at once.
void check_following(FieldCheck& check, const std::string& key, double conductance_w_per_k, double heat_capacity_j_per_k,
                     const std::string& what) {
    if (!(heat_capacity_j_per_k > 0.0) || conductance_w_per_k * kShortestFollowingS <= heat_capacity_j_per_k) return;
    check.add(key, fmt::format("is {:g} W/K: {} of {:.3g} J/K would follow within {:.2g} s; accepted for it is up to {:.3g} W/K",
                               conductance_w_per_k, what, heat_capacity_j_per_k, heat_capacity_j_per_k / conductance_w_per_k,
                               heat_capacity_j_per_k / kShortestFollowingS));
}

/// A resistance between layers so small that the lighter one would follow at once.
void check_contact(FieldCheck& check, const std::string& key, const Layer& layer, const Layer& next) {
    const double resistance = layer.contact_resistance_m2_k_per_w;
    const double lighter_j_per_m2_k = std::min(layer_j_per_m2_k(layer), layer_j_per_m2_k(next));
    if (!(resistance > 0.0) || !(lighter_j_per_m2_k > 0.0) || resistance * lighter_j_per_m2_k >= kShortestFollowingS) return;
    check.add(
        key,
        fmt::format("is {:g} m2K/W: the lighter of its two layers, of {:.2g} J/m2K, would follow within {:.2g} s; accepted "
                    "between them is {:.2g} m2K/W or more, or 0",
                    resistance, lighter_j_per_m2_k, resistance * lighter_j_per_m2_k, kShortestFollowingS / lighter_j_per_m2_k));
}

std::string indexed(const char* table, std::size_t index) { return fmt::format("{}[{}]", table, index); }

void check_layers(FieldCheck& check, const std::string& prefix, const std::vector<Layer>& layers) {
    if (layers.empty()) {
        check.add(prefix + ".layers", "is empty: a zone has at least one layer, outside first");
        return;
    }
    if (layers.size() > kMostLayers)
        check.add(prefix + ".layers", fmt::format("has {} layers, accepted are up to {}", layers.size(), kMostLayers));
    for (std::size_t i = 0; i < layers.size(); ++i) {
        const std::string key = prefix + "." + indexed("layers", i);
        const Layer& layer = layers[i];
        const bool gap = layer.kind == Layer::Kind::air_gap;
        const bool outermost = i == 0 || i + 1 == layers.size();
        if (gap && outermost) check.add(key + ".gap", "is at the face of the stack: an air gap lies between two solid layers");
        if (gap && !outermost && layers[i + 1].kind == Layer::Kind::air_gap)
            check.add(key + ".gap", "is followed by another gap: join the two");
        if (i + 1 < layers.size()) check_contact(check, key + ".contact_resistance", layer, layers[i + 1]);
    }
}

class ShellCheck {
public:
    explicit ShellCheck(const Shell& shell) : shell_(shell) {
        for (const Zone& zone : shell.zones) zones_.insert(zone.name);
        for (const Cavity& cavity : shell.cavities) cavities_.insert(cavity.name);
    }

    std::vector<Problem> run() {
        check_.check(shell_);
        if (shell_.zones.empty()) check_.add("zone", "is missing: a shell has at least one [[zone]]");
        check_count("zone", shell_.zones.size(), kMostZones);
        check_count("link", shell_.links.size(), kMostParts);
        check_count("cavity", shell_.cavities.size(), kMostParts);
        check_count("item", shell_.items.size(), kMostParts);
        for (std::size_t i = 0; i < shell_.zones.size(); ++i) check_zone(shell_.zones[i], indexed("zone", i));
        for (std::size_t i = 0; i < shell_.links.size(); ++i) check_link(shell_.links[i], indexed("link", i));
        for (std::size_t i = 0; i < shell_.cavities.size(); ++i) check_cavity(shell_.cavities[i], indexed("cavity", i));
        for (std::size_t i = 0; i < shell_.items.size(); ++i) check_item(shell_.items[i], indexed("item", i));
        check_learned(check_, shell_.learned, false);
        return check_.take();
    }

private:
    void check_count(const char* key, std::size_t count, std::size_t most) {
        if (count > most) check_.add(key, fmt::format("stands {} times, accepted are up to {}", count, most));
    }
    void check_name(const std::string& key, const std::string& name) {
        if (name.empty())
            check_.add(key + ".name", "is empty: give it a name");
        else if (!names_.insert(name).second)
            check_.add(key + ".name", fmt::format("'{}' stands twice: zones, cavities and items have names of their own", name));
    }
    void check_known(const std::string& key, const std::set<std::string>& known, const std::string& name, const char* what) {
        if (known.contains(name)) return;
        const std::vector<std::string> all(known.begin(), known.end());
        check_.add(key, fmt::format("'{}' is no {} of this shell{}", name, what, did_you_mean(name, all)));
    }
    void check_face(const std::string& key, const Face& face) {
        if (face.view == FaceView::cavity) check_known(key + ".cavity", cavities_, face.cavity, "cavity");
    }
    void check_places(const std::string& prefix, const std::vector<DrawnPlace>& places) {
        for (std::size_t i = 0; i < places.size(); ++i) {
            const std::string key = prefix + "." + indexed("places", i);
            const DrawnPlace& place = places[i];
            check_.require(!(place.to <= place.from), key + ".to", place.to, unit::none, "more than from");
            check_.require(!(place.high <= place.low), key + ".high", place.high, unit::none, "more than low");
        }
    }
    void check_zone(const Zone& zone, const std::string& key) {
        check_name(key, zone.name);
        check_layers(check_, key, zone.layers);
        check_face(key + ".outer", zone.outer);
        check_face(key + ".inner", zone.inner);
        check_limits(key + ".", "limit_source", zone.limits, zone.limit_source);
        check_places(key, zone.places);
        const bool warmed = zone.outer.view != FaceView::nothing || zone.inner.view != FaceView::nothing || linked(zone.name);
        if (!warmed)
            check_.add(key + ".outer", "looks at nothing, like the inner face, and no link joins the zone: no heat can reach it");
    }
    [[nodiscard]] bool linked(const std::string& zone) const {
        return std::any_of(shell_.links.begin(), shell_.links.end(),
                           [&](const Link& link) { return link.from == zone || link.to == zone; });
    }
    void check_link(const Link& link, const std::string& key) {
        check_known(key + ".from", zones_, link.from, "zone");
        check_known(key + ".to", zones_, link.to, "zone");
        if (link.from == link.to) check_.add(key + ".to", fmt::format("links zone '{}' to itself: name two zones", link.to));
        for (const std::string* name : {&link.from, &link.to})
            if (const Zone* zone = shell_.find_zone(*name))
                check_following(check_, key + ".conductance", link.conductance_w_per_k, zone_j_per_k(*zone),
                                fmt::format("zone '{}'", *name));
    }
    void check_cavity(const Cavity& cavity, const std::string& key) {
        check_name(key, cavity.name);
        if (cavity.contents_heat_capacity_j_per_k > 0.0) {
            check_following(check_, key + ".contents_conductance", cavity.contents_conductance_w_per_k,
                            cavity.contents_heat_capacity_j_per_k, "contents");
            check_following(check_, key + ".contents_conductance", cavity.contents_conductance_w_per_k,
                            kAirHeatCapacityJPerM3K * cavity.volume_m3, "air");
        }
        check_limits(key + ".contents_", "limit_source", cavity.contents_limits, cavity.contents_limit_source);
    }
    /// What somebody says is worth no more than the record of who said it.
    void check_limits(const std::string& prefix, const char* source_key, const thermal::HeatLimits& limits,
                      const std::string& source) {
        thermal::check_limits(check_, limits, prefix);
        if (limits != thermal::HeatLimits{} && source.empty())
            check_.add(prefix + source_key, "is missing: say who stated warn and never, and when");
    }
    void check_item(const Item& item, const std::string& key) {
        check_name(key, item.name);
        check_following(check_, key + ".conductance", item.conductance_w_per_k, item.heat_capacity_j_per_k, "an item");
        if (item.place == Item::Place::zone) check_known(key + ".zone", zones_, item.where, "zone");
        if (item.place == Item::Place::cavity) check_known(key + ".cavity", cavities_, item.where, "cavity");
        check_place_follows(item, key + ".conductance");
        if (!item.instead_of.empty()) check_instead_of(item, key + ".instead_of");
    }

    /// What an item is fixed to, or the air round it, follows the item as the item follows it.
    void check_place_follows(const Item& item, const std::string& key) {
        const Zone* zone = item.place == Item::Place::zone ? shell_.find_zone(item.where) : nullptr;
        if (zone != nullptr)
            check_following(check_, key, item.conductance_w_per_k, zone_j_per_k(*zone), fmt::format("zone '{}'", zone->name));
        for (const Cavity& cavity : shell_.cavities)
            if (item.place == Item::Place::cavity && cavity.name == item.where)
                check_following(check_, key, item.conductance_w_per_k, kAirHeatCapacityJPerM3K * cavity.volume_m3,
                                "the air round it");
    }

    void check_instead_of(const Item& item, const std::string& key) {
        const Zone* zone = item.place == Item::Place::zone ? shell_.find_zone(item.where) : nullptr;
        if (zone == nullptr) return check_.add(key, "is of an item at no zone: it names a material of the zone it is fixed to");
        std::set<std::string> materials;
        for (const Layer& layer : zone->layers)
            if (layer.kind == Layer::Kind::solid) materials.insert(layer.material.id);
        check_known(key, materials, item.instead_of, "material of its zone");
    }

    const Shell& shell_;
    FieldCheck check_;
    std::set<std::string> zones_, cavities_, names_;
};

}  // namespace

const Zone* Shell::find_zone(const std::string& name) const noexcept {
    const auto found = std::find_if(zones.begin(), zones.end(), [&](const Zone& zone) { return zone.name == name; });
    return found == zones.end() ? nullptr : &*found;
}

std::vector<std::string> Shell::coated_zone_names() const {
    std::vector<std::string> names;
    for (const Zone& zone : zones)
        if (zone.coated) names.push_back(zone.name);
    return names;
}

std::vector<std::string> Shell::coated_place_names() const {
    std::vector<std::string> names = coated_zone_names();
    for (const ColdPlace& place : cold_places(*this)) names.push_back(place.name);
    return names;
}

std::vector<Problem> problems_in(const Shell& shell) { return ShellCheck(shell).run(); }

}  // namespace bakewright::bake
