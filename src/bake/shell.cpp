#include "bakewright/bake/shell.hpp"

#include <algorithm>
#include <functional>
#include <set>

#include "range_check.hpp"

namespace bakewright::bake {
namespace {

std::string indexed(const char* table, std::size_t index) { return fmt::format("{}[{}]", table, index); }

void check_start(RangeCheck& check, const std::string& key, const std::optional<double>& start_k) {
    if (start_k) check.within(key, *start_k, celsius_to_kelvin(-40.0), celsius_to_kelvin(250.0), "-40 to 250 degC");
}

void check_material(RangeCheck& check, const std::string& key, const thermal::Material& material) {
    check.within(key + ".density", material.density_kg_per_m3, 1.0, 25e3, "1 to 25000 kg/m3");
    check.within(key + ".specific_heat", material.specific_heat_j_per_kg_k, 50.0, 10e3, "50 to 10000 J/kgK");
    check.within(key + ".conductivity", material.conductivity_w_per_m_k, 0.005, 2000.0, "0.005 to 2000 W/mK");
    check.within(key + ".emissivity", material.emissivity, 0.0, 1.0, "0 to 1");
}

void check_layers(RangeCheck& check, const std::string& prefix, const std::vector<Layer>& layers) {
    if (layers.empty()) {
        check.add(prefix + ".layers", "is empty: a zone has at least one layer, outside first");
        return;
    }
    for (std::size_t i = 0; i < layers.size(); ++i) {
        const std::string key = prefix + "." + indexed("layers", i);
        const Layer& layer = layers[i];
        const bool gap = layer.kind == Layer::Kind::air_gap;
        check.within(key + (gap ? ".gap" : ".thickness"), layer.thickness_m, 1e-6, 1.0, "1 um to 1 m");
        check.not_negative(key + ".contact_resistance", layer.contact_resistance_m2_k_per_w, "0 m2K/W or more");
        const bool outermost = i == 0 || i + 1 == layers.size();
        if (gap && outermost) check.add(key + ".gap", "is at the face of the stack: an air gap lies between two solid layers");
        if (gap && !outermost && layers[i + 1].kind == Layer::Kind::air_gap)
            check.add(key + ".gap", "is followed by another gap: join the two");
        if (!gap) check_material(check, key + ".material", layer.material);
    }
}

class ShellCheck {
public:
    explicit ShellCheck(const Shell& shell) : shell_(shell) {
        for (const Zone& zone : shell.zones) zones_.insert(zone.name);
        for (const Cavity& cavity : shell.cavities) cavities_.insert(cavity.name);
    }

