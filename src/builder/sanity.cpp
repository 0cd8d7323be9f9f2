// SPDX-License-Identifier: Apache-2.0
#include "bakewright/builder/sanity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

namespace bakewright::builder {
namespace {

using bake::DrawnOn;
using bake::Zone;

std::string name_of(const Zone& zone) { return zone.title.empty() ? zone.name : zone.title; }

/// Parts lighter than this are brackets, whose heat hardly matters [kg].
constexpr double kLeastHeavyKg = 15.0;

bool is_heavy(const Zone& zone) {
    const bool is_thick = std::ranges::any_of(zone.layers, [](const bake::Layer& layer) {
        return layer.kind == bake::Layer::Kind::solid && layer.thickness_m >= kHeavyThicknessM &&
               thermal::is_metal(layer.material);
    });
    return is_thick && zone_mass_kg(zone) >= kLeastHeavyKg;
}

bool is_thin_coated(const Zone& zone) {
    constexpr double kThinM = 0.003;
    return zone.coated && zone.role == bake::ZoneRole::shell && zone.layers.front().thickness_m < kThinM;
}

bool is_linked(const bake::Shell& shell, const Zone& zone) {
    return std::ranges::any_of(shell.links,
                               [&](const bake::Link& link) { return link.from == zone.name || link.to == zone.name; });
}

/// What a view of the drawing is of: sides are one, whichever is meant.
int view_of(DrawnOn on) {
    if (on == DrawnOn::left_side || on == DrawnOn::right_side || on == DrawnOn::sides) return 0;
    if (on == DrawnOn::front_end || on == DrawnOn::rear_end || on == DrawnOn::ends) return 1;
    return 2 + static_cast<int>(on);
}

bool touch(const bake::DrawnPlace& a, const bake::DrawnPlace& b) {
    constexpr double kNear = 0.01;  // of the drawing
    return view_of(a.on) == view_of(b.on) && a.from <= b.to + kNear && b.from <= a.to + kNear && a.low <= b.high + kNear &&
           b.low <= a.high + kNear;
}

/// Behind the skins, under them, or beside one of them on the same view.
bool is_at_the_skins(const bake::Shell& shell, const Zone& zone) {
    const auto lies = [&](const bake::DrawnPlace& place) {
        if (place.on == DrawnOn::inside || place.on == DrawnOn::underside) return true;
        return std::ranges::any_of(shell.zones, [&](const Zone& other) {
            return is_thin_coated(other) &&
                   std::ranges::any_of(other.places, [&](const bake::DrawnPlace& its) { return touch(place, its); });
        });
    };
    return std::ranges::any_of(zone.places, lies);
}

/// Area of the rectangles of a zone's places; nothing where one lies on no face of the body.
std::optional<double> drawn_m2(const bake::ShellSize& size, const Zone& zone) {
    double sum = 0.0;
    for (const bake::DrawnPlace& place : zone.places) {
        const DrawnFace face = drawn_face(place.on, size);
        if (!face.is_of_hull) return std::nullopt;
        sum += face.count * face.along_m * (place.to - place.from) * face.up_m * (place.high - place.low);
    }
    return zone.places.empty() ? std::nullopt : std::optional(sum);
}

class Doubts {
public:
    explicit Doubts(const profile::ShellProfile& profile) : shell_(profile.shell) {}

    std::vector<Doubt> run() {
        for (std::size_t i = 0; i < shell_.zones.size(); ++i) {
            ask_about_links(shell_.zones[i], fmt::format("zone[{}]", i));
            ask_about_place(shell_.zones[i], fmt::format("zone[{}].places", i));
            ask_about_area(shell_.zones[i], fmt::format("zone[{}].area", i));
        }
        ask_about_air();
        ask_about_mass();
        return std::move(found_);
    }

private:
    void ask(std::string key, std::string question) { found_.push_back({std::move(key), std::move(question)}); }

    void ask_about_links(const Zone& zone, const std::string& key) {
        const bool has_skins = std::ranges::any_of(shell_.zones, is_thin_coated);
        if (has_skins && is_heavy(zone) && !is_linked(shell_, zone) && is_at_the_skins(shell_, zone))
            ask(key,
                fmt::format("{}, {:.0f} kg of metal: no heat path leads to it. Is it welded, glued, bolted, or touching nothing?",
                            name_of(zone), zone_mass_kg(zone)));
    }

