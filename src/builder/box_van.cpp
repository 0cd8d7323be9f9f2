// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "shapes.hpp"

/// A box on a frame, with or without a cab before it, and the cab by itself.
namespace bakewright::builder {
namespace {

using bake::DrawnOn;
using bake::Orientation;

constexpr double kGapToCabM = 0.10, kCapDepthM = 0.35, kWheelOpeningM = 0.95, kArchWidthM = 0.30;
constexpr double kCrossMemberSpacingM = 0.50, kPostSpacingM = 0.60;

/// The sizes of a box behind its cab.
struct Box {
    double cab_m, gap_m, length_m, cap_m;  ///< lengths along the vehicle
    double skin_m;                         ///< length of the sheet sides: without the cap
    double body_m, width_m;
    double posts, post_spacing_m;  ///< how many, counted along one side
    double cross_members;
};

Box box_of(const Shape& shape, double cab_m, bool has_cap, double post_spacing_m) {
    Box box{};
    box.cab_m = cab_m;
    box.gap_m = cab_m > 0.0 ? kGapToCabM : 0.0;
    box.length_m = shape.size.length_m - cab_m - box.gap_m;
    box.cap_m = has_cap ? kCapDepthM : 0.0;
    box.skin_m = box.length_m - box.cap_m;
    if (box.skin_m < 1.0)
        Said::refuse("size", fmt::format("With a cab of {} m the box would be {} m long. Is the length from bumper to tail?",
                                         shown(cab_m), shown(std::max(0.0, box.length_m))));
    box.body_m = shape.size.body_m();
    box.width_m = shape.size.width_m;
    box.post_spacing_m = post_spacing_m;
    box.posts = std::round(box.length_m / post_spacing_m) + 1.0;
    box.cross_members = std::round(box.length_m / kCrossMemberSpacingM) + 1.0;
    return box;
}

void add_skins(Shape& shape, const Box& box, double post_depth_m) {
    const BodySize& size = shape.size;
    const double front = (box.cab_m + box.gap_m + box.cap_m) / size.length_m,
                 middle = (size.floor_m + 0.5 * box.body_m) / size.height_m;
    SaidLayers roof = said_layers(shape, "roof"), sides = said_layers(shape, "sides");
    const bool is_closed_below = !shape.said.says("deck", {"none", "no", "open"});
    const std::string skirt_text = sides.is_said ? shape.said.text("sides") : "18 ga steel";
    std::vector<HeardLayer> skirt_layers = usual_layers(shape, skirt_text);
    add_behind(shape, roof.layers, post_depth_m);
    add_behind(shape, sides.layers, post_depth_m);
    const double along_m = size.height_m - size.lowest_m;
    const Behind behind = is_closed_below ? inside_of("box_air") : open_to_booth();
    const std::string range = "1.0 to 1.6 mm";
    shape.draft.add({"box_roof",
                     "box roof",
                     box.skin_m * box.width_m,
                     fmt::format("{} x {} m", shown(box.skin_m), shown(box.width_m)),
                     size.height_m,
                     box.width_m,
                     Orientation::faces_up,
                     roof.layers,
                     behind,
                     true,
                     false,
                     {},
                     {place(DrawnOn::top, front, 1.0)},
                     !roof.is_said && !sides.is_said,
                     range});
    for (const bool upper : {true, false}) {
        const double height_m = upper ? size.height_m - 0.25 * box.body_m : size.floor_m + 0.25 * box.body_m;
        shape.draft.add({upper ? "box_sides_upper" : "box_sides_lower",
                         upper ? "box sides, upper half" : "box sides, lower half",
                         box.skin_m * box.body_m,
                         fmt::format("2 x {} x {} m", shown(box.skin_m), shown(0.5 * box.body_m)),
                         height_m,
                         along_m,
                         Orientation::vertical,
                         sides.layers,
                         behind,
                         true,
                         false,
                         {},
                         {upper ? place(DrawnOn::sides, front, 1.0, middle, 1.0)
                                : place(DrawnOn::sides, front, 1.0, size.floor_m / size.height_m, middle)},
                         !sides.is_said,
                         range});
    }
    const double below_m = size.floor_m - size.lowest_m;
    if (below_m < 0.05) return;
    const double low = size.lowest_m / size.height_m, high = size.floor_m / size.height_m;
    const double box_front = (box.cab_m + box.gap_m) / size.length_m;
    shape.draft.add({"skirts",
                     "skirts",
                     2.0 * below_m * (box.length_m - kWheelOpeningM),
                     fmt::format("2 x {} x ({} - {} m of wheel opening)", shown(below_m), shown(box.length_m), kWheelOpeningM),
                     0.5 * (size.floor_m + size.lowest_m),
                     along_m,
                     Orientation::vertical,
                     skirt_layers,
                     open_to_booth(),
                     true,
                     false,
                     {},
                     {place(DrawnOn::sides, box_front, 1.0, low, high)},
                     !sides.is_said,
                     range});
    const double arch = box_front + 0.55 * (1.0 - box_front);
    shape.draft.add({"wheel_arches",
                     "wheel arches",
                     2.0 * kArchWidthM * (kWheelOpeningM + 2.0 * below_m),
                     fmt::format("2 x {} x ({} + 2 x {} m)", kArchWidthM, kWheelOpeningM, shown(below_m)),
                     0.5 * (size.floor_m + size.lowest_m),
                     along_m,
                     Orientation::vertical,
                     usual_layers(shape, "2 mm steel"),
                     open_to_booth(),
                     true,
                     false,
                     {},
                     {place(DrawnOn::sides, arch, arch + kWheelOpeningM / size.length_m, low, high)},
                     true,
                     "1.5 to 3 mm"});
}

void add_front(Shape& shape, const Box& box, bool has_cap) {
    const BodySize& size = shape.size;
    const SaidLayers front = said_layers(shape, "front", {.material = "GRP", .thickness = "4 mm"});
    const double low = size.floor_m / size.height_m, from = (box.cab_m + box.gap_m) / size.length_m;
    const double area_m2 = box.width_m * box.body_m + box.cap_m * (2.0 * box.body_m + box.width_m);
    std::vector<bake::DrawnPlace> places{place(DrawnOn::front_end, 0.0, 1.0, low, 1.0)};
    if (has_cap) places.push_back(place(DrawnOn::sides, from, from + box.cap_m / size.length_m, low, 1.0));
    shape.draft.add({has_cap ? "front_cap" : "front_wall",
                     has_cap ? "front cap" : "front wall",
                     area_m2,
                     has_cap ? fmt::format("{} x {} m, and {} m deep round it", shown(box.width_m), shown(box.body_m), box.cap_m)
                             : fmt::format("{} x {} m", shown(box.width_m), shown(box.body_m)),
                     size.floor_m + 0.5 * box.body_m,
                     size.height_m - size.lowest_m,
                     Orientation::vertical,
                     front.layers,
                     inside_of("box_air"),
                     true,
                     false,
                     {},
                     places,
                     !front.is_said,
                     has_cap ? "3 to 6 mm" : "1.0 to 1.6 mm"});
}

void add_rear(Shape& shape, const Box& box) {
    constexpr double kDoorShare = 0.8;
    const BodySize& size = shape.size;
    const double end_m2 = box.width_m * box.body_m, low = size.floor_m / size.height_m;
    const bool has_doors = shape.said.says("rear", {"door", "doors", "two", "shutter", "roller"});
    const double along_m = size.height_m - size.lowest_m, height_m = size.floor_m + 0.5 * box.body_m;
    const bool has_words = shape.said.text("rear").find_first_of("0123456789") != std::string::npos;
    if (!has_doors) {
        const SaidLayers rear = said_layers(shape, "rear", {.material = "steel", .thickness = "18 ga"});
        shape.draft.add({"rear_wall",
                         "rear wall",
                         end_m2,
                         fmt::format("{} x {} m", shown(box.width_m), shown(box.body_m)),
                         height_m,
                         along_m,
                         Orientation::vertical,
                         rear.layers,
                         inside_of("box_air"),
                         true,
                         false,
                         {},
                         {place(DrawnOn::rear_end, 0.0, 1.0, low, 1.0)},
                         !rear.is_said,
                         "1.0 to 1.6 mm"});
        return;
    }
    const std::string usual = "1.0 mm steel, 30 mm gap, 0.8 mm steel";
    const SaidLayers doors = has_words ? said_layers(shape, "rear", {.material = "steel", .thickness = "1.0 mm"})
                                       : SaidLayers{usual_layers(shape, usual), false};
    shape.draft.add({"rear_doors",
                     "rear doors",
                     kDoorShare * end_m2,
                     fmt::format("{} of {} x {} m", kDoorShare, shown(box.width_m), shown(box.body_m)),
                     height_m,
                     along_m,
                     Orientation::vertical,
                     doors.layers,
                     inside_of("box_air"),
                     true,
                     false,
                     {},
                     {place(DrawnOn::rear_end, 0.1, 0.9, low, 1.0)},
                     !doors.is_said,
                     "skins 0.8 to 1.2 mm"});
    shape.draft.add({"rear_frame",
                     "frame round the rear doors",
                     (1.0 - kDoorShare) * end_m2,
                     fmt::format("{:.1f} of {} x {} m", 1.0 - kDoorShare, shown(box.width_m), shown(box.body_m)),
                     height_m,
                     along_m,
                     Orientation::vertical,
                     usual_layers(shape, "3 mm steel"),
                     inside_of("box_air"),
                     true,
                     false,
                     {},
                     {place(DrawnOn::rear_end, 0.0, 1.0, low, 1.0)},
                     true,
                     "2 to 4 mm"});
}

void add_frame(Shape& shape, const Box& box, const HeardSection& posts) {
    const BodySize& size = shape.size;
    const double posts_m = box.posts * (2.0 * box.body_m + box.width_m);
    const bool is_said = shape.said.is_said("posts");
    shape.draft.add_section({.name = "posts",
                             .title = "posts and bows",
                             .height_m = size.floor_m + 0.5 * box.body_m,
                             .behind = of_nothing(),
                             .places = {place(DrawnOn::inside, 0.0, 1.0, 0.4, 1.0)},
                             .is_assumed = !is_said,
                             .range = "wall 2 to 3 mm"},
                            posts.section, posts_m);
    shape.draft.add_section(
        {.name = "sill_rails",
         .title = "sill rails",
         .height_m = size.floor_m - 0.03,
         .behind = of_nothing(),
         .places = {place(DrawnOn::underside, 0.0, 1.0, 0.0, 0.06), place(DrawnOn::underside, 0.0, 1.0, 0.94, 1.0)},
         .range = "wall 2 to 4 mm"},
        hollow_section(0.06, 0.04, 0.003), 2.0 * box.length_m);
    shape.draft.add_section({.name = "cross_members",
                             .title = "cross members",
                             .height_m = size.floor_m - 0.06,
                             .behind = open_to_booth(),
                             .places = {place(DrawnOn::underside, 0.05, 0.95, 0.1, 0.2)},
                             .range = "3 to 4 mm"},
                            channel(0.08, 0.04, 0.003), box.cross_members * box.width_m);
}

void join_box(Shape& shape, const Box& box, const HeardSection& posts, const std::string& front) {
    Draft& draft = shape.draft;
    const double bays = box.posts - 1.0, outline_m = 2.0 * (box.body_m + box.width_m);
    const Seam skin = shape.skin_fixing;
    const Seam cap = shape.said.hear("cap_fixing", heard_seam);
    draft.seam("box_sides_upper", "posts", skin, bays * box.body_m, true);
    draft.seam("box_sides_lower", "posts", skin, bays * box.body_m, true);
    draft.seam("box_roof", "posts", skin, bays * box.width_m, true);
    draft.seam("box_roof", "box_sides_upper", skin, 2.0 * box.skin_m);
    draft.seam("box_sides_upper", "box_sides_lower", Seam::one_sheet, 2.0 * box.skin_m);
    draft.seam("box_sides_lower", "sill_rails", skin, 2.0 * box.skin_m);
    draft.seam("skirts", "sill_rails", skin, 2.0 * (box.length_m - kWheelOpeningM));
    draft.seam("wheel_arches", "sill_rails", skin, 2.0 * kWheelOpeningM);
    draft.seam(front, "posts", front == "front_cap" ? cap : skin, outline_m, true);
    const double steel = draft.materials().find("steel").conductivity_w_per_m_k;
    draft.contact("posts", "sill_rails", 2.0 * box.posts * posts.section.area_m2, 0.3, steel,
                  fmt::format("feet of {} posts, 0.3 m of tube each", shown(2.0 * box.posts)));
    draft.contact("cross_members", "sill_rails", 2.0 * box.cross_members * channel(0.08, 0.04, 0.003).area_m2, 0.1, steel,
                  fmt::format("{} ends, 0.1 m each", shown(2.0 * box.cross_members)));
    if (draft.has("box_floor")) {
        const bake::Layer& board = draft.zone("box_floor").layers.front();
        draft.contact("box_floor", "cross_members", box.cross_members * box.width_m * 0.04, 0.5 * board.thickness_m,
                      board.material.conductivity_w_per_m_k, "lying on the cross members, 40 mm wide");
    }
    draft.pieces("rear_doors", "rear_frame", Seam::hinged, 6.0);
    draft.seam("rear_frame", "posts", Seam::welded, 2.0 * box.body_m + box.width_m);
    draft.seam("rear_wall", "posts", skin, outline_m);
}

}  // namespace

void make_box_van(Shape& shape) {
    const double cab_m = shape.said.hear("cab", [](const std::string& text) {
        const std::string words = plain_words(text);
        if (words == "no" || words == "none" || words.starts_with("no ")) return 0.0;
        if (words.find("crew") != std::string::npos || words.find("four door") != std::string::npos ||
            words.find("4 door") != std::string::npos)
            return 2.8;
        if (words == "yes" || words.find("door") != std::string::npos) return 1.9;
        return heard(text, {.dimension = Dimension::length, .bare = "m", .takes_bare = true}).value;
    });
    const std::string front = plain_words(shape.said.text("front"));
    const bool has_cap = front.find("cap") != std::string::npos || (shape.said.is_said("front") && [&] {
                             const SaidLayers layers = said_layers(shape, "front", {.material = "GRP", .thickness = "4 mm"});
                             return !thermal::is_metal(layers.layers.front().material);
                         }());
    const HeardSection posts = shape.said.hear("posts", heard_section);
    const Box box = box_of(shape, cab_m, has_cap, posts.spacing_m > 0.0 ? posts.spacing_m : kPostSpacingM);
    const BodySize& size = shape.size;
    add_skins(shape, box, posts.section.depth_m);
    add_front(shape, box, has_cap);
    add_rear(shape, box);
    if (!shape.said.says("deck", {"none", "no", "open"})) {
        const SaidLayers deck = said_layers(shape, "deck", {.material = "ply", .thickness = "18 mm"});
        shape.draft.add({"box_floor",
                         "box floor",
                         box.length_m * box.width_m,
                         fmt::format("{} x {} m", shown(box.length_m), shown(box.width_m)),
                         size.floor_m,
                         box.width_m,
                         Orientation::faces_down,
                         deck.layers,
                         inside_of("box_air"),
                         false,
                         false,
                         {},
                         {place(DrawnOn::underside, (cab_m + box.gap_m) / size.length_m, 1.0)},
                         !deck.is_said,
                         "15 to 21 mm"});
        shape.draft.add_air("box_air", box.length_m * box.body_m * box.width_m * 0.97,
                            fmt::format("{} x {} x {} m x 0.97", shown(box.length_m), shown(box.body_m), shown(box.width_m)),
                            shape.leakage);
    } else {
        shape.draft.add_air("box_air", box.length_m * box.body_m * box.width_m * 0.97, "the box, open below",
                            heard("12 per h", {.dimension = Dimension::air_change_rate}));
    }
    add_frame(shape, box, posts);
    add_chassis_rails(shape, "cross_members", 2.0 * box.cross_members);
    join_box(shape, box, posts, has_cap ? "front_cap" : "front_wall");
    const double open_m2 = shape.draft.has("box_floor") ? 0.0 : box.length_m * box.width_m;
    shape.draft.built().check_area_m2 +=
        2.0 * (box.length_m * box.body_m + box.length_m * box.width_m + box.width_m * box.body_m) - open_m2;
    shape.draft.count_hull({"box_roof", "box_sides_upper", "box_sides_lower", "front_cap", "front_wall", "rear_doors",
                            "rear_frame", "rear_wall", "box_floor"});
    if (cab_m > 0.0) add_cab(shape, cab_m, "chassis_rails");
}

void add_cab(Shape& shape, double cab_m, const std::string& mounts) {
    const BodySize& size = shape.size;
    if (cab_m < 1.2 || cab_m > 4.0)
        Said::refuse("cab", fmt::format("A cab of {} m? Two doors are about 1.9 m, a crew cab 2.8 m.", shown(cab_m)));
    const double wide_m = std::min(size.width_m, 2.0), high_m = std::min(2.15, size.height_m - (mounts.empty() ? 0.0 : 0.1));
    const double hood_m = std::min(1.0, 0.4 * cab_m), run_m = std::min(0.9, 0.33 * cab_m), low_m = size.lowest_m;
    const double front_m = std::min(0.8, 0.5 * (high_m - low_m)), glass_m = high_m - low_m - front_m;
    if (glass_m < 0.3) Said::refuse("size", "The cab would have no room for its windows: are height and lowest paint right?");
    const double slope_m = std::hypot(run_m, glass_m), roof_m = cab_m - hood_m - run_m;
    const double side_m2 = cab_m * front_m + (cab_m - hood_m) * glass_m - 0.5 * run_m * glass_m;  // of one side
    const double band_m2 = (cab_m - hood_m) * glass_m - 0.5 * run_m * glass_m;
    const double doors_m2 = 0.9 * side_m2, side_glass_m2 = 1.1 * band_m2, screen_m2 = 0.85 * wide_m * slope_m;
    const double wings_m2 = 2.0 * side_m2 - doors_m2 - side_glass_m2 + 0.15 * wide_m * slope_m - 0.60;
    const double end = cab_m / size.length_m, low = low_m / size.height_m, high = high_m / size.height_m;
    const auto add = [&](const char* name, const char* title, double area_m2, const std::string& rule, double height_m,
                         Orientation lies, const char* layers, const Behind& behind, bool coated,
                         std::vector<bake::DrawnPlace> places, const char* range) {
        Part part{name,   title,  area_m2, rule, height_m,          high_m - low_m, lies, usual_layers(shape, layers),
                  behind, coated, false,   {},   std::move(places), true,           range};
        part.is_masked = std::string_view(name) == "cab_glass";
        if (lies != Orientation::vertical) part.length_m = wide_m;
        shape.draft.add(std::move(part));
    };
    const char* const sheet = "0.8 mm steel";
    const char* const sheets = "0.7 to 1.0 mm";
    add("hood", "hood", wide_m * hood_m, fmt::format("{} x {} m", shown(wide_m), shown(hood_m)), low_m + front_m,
        Orientation::faces_up, sheet, open_to_booth(), true, {place(DrawnOn::top, 0.0, hood_m / size.length_m)}, sheets);
    add("cab_front", "cab front", wide_m * front_m, fmt::format("{} x {} m", shown(wide_m), shown(front_m)),
        low_m + 0.5 * front_m, Orientation::vertical, sheet, open_to_booth(), true,
        {place(DrawnOn::front_end, 0.0, 1.0, low, low + front_m / size.height_m)}, sheets);
    add("cab_roof", "cab roof", wide_m * roof_m, fmt::format("{} x {} m", shown(wide_m), shown(roof_m)), high_m,
        Orientation::faces_up, sheet, inside_of("cab_air"), true, {place(DrawnOn::top, (hood_m + run_m) / size.length_m, end)},
        sheets);
    add("cab_back", "cab back wall", wide_m * (high_m - low_m), fmt::format("{} x {} m", shown(wide_m), shown(high_m - low_m)),
        0.5 * (high_m + low_m), Orientation::vertical, sheet, inside_of("cab_air"), true,
        {place(DrawnOn::inside, 0.0, 0.1, 0.0, 0.4)}, sheets);
    add("cab_sides", "cab sides, pillars, wings", wings_m2, "both sides without doors, glass and wheel openings", low_m + 0.65,
        Orientation::vertical, sheet, inside_of("cab_air"), true, {place(DrawnOn::sides, 0.0, end, low, high)}, sheets);
    add("cab_doors", "cab doors", doors_m2, "0.45 of each side", low_m + 0.75, Orientation::vertical,
        "0.8 mm steel, 50 mm gap, 0.7 mm steel", inside_of("cab_air"), true,
        {place(DrawnOn::sides, 0.45 * end, 0.95 * end, low + 0.03, high - 0.12)}, sheets);
    add("cab_glass", "cab glass, masked", side_glass_m2 + screen_m2, "0.55 of the side windows, 0.85 of the screen",
        high_m - 0.45, Orientation::vertical, "5 mm glass", inside_of("cab_air"), false,
        {place(DrawnOn::front_end, 0.1, 0.9, low + front_m / size.height_m, high),
         place(DrawnOn::sides, 0.5 * end, 0.9 * end, high - 0.12, high - 0.03)},
        "4 to 6 mm");
    add("cab_floor", "cab floor", wide_m * (cab_m - hood_m), fmt::format("{} x {} m", shown(wide_m), shown(cab_m - hood_m)),
        low_m, Orientation::faces_down, "1.2 mm steel", inside_of("cab_air"), false,
        {place(DrawnOn::underside, hood_m / size.length_m, end)}, "1.0 to 1.5 mm");
    shape.draft.pieces("cab_doors", "cab_sides", Seam::hinged, 8.0);
    if (!mounts.empty()) shape.draft.pieces("cab_floor", mounts, Seam::rubber_mounted, 6.0);
    shape.draft.add_air("cab_air", (side_m2 - hood_m * front_m) * wide_m * 0.9, "cab without the engine bay x 0.9",
                        shape.leakage);
    const double outline_m = front_m + hood_m + slope_m + roof_m + (high_m - low_m) + cab_m;
    shape.draft.built().check_area_m2 += 2.0 * side_m2 + wide_m * outline_m - wide_m * hood_m;
    shape.draft.count_hull({"hood", "cab_front", "cab_roof", "cab_back", "cab_sides", "cab_doors", "cab_glass", "cab_floor"},
                           0.60);  // wheel openings
}

}  // namespace bakewright::builder
