// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "shapes.hpp"

/// Bus and coach bodies.
namespace bakewright::builder {
namespace {

using bake::DrawnOn;
using bake::Orientation;

struct Bus {
    double cap_m, skin_m, half_m, below_m, arches, posts;
};

constexpr double kBusCapM = 0.6, kBusOpeningM = 1.2, kFlapShare = 0.6, kBusArchM = 0.30;

void add_bus_sides(Shape& shape, const Bus& bus) {
    const BodySize& size = shape.size;
    const double from = bus.cap_m / size.length_m, to = 1.0 - from, along_m = size.height_m - size.lowest_m;
    const double floor = size.floor_m / size.height_m, middle = floor + 0.5 * (1.0 - floor), low = size.lowest_m / size.height_m;
    const double window_share = shape.said.hear("windows", [](const std::string& text) {
        if (plain_words(text) == "none" || plain_words(text) == "no") return 0.0;
        const double percent = std::stod(
            text.find_first_of("0123456789") == std::string::npos ? "35" : text.substr(text.find_first_of("0123456789")));
        const double share = percent > 1.0 ? percent / 100.0 : percent;
        if (!(share >= 0.0 && share < 0.95))
            throw NotUnderstood("How much of the upper sides is glass? Write such as 35 %, or none.");
        return share;
    });
    SaidLayers sides = said_layers(shape, "sides", {.material = "steel", .thickness = "1.5 mm"});
    const std::vector<HeardLayer> bare_sides = sides.layers;
    add_behind(shape, sides.layers, 0.04);
    const double upper_m2 = 2.0 * bus.skin_m * bus.half_m;
    const std::string half = fmt::format("2 x {} x {} m", shown(bus.skin_m), shown(bus.half_m));
    shape.draft.add({"window_posts",
                     "upper sides between the windows",
                     (1.0 - window_share) * upper_m2,
                     half + " without glass",
                     size.height_m - 0.5 * bus.half_m,
                     along_m,
                     Orientation::vertical,
                     sides.layers,
                     inside_of("inside_air"),
                     true,
                     false,
                     {},
                     {place(DrawnOn::sides, from, to, middle, 1.0)},
                     !sides.is_said,
                     "1.0 to 2 mm"});
    shape.draft.add({"windows",
                     "windows, masked",
                     window_share * upper_m2,
                     fmt::format("{} of {}", window_share, half),
                     size.height_m - 0.5 * bus.half_m,
                     along_m,
                     Orientation::vertical,
                     usual_layers(shape, "5 mm glass"),
                     inside_of("inside_air"),
                     false,
                     true,
                     {},
                     {place(DrawnOn::sides, from + 0.05, to - 0.05, middle + 0.03, 0.93)},
                     true,
                     "4 to 6 mm"});
    shape.draft.add({"sides_lower",
                     "sides below the windows",
                     upper_m2,
                     half,
                     size.floor_m + 0.5 * bus.half_m,
                     along_m,
                     Orientation::vertical,
                     sides.layers,
                     inside_of("inside_air"),
                     true,
                     false,
                     {},
                     {place(DrawnOn::sides, from, to, floor, middle)},
                     !sides.is_said,
                     "1.0 to 2 mm"});
    if (bus.below_m < 0.05) return;
    const double skirts_m2 = 2.0 * bus.below_m * (bus.skin_m - bus.arches * kBusOpeningM);
    const double height_m = 0.5 * (size.floor_m + size.lowest_m);
    shape.draft.add({"skirts",
                     "skirts",
                     (1.0 - kFlapShare) * skirts_m2,
                     "below the floor, without wheel openings and flaps",
                     height_m,
                     along_m,
                     Orientation::vertical,
                     bare_sides,
                     open_to_booth(),
                     true,
                     false,
                     {},
                     {place(DrawnOn::sides, from, to, low, floor)},
                     !sides.is_said,
                     "1.0 to 2 mm"});
    shape.draft.add({"flaps",
                     "luggage flaps",
                     kFlapShare * skirts_m2,
                     fmt::format("{} of the skirts", kFlapShare),
                     height_m,
                     along_m,
                     Orientation::vertical,
                     usual_layers(shape, "1.2 mm ally, 30 mm gap, 1.2 mm ally"),
                     open_to_booth(),
                     true,
                     false,
                     {},
                     {place(DrawnOn::sides, 0.35, 0.62, low, floor)},
                     true,
                     "skins 1 to 2 mm"});
    shape.draft.add({"wheel_arches",
                     "wheel arches",
                     2.0 * bus.arches * kBusArchM * (kBusOpeningM + 2.0 * bus.below_m),
                     fmt::format("{} x {} x ({} + 2 x {} m)", 2.0 * bus.arches, kBusArchM, kBusOpeningM, shown(bus.below_m)),
                     height_m,
                     along_m,
                     Orientation::vertical,
                     usual_layers(shape, "2 mm steel"),
                     open_to_booth(),
                     true,
                     false,
                     {},
                     {place(DrawnOn::sides, 0.14, 0.24, low, floor), place(DrawnOn::sides, 0.68, 0.78, low, floor)},
                     true,
                     "1.5 to 3 mm"});
}

void add_bus_caps(Shape& shape, const Bus& bus) {
    const BodySize& size = shape.size;
    const double area_m2 = size.width_m * size.body_m() + bus.cap_m * (2.0 * size.body_m() + size.width_m);
    const double floor = size.floor_m / size.height_m, share = bus.cap_m / size.length_m;
    for (const bool is_front : {true, false}) {
        const SaidLayers layers = said_layers(shape, is_front ? "front" : "rear", {.material = "GRP", .thickness = "5 mm"});
        shape.draft.add(
            {is_front ? "front_cap" : "rear_cap",
             is_front ? "front cap" : "rear cap",
             area_m2,
             fmt::format("{} x {} m, and {} m deep round it", shown(size.width_m), shown(size.body_m()), shown(bus.cap_m)),
             size.floor_m + 0.5 * size.body_m(),
             size.height_m - size.lowest_m,
             Orientation::vertical,
             layers.layers,
             inside_of("inside_air"),
             true,
             false,
             {},
             {place(is_front ? DrawnOn::front_end : DrawnOn::rear_end, 0.0, 1.0, floor, 1.0),
              is_front ? place(DrawnOn::sides, 0.0, share, floor, 1.0) : place(DrawnOn::sides, 1.0 - share, 1.0, floor, 1.0)},
             !layers.is_said,
             "3 to 6 mm"});
    }
}

void add_bus_frame(Shape& shape, const Bus& bus, const HeardSection& posts) {
    const BodySize& size = shape.size;
    const double outriggers = std::round(size.length_m / 1.5) + 1.0;
    shape.draft.add_section({.name = "posts",
                             .title = "posts and bows",
                             .height_m = size.floor_m + 0.5 * size.body_m(),
                             .behind = of_nothing(),
                             .places = {place(DrawnOn::inside, 0.0, 1.0, 0.4, 1.0)},
                             .is_assumed = !shape.said.is_said("posts"),
                             .range = "wall 2 to 4 mm"},
                            posts.section, bus.posts * (2.0 * size.body_m() + size.width_m));
    shape.draft.add_section(
        {.name = "side_rails",
         .title = "side rails",
         .height_m = size.floor_m - 0.03,
         .behind = of_nothing(),
         .places = {place(DrawnOn::underside, 0.0, 1.0, 0.0, 0.06), place(DrawnOn::underside, 0.0, 1.0, 0.94, 1.0)},
         .range = "wall 2 to 4 mm"},
        hollow_section(0.06, 0.06, 0.003), 2.0 * size.length_m);
    shape.draft.add_section({.name = "outriggers",
                             .title = "outriggers",
                             .height_m = size.floor_m - 0.08,
                             .behind = open_to_booth(),
                             .places = {place(DrawnOn::underside, 0.05, 0.95, 0.1, 0.2)},
                             .range = "3 to 4 mm"},
                            channel(0.08, 0.04, 0.003), outriggers * size.width_m);
    Draft& draft = shape.draft;
    const double steel = draft.materials().find("steel").conductivity_w_per_m_k, bays = bus.posts - 1.0;
    const Seam skin = shape.skin_fixing, cap = shape.said.hear("cap_fixing", heard_seam);
    draft.seam("window_posts", "posts", skin, bays * bus.half_m * 2.0, true);
    draft.seam("sides_lower", "posts", skin, bays * bus.half_m * 2.0, true);
    draft.seam("roof", "posts", skin, bays * size.width_m, true);
    draft.seam("roof", "window_posts", skin, 2.0 * bus.skin_m);
    draft.seam("window_posts", "sides_lower", Seam::one_sheet, 2.0 * bus.skin_m);
    draft.seam("windows", "window_posts", Seam::rubber_strip, 4.0 * bus.skin_m * (draft.has("windows") ? 1.0 : 0.0));
    draft.seam("sides_lower", "side_rails", skin, 2.0 * bus.skin_m);
    draft.seam("skirts", "side_rails", skin, 2.0 * (bus.skin_m - bus.arches * kBusOpeningM) * (1.0 - kFlapShare));
    draft.pieces("flaps", "side_rails", Seam::hinged, std::max(4.0, std::round(bus.skin_m)));
    draft.seam("wheel_arches", "side_rails", skin, 2.0 * bus.arches * kBusOpeningM);
    for (const char* one : {"front_cap", "rear_cap"}) draft.seam(one, "posts", cap, 2.0 * (size.body_m() + size.width_m), true);
    draft.contact("posts", "side_rails", 2.0 * bus.posts * posts.section.area_m2, 0.3, steel,
                  fmt::format("feet of {} posts, 0.3 m of tube each", shown(2.0 * bus.posts)));
    draft.contact("outriggers", "side_rails", 2.0 * outriggers * channel(0.08, 0.04, 0.003).area_m2, 0.1, steel,
                  fmt::format("{} ends, 0.1 m each", shown(2.0 * outriggers)));
    const bake::Layer& board = draft.zone("floor").layers.front();
    draft.contact("floor", "outriggers", outriggers * size.width_m * 0.04, 0.5 * board.thickness_m,
                  board.material.conductivity_w_per_m_k, "lying on the outriggers, 40 mm wide");
    add_chassis_rails(shape, "outriggers", 2.0 * outriggers);
}

}  // namespace

void make_bus(Shape& shape) {
    const BodySize& size = shape.size;
    const HeardSection posts = shape.said.hear("posts", heard_section);
    Bus bus{};
    bus.cap_m = kBusCapM;
    bus.skin_m = size.length_m - 2.0 * kBusCapM;
    bus.half_m = 0.5 * size.body_m();
    bus.below_m = size.floor_m - size.lowest_m;
    bus.arches = 2.0;
    bus.posts = std::round(bus.skin_m / (posts.spacing_m > 0.0 ? posts.spacing_m : 1.0)) + 1.0;
    if (bus.skin_m < 3.0)
        Said::refuse("size", fmt::format("A bus body of {} m? Write length x width x height.", shown(size.length_m)));
    SaidLayers roof = said_layers(shape, "roof", {.material = "steel", .thickness = "1.0 mm"});
    add_behind(shape, roof.layers, 0.04);
    shape.draft.add({"roof",
                     "roof",
                     bus.skin_m * size.width_m,
                     fmt::format("{} x {} m", shown(bus.skin_m), shown(size.width_m)),
                     size.height_m,
                     size.width_m,
                     Orientation::faces_up,
                     roof.layers,
                     inside_of("inside_air"),
                     true,
                     false,
                     {},
                     {place(DrawnOn::top, bus.cap_m / size.length_m, 1.0 - bus.cap_m / size.length_m)},
                     !roof.is_said,
                     "0.9 to 1.6 mm"});
    add_bus_sides(shape, bus);
    add_bus_caps(shape, bus);
    add_deck(shape, "floor", size.length_m, {.material = "ply", .thickness = "18 mm"}, "inside_air", 0.95);
    add_bus_frame(shape, bus, posts);
    shape.draft.built().check_area_m2 += closed_m2(size.length_m, size.width_m, size.body_m());
    shape.draft.count_hull({"roof", "window_posts", "windows", "sides_lower", "front_cap", "rear_cap", "floor"});
}

}  // namespace bakewright::builder