    void ask_about_place(const Zone& zone, const std::string& key) {
        const bool others_are_drawn = std::ranges::any_of(shell_.zones, [](const Zone& other) { return !other.places.empty(); });
        if (others_are_drawn && zone.places.empty() && zone.role == bake::ZoneRole::shell)
            ask(key, fmt::format("Where is {}? It is nowhere on the drawing.", name_of(zone)));
    }

    void ask_about_area(const Zone& zone, const std::string& key) {
        if (!shell_.size || !zone.coated) return;
        const std::optional<double> allowed_m2 = drawn_m2(*shell_.size, zone);
        if (!allowed_m2 || zone.area_m2 <= kMostAreaFactor * *allowed_m2) return;
        ask(key, fmt::format("{} of {} m2? Its place on a body of {} x {} x {} m is {} m2. Which is right?", name_of(zone),
                             shown(zone.area_m2), shown(shell_.size->length_m), shown(shell_.size->width_m),
                             shown(shell_.size->height_m), shown(*allowed_m2)));
    }

    /// A roof, sides and an end that are coated make a body; somebody closed it.
    void ask_about_air() {
        const auto is_drawn_on = [&](std::initializer_list<DrawnOn> views) {
            return std::ranges::any_of(shell_.zones, [&](const Zone& zone) {
                return zone.coated && std::ranges::any_of(zone.places, [&](const bake::DrawnPlace& place) {
                           return std::ranges::find(views, place.on) != views.end();
                       });
            });
        };
        const bool is_body = is_drawn_on({DrawnOn::top}) &&
                             is_drawn_on({DrawnOn::sides, DrawnOn::left_side, DrawnOn::right_side}) &&
                             is_drawn_on({DrawnOn::front_end, DrawnOn::rear_end, DrawnOn::ends});
        if (!is_body || !shell_.cavities.empty() || !shell_.size) return;
        ask("cavity", fmt::format("Is it closed, and empty? Then there is air inside, about {:.0f} m3: enter a [[cavity]] and "
                                  "let the skins look at it.",
                                  kUsualAirShare * shell_.size->length_m * shell_.size->width_m * shell_.size->height_m));
    }

    void ask_about_mass() {
        const auto said = shell_.answers.find("mass");
        if (said == shell_.answers.end()) return;
        double said_kg = 0.0, sum_kg = 0.0;
        try {
            said_kg = heard(said->second, {.dimension = Dimension::mass, .bare = "kg", .takes_bare = true}).value;
        } catch (const NotUnderstood&) {
            return;
        }
        for (const Zone& zone : shell_.zones) sum_kg += zone_mass_kg(zone);
        constexpr double kRounding = 1.01;  // of what the rest weighs that is a part of its own
        if (sum_kg > kRounding * said_kg)
            ask("answers.mass",
                fmt::format("The parts weigh {:.0f} kg, you said {:.0f} kg. Is a sheet too thick, or an area too large?", sum_kg,
                            said_kg));
    }

    const bake::Shell& shell_;
    std::vector<Doubt> found_;
};

}  // namespace

double zone_mass_kg(const Zone& zone) {
    double kg_per_m2 = 0.0;
    for (const bake::Layer& layer : zone.layers)
        if (layer.kind == bake::Layer::Kind::solid) kg_per_m2 += layer.thickness_m * layer.material.density_kg_per_m3;
    return kg_per_m2 * zone.area_m2;
}

DrawnFace drawn_face(DrawnOn on, const bake::ShellSize& size) noexcept {
    switch (on) {
        case DrawnOn::sides:
            return {size.length_m, size.height_m, 2};
        case DrawnOn::left_side:
        case DrawnOn::right_side:
            return {size.length_m, size.height_m};
        case DrawnOn::top:
        case DrawnOn::underside:
            return {size.length_m, size.width_m};
        case DrawnOn::ends:
            return {size.width_m, size.height_m, 2};
        case DrawnOn::front_end:
        case DrawnOn::rear_end:
            return {size.width_m, size.height_m};
        default:
            return {size.width_m, size.height_m, 1, false};
    }
}

std::vector<Doubt> doubts_in(const profile::ShellProfile& profile) { return Doubts(profile).run(); }

}  // namespace bakewright::builder
