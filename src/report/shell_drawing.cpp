// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/shell_drawing.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/bake/cold_places.hpp"
#include "bakewright/bake/shell.hpp"

namespace bakewright::report {

namespace {

/// A zone's place in the picture: its own, or the one told from height, area and names; see draw_shell().
struct ZonePlace {
    const bake::Zone* zone = nullptr;
    bake::DrawnPlace place;
};

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

/// Every place of every zone. The zones must outlive it.
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

using bake::DrawnOn;

/// In proportion 3 : 1 : 1, where a shell says no size.
constexpr bake::ShellSize kPlainSize{.length_m = 3.0, .width_m = 1.0, .height_m = 1.0};

/// What a view shows and how it is turned.
struct ViewKind {
    std::string_view name, title;
    std::array<DrawnOn, 2> shows;
    bool front_at_right;
    double (*width_m)(const bake::ShellSize&);
    double (*height_m)(const bake::ShellSize&);
};

double length_of(const bake::ShellSize& size) { return size.length_m; }
double width_of(const bake::ShellSize& size) { return size.width_m; }
double height_of(const bake::ShellSize& size) { return size.height_m; }

constexpr std::array<ViewKind, 8> kViews{{
    {"left_side", "Left side", {DrawnOn::left_side, DrawnOn::sides}, false, length_of, height_of},
    {"right_side", "Right side", {DrawnOn::right_side, DrawnOn::sides}, true, length_of, height_of},
    {"top", "Top", {DrawnOn::top, DrawnOn::top}, false, length_of, width_of},
    {"underside", "Underside", {DrawnOn::underside, DrawnOn::underside}, false, length_of, width_of},
    {"front_end", "Front end", {DrawnOn::front_end, DrawnOn::ends}, false, width_of, height_of},
    {"rear_end", "Rear end", {DrawnOn::rear_end, DrawnOn::ends}, false, width_of, height_of},
    {"inside", "Inside", {DrawnOn::inside, DrawnOn::inside}, false, width_of, height_of},
    {"beside", "Beside it", {DrawnOn::beside, DrawnOn::beside}, false, width_of, height_of},
}};

DrawnZone drawn(const ZonePlace& here, bool front_at_right) {
    const bake::DrawnPlace& place = here.place;
    return {.zone = here.zone->name,
            .title = here.zone->title.empty() ? here.zone->name : here.zone->title,
            .coated = here.zone->coated,
            .left = front_at_right ? 1.0 - place.to : place.from,
            .top = 1.0 - place.high,
            .width = place.to - place.from,
            .height = place.high - place.low};
}

/// How wide a line is in shares of a view, so that it can be seen and hit.
constexpr double kLineWidth = 0.012, kLineHeight = 0.04;

/// The strip of a zone as a line on one of the zone's rectangles.
/// @param before  strips of the same zone that are drawn there already: lines stand side by side
DrawnZone line_on(const DrawnZone& zone, const bake::ColdPlace& strip, const bake::Shell& shell, std::size_t before) {
    const bake::Zone &lagging = *shell.find_zone(strip.over), &whole = *shell.find_zone(strip.zone);
    DrawnZone line{.zone = strip.name,
                   .title = strip.title,
                   .coated = true,
                   .left = zone.left,
                   .top = zone.top,
                   .width = zone.width,
                   .height = zone.height,
                   .strip_of = strip.zone};
    const double share = 0.25 + 0.15 * static_cast<double>(before % 4);
    if (told_view(lagging) == DrawnOn::inside) {
        line.width = std::min(kLineWidth, zone.width / 4.0);
        line.left += share * zone.width - line.width / 2.0;
    } else {
        line.height = std::min(kLineHeight, zone.height / 4.0);
        if (lagging.height_m < whole.height_m) line.top += zone.height - line.height;
    }
    return line;
}

/// Lines follow their zone: what is drawn over it lies over them too.
void add_lines(DrawnView& view, const std::vector<bake::ColdPlace>& strips, const bake::Shell& shell) {
    std::vector<DrawnZone> with_lines;
    for (const DrawnZone& zone : view.zones) {
        with_lines.push_back(zone);
        std::size_t count = 0;
        for (const bake::ColdPlace& strip : strips)
            if (strip.zone == zone.zone) with_lines.push_back(line_on(zone, strip, shell, count++));
    }
    view.zones = std::move(with_lines);
}

DrawnView view_of(const ViewKind& kind, const std::vector<ZonePlace>& places, const bake::ShellSize& size) {
    DrawnView view{.name = std::string(kind.name),
                   .title = std::string(kind.title),
                   .width_m = kind.width_m(size),
                   .height_m = kind.height_m(size),
                   .zones = {}};
    for (const ZonePlace& here : places)
        if (here.place.on == kind.shows[0] || here.place.on == kind.shows[1])
            view.zones.push_back(drawn(here, kind.front_at_right));
    const auto larger = [](const DrawnZone& left, const DrawnZone& right) {
        return left.width * left.height > right.width * right.height;
    };
    std::stable_sort(view.zones.begin(), view.zones.end(), larger);
    return view;
}

bool stands_on_one_side(const ZonePlace& here) {
    return here.place.on == DrawnOn::left_side || here.place.on == DrawnOn::right_side;
}

}  // namespace

ShellDrawing draw_shell(const bake::Shell& shell) {
    const bake::ShellSize size = shell.size.value_or(kPlainSize);
    const std::vector<ZonePlace> places = places_in(shell);
    const std::vector<bake::ColdPlace> strips = bake::cold_places(shell);
    const bool sides_alike = std::none_of(places.begin(), places.end(), stands_on_one_side);
    ShellDrawing drawing;
    for (const ViewKind& kind : kViews) {
        if (sides_alike && kind.name == "right_side") continue;
        DrawnView view = view_of(kind, places, size);
        if (view.zones.empty()) continue;
        add_lines(view, strips, shell);
        if (sides_alike && kind.name == "left_side") view.name = "sides", view.title = "Both sides";
        drawing.views.push_back(std::move(view));
    }
    return drawing;
}

}  // namespace bakewright::report
