// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "shapes.hpp"

/// Trailers, containers and tanks.
namespace bakewright::builder {
using bake::DrawnOn;
using bake::Orientation;

double closed_m2(double a, double b, double c) { return 2.0 * (a * b + a * c + b * c); }

void add_deck(Shape& shape, const char* name, double length_m, const UsualLayer& usual, const std::string& air,
              double air_share) {
    const SaidLayers deck = said_layers(shape, "deck", usual);
    const BodySize& size = shape.size;
    shape.draft.add({name,
                     "floor",
                     length_m * size.width_m,
                     fmt::format("{} x {} m", shown(length_m), shown(size.width_m)),
                     size.floor_m,
                     size.width_m,
                     Orientation::faces_down,
                     deck.layers,
                     inside_of(air),
                     false,
                     false,
                     {},
                     {place(DrawnOn::underside, 0.0, 1.0)},
                     !deck.is_said,
                     "15 to 28 mm"});
    shape.draft.add_air(air, length_m * size.width_m * size.body_m() * air_share,
                        fmt::format("{} x {} x {} m x {}", shown(length_m), shown(size.width_m), shown(size.body_m()), air_share),
                        shape.leakage);
}

void make_container(Shape& shape) {
    const BodySize& size = shape.size;
    const bool is_flat = shape.said.says("corrugated", {"no", "flat", "smooth", "plain"});
    // Trapezoids of the usual freight container: side 72, 70, 68 and 36 mm, ends 110, 104, 18 and 45.6 mm. From memory.
    const double side_factor = is_flat ? 1.0 : developed_factor(0.072, 0.070, 0.068, 0.036);
    const double end_factor = is_flat ? 1.0 : developed_factor(0.110, 0.104, 0.018, 0.0456);
    const double tall_m = size.body_m(), low = size.floor_m / size.height_m, along_m = tall_m;
    const auto factor_text = [](double factor) {
        return factor > 1.0 ? fmt::format(" x {:.3f} corrugated", factor) : std::string();
    };
    SaidLayers sides = said_layers(shape, "sides", {.material = "steel", .thickness = "1.6 mm"}),
               roof = said_layers(shape, "roof", {.material = "steel", .thickness = "2 mm"});
    add_behind(shape, sides.layers, 0.04);
    add_behind(shape, roof.layers, 0.04);
    const double middle_m = size.floor_m + 0.5 * tall_m;
    shape.draft.add({"roof",
                     "roof",
                     size.length_m * size.width_m,
                     fmt::format("{} x {} m", shown(size.length_m), shown(size.width_m)),
                     size.height_m,
                     size.width_m,
                     Orientation::faces_up,
                     roof.layers,
                     inside_of("inside_air"),
                     true,
                     false,
                     {},
                     {place(DrawnOn::top, 0.0, 1.0)},
                     !roof.is_said,
                     "1.2 to 2 mm"});
    shape.draft.add({"sides",
                     "sides",
                     2.0 * size.length_m * tall_m * side_factor,
                     fmt::format("2 x {} x {} m{}", shown(size.length_m), shown(tall_m), factor_text(side_factor)),
                     middle_m,
                     along_m,
                     Orientation::vertical,
                     sides.layers,
                     inside_of("inside_air"),
                     true,
                     false,
                     {},
                     {place(DrawnOn::sides, 0.0, 1.0, low, 1.0)},
                     !sides.is_said,
                     "1.2 to 2 mm"});
    for (const bool is_front : {true, false}) {
        const SaidLayers end = said_layers(shape, is_front ? "front" : "rear", {.material = "steel", .thickness = "2 mm"});
        const double factor = is_front ? end_factor : 1.0;
        shape.draft.add({is_front ? "front_end" : "doors",
                         is_front ? "front end" : "doors",
                         size.width_m * tall_m * factor,
                         fmt::format("{} x {} m{}", shown(size.width_m), shown(tall_m), factor_text(factor)),
                         middle_m,
                         along_m,
                         Orientation::vertical,
                         end.layers,
                         inside_of("inside_air"),
                         true,
                         false,
                         {},
                         {place(is_front ? DrawnOn::front_end : DrawnOn::rear_end, 0.0, 1.0, low, 1.0)},
                         !end.is_said,
                         "1.6 to 2.5 mm"});
    }
    add_deck(shape, "floor", size.length_m, {.material = "ply", .thickness = "28 mm"}, "inside_air", 0.97);
    Draft& draft = shape.draft;
    Part posts{.name = "corner_posts",
               .title = "corner posts",
               .area_m2 = 4.0 * 0.5 * tall_m,
               .rule = fmt::format("4 x 0.5 x {} m", shown(tall_m)),
               .height_m = middle_m,
               .length_m = 0.15,
               .layers = usual_layers(shape, "6 mm steel"),
               .behind = of_nothing(),
               .places = {place(DrawnOn::sides, 0.0, 0.02, low, 1.0), place(DrawnOn::sides, 0.98, 1.0, low, 1.0)},
               .range = "5 to 8 mm"};
    draft.add(std::move(posts));
    const double members = std::round(size.length_m / 0.35) + 1.0;
    draft.add_section({.name = "bottom_rails",
                       .title = "bottom rails",
                       .height_m = size.floor_m + 0.07,
                       .behind = open_to_booth(),
                       .places = {place(DrawnOn::underside, 0.0, 1.0, 0.0, 0.05), place(DrawnOn::underside, 0.0, 1.0, 0.95, 1.0)},
                       .range = "4 to 6 mm"},
                      channel(0.150, 0.048, 0.0045), 2.0 * size.length_m);
    draft.add_section({.name = "cross_members",
                       .title = "cross members",
                       .height_m = size.floor_m + 0.05,
                       .behind = open_to_booth(),
                       .places = {place(DrawnOn::underside, 0.03, 0.97, 0.1, 0.2)},
                       .range = "3 to 5 mm"},
                      channel(0.122, 0.045, 0.004), members * size.width_m);
    const double steel = draft.materials().find("steel").conductivity_w_per_m_k;
    draft.seam("sides", "corner_posts", Seam::welded, 4.0 * tall_m);
    draft.seam("front_end", "corner_posts", Seam::welded, 2.0 * tall_m);
    draft.pieces("doors", "corner_posts", Seam::hinged, 8.0);
    draft.seam("sides", "roof", Seam::welded, 2.0 * size.length_m);
    draft.seam("front_end", "roof", Seam::welded, size.width_m);
    draft.seam("sides", "bottom_rails", Seam::welded, 2.0 * size.length_m);
    draft.contact("cross_members", "bottom_rails", 2.0 * members * channel(0.122, 0.045, 0.004).area_m2, 0.1, steel,
                  fmt::format("{} ends, 0.1 m each", shown(2.0 * members)));
    draft.contact("corner_posts", "bottom_rails", 4.0 * 0.5 * 0.006, 0.3, steel, "feet of 4 posts, 0.3 m each");
    const bake::Layer& board = draft.zone("floor").layers.front();
    draft.contact("floor", "cross_members", members * size.width_m * 0.045, 0.5 * board.thickness_m,
                  board.material.conductivity_w_per_m_k, "lying on the cross members, 45 mm wide");
    draft.built().check_area_m2 += closed_m2(size.length_m, size.width_m, tall_m);
    draft.count_hull({"roof", "doors", "floor"});
    draft.built().parts_area_m2 += draft.zone("sides").area_m2 / side_factor + draft.zone("front_end").area_m2 / end_factor;
}

void make_tank(Shape& shape) {
    if (!shape.said.says("gas_free", {"yes", "certified", "gas", "open", "clean"}))
        Said::refuse("gas_free",
                     "A tank is baked only open, cleaned, vented and certified gas-free by a competent person. Without that "
                     "there is no plan.",
                     "yes");
    const BodySize& size = shape.size;
    const double a = 0.5 * size.width_m, c = 0.5 * size.body_m();
    const double e = std::pow((a - c) / (a + c), 2);
    const double outline_m =
        std::numbers::pi * (a + c) * (1.0 + 3.0 * e / (10.0 + std::sqrt(4.0 - 3.0 * e)));  // Ramanujan's second
    const bool is_dished = shape.said.says("heads", {"dished", "domed", "round"});
    const SaidLayers shell = said_layers(shape, "sides", {.material = "steel", .thickness = "4 mm"});
    const double third_m2 = outline_m * size.length_m / 3.0, middle_m = size.floor_m + c;
    const std::string rule = fmt::format("a third of {} x {} m", shown(outline_m), shown(size.length_m));
    const auto add = [&](const char* name, const char* title, double area_m2, const std::string& how, double height_m,
                         double along_m, Orientation lies, std::vector<bake::DrawnPlace> places) {
        shape.draft.add({name,
                         title,
                         area_m2,
                         how,
                         height_m,
                         along_m,
                         lies,
                         shell.layers,
                         inside_of("tank_air"),
                         true,
                         false,
                         {},
                         std::move(places),
                         !shell.is_said,
                         "4 to 5 mm"});
    };
    const double low = size.floor_m / size.height_m;
    add("crown", "top of the tank", third_m2, rule, size.height_m - 0.1, size.width_m, Orientation::faces_up,
        {place(DrawnOn::top, 0.0, 1.0)});
    add("flanks", "sides of the tank", third_m2, rule, middle_m, 2.0 * c, Orientation::vertical,
        {place(DrawnOn::sides, 0.0, 1.0, low, 1.0)});
    add("belly", "bottom of the tank", third_m2, rule, size.floor_m + 0.1, size.width_m, Orientation::faces_down,
        {place(DrawnOn::underside, 0.0, 1.0)});
    add("heads", "heads", 2.0 * std::numbers::pi * a * c * (is_dished ? 1.10 : 1.0),
        is_dished ? "2 pi a c x 1.10, dished" : "2 pi a c, flat", middle_m, 2.0 * c, Orientation::vertical,
        {place(DrawnOn::ends, 0.0, 1.0, low, 1.0)});
    Draft& draft = shape.draft;
    draft.add({.name = "saddles",
               .title = "saddles",
               .area_m2 = 2.0,
               .rule = "4 x 0.5 m2",
               .height_m = size.floor_m,
               .length_m = 0.5,
               .layers = usual_layers(shape, "6 mm steel"),
               .behind = open_to_booth(),
               .places = {place(DrawnOn::sides, 0.2, 0.3, 0.5 * low, low)},
               .range = "5 to 8 mm"});
    Heard open = shape.leakage;
    draft.add_air("tank_air", std::numbers::pi * a * c * size.length_m,
                  fmt::format("pi x {} x {} x {} m", shown(a), shown(c), shown(size.length_m)), open);
    draft.seam("crown", "flanks", Seam::one_sheet, 2.0 * size.length_m);
    draft.seam("flanks", "belly", Seam::one_sheet, 2.0 * size.length_m);
    draft.seam("heads", "flanks", Seam::welded, outline_m * 2.0 / 3.0);
    draft.seam("heads", "crown", Seam::welded, outline_m * 2.0 / 3.0);
    draft.seam("saddles", "belly", Seam::welded, 4.0);
    add_chassis_rails(shape, "saddles", 8.0);
    draft.built().check_area_m2 += outline_m * size.length_m + 2.0 * std::numbers::pi * a * c * (is_dished ? 1.10 : 1.0);
    draft.count_hull({"crown", "flanks", "belly", "heads"});
}

}  // namespace bakewright::builder
