// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>

#include <algorithm>
#include <limits>

#include "bakewright/profile/shell_profile.hpp"

namespace bakewright::profile {
namespace {

using cure::ExposureLimit;
using cure::HeatSensitiveItem;
using cure::LimitKind;

void add(HeatSensitiveItem& part, const std::optional<double>& temperature_k, LimitKind kind) {
    if (temperature_k) part.limits.push_back({*temperature_k, 0.0, cure::ExposureScope::bake, kind});
}

std::string title_or_id(const thermal::Material& material) {
    if (!material.title.empty()) return material.title;
    return material.id.empty() ? "a material without a name" : material.id;
}

void add_source(HeatSensitiveItem& part, const thermal::Material& material) {
    const auto found = material.sources.find("never");
    if (found == material.sources.end()) return;
    std::string& text = part.sources["limits"];
    text += fmt::format("{}{}: {}", text.empty() ? "" : "; ", title_or_id(material), found->second);
}

/// The coolest temperature that the face itself must not reach: a layer behind it that allows as much adds nothing.
double strictest_k(const HeatSensitiveItem& part) {
    double strictest_k = std::numeric_limits<double>::infinity();
    for (const ExposureLimit& limit : part.limits)
        if (limit.kind != LimitKind::warn) strictest_k = std::min(strictest_k, limit.temperature_k);
    return strictest_k;
}

/// An item that stands at a zone and speaks for a material of it.
bool is_spoken_for(const bake::Shell& shell, const bake::Zone& zone, const thermal::Material& material) {
    return std::ranges::any_of(shell.items, [&](const bake::Item& item) {
        return item.place == bake::Item::Place::zone && item.where == zone.name &&
               (item.instead_of.empty() || item.instead_of == material.id);
    });
}

void add_layer(HeatSensitiveItem& part, const thermal::Material& material, bool is_outermost) {
    if (!material.limits.never_k) {
        if (std::ranges::find(part.no_limit_known_of, title_or_id(material)) == part.no_limit_known_of.end())
            part.no_limit_known_of.push_back(title_or_id(material));
        return;
    }
    if (*material.limits.never_k >= strictest_k(part)) return;
    if (is_outermost) add(part, material.limits.warn_k, LimitKind::warn);
    add(part, material.limits.never_k, is_outermost ? LimitKind::never : LimitKind::never_inside);
    add_source(part, material);
}

HeatSensitiveItem part_of(const bake::Shell& shell, const bake::Zone& zone) {
    HeatSensitiveItem part{zone.name, zone.title, {}, {}};
    if (zone.limits.never_k) {
        add(part, zone.limits.warn_k, LimitKind::warn);
        add(part, zone.limits.never_k, LimitKind::never);
        part.sources["limits"] = zone.limit_source;
        return part;
    }
    for (std::size_t i = 0; i < zone.layers.size(); ++i) {
        const bake::Layer& layer = zone.layers[i];
        const bool matters = layer.kind == bake::Layer::Kind::solid && !thermal::withstands_any_bake(layer.material) &&
                             !is_spoken_for(shell, zone, layer.material);
        if (matters) add_layer(part, layer.material, i == 0);
    }
    return part;
}

HeatSensitiveItem part_of(const bake::Cavity& cavity) {
    HeatSensitiveItem part{cavity.name, cavity.name, {}, {}};
    if (!(cavity.contents_heat_capacity_j_per_k > 0.0)) return part;
    add(part, cavity.contents_limits.warn_k, LimitKind::warn);
    add(part, cavity.contents_limits.never_k, LimitKind::never);
    if (cavity.contents_limits.never_k)
        part.sources["limits"] = cavity.contents_limit_source;
    else
        part.no_limit_known_of.push_back(fmt::format("what is in the {}", cavity.name));
    return part;
}

}  // namespace

std::vector<HeatSensitiveItem> protected_parts(const bake::Shell& shell) {
    std::vector<HeatSensitiveItem> parts;
    const auto take = [&](HeatSensitiveItem part) {
        if (!part.limits.empty() || !part.no_limit_known_of.empty()) parts.push_back(std::move(part));
    };
    for (const bake::Zone& zone : shell.zones)
        if (zone.role != bake::ZoneRole::test_panel) take(part_of(shell, zone));
    for (const bake::Cavity& cavity : shell.cavities) take(part_of(cavity));
    return parts;
}

std::vector<HeatSensitiveItem> ShellProfile::heat_sensitive() const {
    std::vector<HeatSensitiveItem> all = item_limits;
    for (HeatSensitiveItem& part : protected_parts(shell)) all.push_back(std::move(part));
    return all;
}

}  // namespace bakewright::profile
