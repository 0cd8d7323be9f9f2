#include "shell_places.hpp"

#include <algorithm>
#include <cctype>
#include <map>
#include <string_view>

namespace bakewright::report {
namespace {

using bake::DrawnOn;

/// The least part of a stack that one of its zones gets, against an even share: it must still hold a letter.
constexpr double kLeastShare = 0.4;

/// The words of a name in small letters: "rear_cap" has "rear".
bool has_word(const bake::Zone& zone, std::string_view word) {
    for (const std::string* text : {&zone.name, &zone.title}) {
        std::string letters = " ";
        for (const char letter : *text) {
            const auto code = static_cast<unsigned char>(letter);
            letters += std::isalnum(code) != 0 ? static_cast<char>(std::tolower(code)) : ' ';
        }
        if ((letters + " ").find(" " + std::string(word) + " ") != std::string::npos) return true;
    }
    return false;
}

DrawnOn told_view(const bake::Zone& zone) {
    if (zone.role == bake::ZoneRole::test_panel) return DrawnOn::beside;
    if (zone.outer.view != bake::FaceView::booth && zone.inner.view != bake::FaceView::booth) return DrawnOn::inside;
    if (zone.orientation == bake::Orientation::faces_up) return DrawnOn::top;
    if (zone.orientation == bake::Orientation::faces_down) return DrawnOn::underside;
    if (has_word(zone, "front")) return DrawnOn::front_end;
    if (has_word(zone, "rear") || has_word(zone, "back")) return DrawnOn::rear_end;
    if (has_word(zone, "left")) return DrawnOn::left_side;
    return has_word(zone, "right") ? DrawnOn::right_side : DrawnOn::sides;
}

/// Parts of a whole by area, none too small to be seen.
std::vector<double> heights(const std::vector<const bake::Zone*>& zones) {
    double area_m2 = 0.0;
    for (const bake::Zone* zone : zones) area_m2 += zone->area_m2;
    const double least = kLeastShare / static_cast<double>(zones.size());
    std::vector<double> shares;
    double sum = 0.0;
    for (const bake::Zone* zone : zones) {
        shares.push_back(std::max(least, area_m2 > 0.0 ? zone->area_m2 / area_m2 : 0.0));
        sum += shares.back();
    }
    for (double& share : shares) share /= sum;
    return shares;
}

/// A stack of zones over a view, the lowest at the bottom.
void stack(DrawnOn on, std::vector<const bake::Zone*> zones, std::vector<ZonePlace>& told) {
    std::stable_sort(zones.begin(), zones.end(),
                     [](const bake::Zone* left, const bake::Zone* right) { return left->height_m < right->height_m; });
    const std::vector<double> shares = heights(zones);
    double low = 0.0;
    for (std::size_t i = 0; i < zones.size(); ++i) {
        const double high = i + 1 == zones.size() ? 1.0 : low + shares[i];
        told.push_back({zones[i], {.on = on, .from = 0.0, .to = 1.0, .low = low, .high = high}});
        low = high;
    }
}

using ZonesByView = std::map<DrawnOn, std::vector<const bake::Zone*>>;

/// Where something stands on one side alone, what is on both sides is stacked with it there, and apart from it on the other.
void part_sides(ZonesByView& views) {
    const auto sides = views.find(DrawnOn::sides);
    if (sides == views.end() || !(views.contains(DrawnOn::left_side) || views.contains(DrawnOn::right_side))) return;
    for (const DrawnOn side : {DrawnOn::left_side, DrawnOn::right_side})
        views[side].insert(views[side].end(), sides->second.begin(), sides->second.end());
    views.erase(sides);
}

}  // namespace

std::vector<ZonePlace> places_in(const bake::Shell& shell) {
    ZonesByView views;
    std::vector<ZonePlace> places;
    for (const bake::Zone& zone : shell.zones) {
        if (zone.places.empty()) views[told_view(zone)].push_back(&zone);
        for (const bake::DrawnPlace& place : zone.places) places.push_back({&zone, place});
    }
    part_sides(views);
    for (const auto& [on, zones] : views) stack(on, zones, places);
    return places;
}

}  // namespace bakewright::report