    std::vector<Problem> run() {
        if (shell_.zones.empty()) check_.add("zone", "is missing: a shell has at least one [[zone]]");
        if (shell_.size) check_size(*shell_.size);
        for (std::size_t i = 0; i < shell_.zones.size(); ++i) check_zone(shell_.zones[i], indexed("zone", i));
        for (std::size_t i = 0; i < shell_.links.size(); ++i) check_link(shell_.links[i], indexed("link", i));
        for (std::size_t i = 0; i < shell_.cavities.size(); ++i) check_cavity(shell_.cavities[i], indexed("cavity", i));
        for (std::size_t i = 0; i < shell_.items.size(); ++i) check_item(shell_.items[i], indexed("item", i));
        std::vector<Problem> problems = check_.take();
        const std::vector<Problem> of_learned = problems_in(shell_.learned, false);
        problems.insert(problems.end(), of_learned.begin(), of_learned.end());
        return problems;
    }

private:
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
        check_.within(key + ".emissivity", face.emissivity, 0.0, 1.0, "0 to 1");
        if (face.film_w_per_m2_k) check_.within(key + ".film", *face.film_w_per_m2_k, 0.01, 1000.0, "0.01 to 1000 W/m2K");
        if (face.view == FaceView::cavity) check_known(key + ".cavity", cavities_, face.cavity, "cavity");
    }
    void check_places(const std::string& prefix, const std::vector<DrawnPlace>& places) {
        for (std::size_t i = 0; i < places.size(); ++i) {
            const std::string key = prefix + "." + indexed("places", i);
            const DrawnPlace& place = places[i];
            check_.within(key + ".from", place.from, 0.0, 1.0, "0 to 1, from the front to the rear");
            check_.within(key + ".low", place.low, 0.0, 1.0, "0 to 1, from the ground up");
            check_.within(key + ".to", place.to, 0.0, 1.0, "0 to 1");
            check_.within(key + ".high", place.high, 0.0, 1.0, "0 to 1");
            check_.require(!(place.to <= place.from), key + ".to", place.to, "more than from");
            check_.require(!(place.high <= place.low), key + ".high", place.high, "more than low");
        }
    }
    void check_size(const ShellSize& size) {
        for (const auto& [name, length_m] : {std::pair("size.length", size.length_m), std::pair("size.width", size.width_m),
                                             std::pair("size.height", size.height_m)})
            check_.within(name, length_m, 0.01, 100.0, "10 mm to 100 m");
    }
    void check_zone(const Zone& zone, const std::string& key) {
        check_name(key, zone.name);
        check_.positive(key + ".area", zone.area_m2, "an area above 0 m2");
        check_.within(key + ".height", zone.height_m, 0.0, 30.0, "0 to 30 m");
        check_.within(key + ".length", zone.length_m, 0.001, 100.0, "1 mm to 100 m");
        check_.within(key + ".infrared_absorptance", zone.infrared_absorptance, 0.0, 1.0, "0 to 1");
        check_layers(check_, key, zone.layers);
        check_face(key + ".outer", zone.outer);
        check_face(key + ".inner", zone.inner);
        check_start(check_, key + ".start", zone.start_temperature_k);
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
        check_.within(key + ".conductance", link.conductance_w_per_k, 1e-6, 1e6, "1e-6 to 1e6 W/K");
    }
    void check_cavity(const Cavity& cavity, const std::string& key) {
        check_name(key, cavity.name);
        check_.within(key + ".volume", cavity.volume_m3, 1e-5, 1e4, "0.01 l to 10000 m3");
        check_.within(key + ".leakage", cavity.leakage_per_s, 0.0, 1.0, "0 to 3600 per h");
        check_.not_negative(key + ".contents", cavity.contents_heat_capacity_j_per_k, "0 J/K or more");
        if (cavity.contents_heat_capacity_j_per_k > 0.0)
            check_.positive(key + ".contents_conductance", cavity.contents_conductance_w_per_k,
                            "above 0 W/K where there are contents");
        check_start(check_, key + ".start", cavity.start_temperature_k);
        check_limits(key + ".contents_", "limit_source", cavity.contents_limits, cavity.contents_limit_source);
    }
    /// What somebody says is worth no more than the record of who said it.
    void check_limits(const std::string& prefix, const char* source_key, const thermal::HeatLimits& limits,
                      const std::string& source) {
        if (const std::optional<thermal::LimitFault> fault = thermal::fault_of(limits))
            check_.add(prefix + fault->key, fault->message);
        if (limits != thermal::HeatLimits{} && source.empty())
            check_.add(prefix + source_key, "is missing: say who stated warn and never, and when");
    }
    void check_item(const Item& item, const std::string& key) {
        check_name(key, item.name);
        check_.positive(key + ".heat_capacity", item.heat_capacity_j_per_k, "above 0 J/K");
        check_.positive(key + ".conductance", item.conductance_w_per_k, "above 0 W/K");
        if (item.place == Item::Place::zone) check_known(key + ".zone", zones_, item.where, "zone");
        if (item.place == Item::Place::cavity) check_known(key + ".cavity", cavities_, item.where, "cavity");
        if (!item.instead_of.empty()) check_instead_of(item, key + ".instead_of");
        check_start(check_, key + ".start", item.start_temperature_k);
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
    RangeCheck check_;
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

std::vector<Problem> problems_in(const Shell& shell) { return ShellCheck(shell).run(); }

}  // namespace bakewright::bake
