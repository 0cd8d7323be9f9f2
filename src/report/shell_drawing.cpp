#include "bakewright/report/shell_drawing.hpp"

#include <algorithm>
#include <array>
#include <string_view>

#include "shell_places.hpp"

namespace bakewright::report {
namespace {

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
    const bool sides_alike = std::none_of(places.begin(), places.end(), stands_on_one_side);
    ShellDrawing drawing;
    for (const ViewKind& kind : kViews) {
        if (sides_alike && kind.name == "right_side") continue;
        DrawnView view = view_of(kind, places, size);
        if (view.zones.empty()) continue;
        if (sides_alike && kind.name == "left_side") view.name = "sides", view.title = "Both sides";
        drawing.views.push_back(std::move(view));
    }
    return drawing;
}

}  // namespace bakewright::report
