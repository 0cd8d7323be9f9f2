// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <array>
#include <regex>

#include "shapes.hpp"

/// What is still in a shell, and trim that stays bare.
namespace bakewright::builder {
namespace {

using cure::ExposureLimit;
using cure::ExposureScope;
using cure::LimitKind;

/// Something that heat can spoil, as it usually is: heat capacity, its film and its face to the air.
struct UsualThing {
    std::string_view name, title;
    std::array<std::string_view, 5> heard;
    double heat_capacity_j_per_k, area_m2;
    std::vector<ExposureLimit> limits;
    std::string_view source;
};

ExposureLimit never_at(double temperature_c) {
    return {celsius_to_kelvin(temperature_c), 0.0, ExposureScope::bake, LimitKind::never};
}
ExposureLimit warn_at(double temperature_c) {
    return {celsius_to_kelvin(temperature_c), 0.0, ExposureScope::bake, LimitKind::warn};
}

const std::vector<UsualThing>& usual_things() {
    static const std::vector<UsualThing> things{
        {"seats",
         "seats, foam and cloth",
         {"seat", "upholster", "bench", "cushion"},
         60e3,
         6.0,
         {warn_at(60.0), never_at(70.0)},
         "common practice: soft foam takes a set from 60 degC on; leather and vinyl less, ask their maker"},
        {"screen",
         "screen",
         {"screen", "display", "monitor", "radio", "electronic"},
         4e3,
         0.25,
         {never_at(60.0)},
         "display makers' pages: storage to 60 degC for consumer displays"},
        {"battery",
         "battery",
         {"batter", "lithium", "accu"},
         25e3,
         0.4,
         {never_at(50.0)},
         "trade articles on refinishing electric vehicles: many vehicle makers stop at about 50 degC (120 °F); the maker's limit "
         "counts"},
        {"wiring",
         "wiring and plugs",
         {"wiring", "loom", "cable", "harness", "lamp"},
         5e3,
         1.0,
         {warn_at(70.0), never_at(85.0)},
         "common practice: PVC-sheathed cable is rated 70 to 105 degC; the lamps' maker counts"},
        {"headliner",
         "headliner",
         {"headliner", "roof lining", "trim", "carpet", "lining"},
         8e3,
         5.0,
         {warn_at(65.0), never_at(80.0)},
         "common practice: the glue of linings lets go first"}};
    return things;
}

/// Never baked, whatever the limits say.
bool must_come_out(const std::string& words) {
    static const std::regex never(
        R"(\b(lp gas|lpg|propane|butane|gas (bottle|cylinder|tank)|bottled gas|fuel|petrol|gasoline|diesel can|aerosol|spray can|extinguisher|airbag|oxygen|acetylene)s?\b)");
    return std::regex_search(words, never);
}

void add_thing(Shape& shape, const UsualThing& thing) {
    profile::ShellProfile& profile = shape.draft.built().shell;
    const std::vector<bake::Cavity>& air = profile.shell.cavities;
    constexpr double kFilm = 8.0;  // still air and radiation, common practice [W/(m2 K)]
    bake::Item item;
    item.name = thing.name;
    item.title = thing.title;
    item.place = air.empty() ? bake::Item::Place::booth : bake::Item::Place::cavity;
    item.where = air.empty() ? std::string() : air.front().name;
    item.heat_capacity_j_per_k = thing.heat_capacity_j_per_k;
    item.conductance_w_per_k = kFilm * thing.area_m2;
    cure::HeatSensitiveItem limits{
        item.name,
        item.title,
        thing.limits,
        {{"heat_capacity", "assumed, common practice"},
         {"conductance", fmt::format("assumed: {} m2 at 8 W/m2K, still air and radiation", shown(thing.area_m2))},
         {"limits", std::string(thing.source)}}};
    profile.shell.items.push_back(std::move(item));
    profile.item_limits.push_back(std::move(limits));
    shape.draft.assume(std::string(thing.title), "limits of its kind", "", "ask its maker, or take it out");
}

void add_things_inside(Shape& shape) {
    const std::string text = shape.said.text("inside");
    const std::string words = plain_words(text);
    if (must_come_out(words))
        Said::refuse("inside", fmt::format("'{}': take it out. There is no plan while it is still in.", text));
    if (words.empty() || words == "no" || words.starts_with("nothing") || words.starts_with("none") || words == "empty") return;
    for (const std::string& one : split(text, ",;+")) {
        const std::string said = plain_words(one);
        const UsualThing* found = nullptr;
        for (const UsualThing& thing : usual_things())
            for (const std::string_view word : thing.heard)
                if (!word.empty() && (" " + said).find(" " + std::string(word)) != std::string::npos && found == nullptr)
                    found = &thing;
        const bool is_furniture = said.find("shel") != std::string::npos || said.find("furniture") != std::string::npos ||
                                  said.find("cupboard") != std::string::npos;
        if (found != nullptr) {
            add_thing(shape, *found);
        } else if (is_furniture && !shape.draft.shell().cavities.empty()) {
            bake::Cavity& air = shape.draft.shell().cavities.front();
            air.contents_heat_capacity_j_per_k = 1.6e3 * 100.0;  // 100 kg of board
            air.contents_conductance_w_per_k = 8.0 * 20.0;       // both faces of 10 m2
            air.contents_limits = {celsius_to_kelvin(50.0), celsius_to_kelvin(60.0)};
            air.contents_limit_source = "common practice: glue of furniture board; ask its maker";
            shape.draft.assume("shelves and furniture", "100 kg of board, 20 m2 of faces", "30 to 300 kg",
                               "weigh or count the boards");
        } else {
            Said::refuse("inside", fmt::format("What is '{}'? Known are seats, screen, battery, wiring, headliner, shelves; "
                                               "leave the rest out or enter it as an item.",
                                               one));
        }
    }
}

void add_bare_trim(Shape& shape) {
    const std::string text = shape.said.text("bare");
    const std::string words = plain_words(text);
    if (must_come_out(words))
        Said::refuse("bare", fmt::format("'{}': take it out. There is no plan while it is still in.", text));
    if (words.empty() || words == "no" || words.starts_with("none") || words.starts_with("nothing")) return;
    static const std::regex row(R"(^(.*?)\s*(\d+)\s*x\s*(\d[^x]*?)\s*x\s*(\d[\d.]*\s*(?:mm|cm|m|in)?)\s*(.*)$)",
                                std::regex::icase);
    std::size_t number = 0;
    for (const std::string& one : split(text, ";")) {
        std::smatch found;
        if (!std::regex_match(one, found, row))
            Said::refuse(
                "bare",
                fmt::format(
                    "I can't read '{}'. Write name, count x length x width, material: rub rail 2 x 4 m x 80 mm stainless.", one));
        shape.said.hear("bare", [&](const std::string&) {
            const double count = std::stod(found[2]);
            const double along_m = heard(found[3].str(), {.dimension = Dimension::length, .bare = "m", .takes_bare = true}).value;
            const double wide_m = heard(found[4].str(), {.dimension = Dimension::length, .bare = "mm", .takes_bare = true}).value;
            const std::string title = plain_words(found[1].str()).empty() ? "bare trim" : plain_words(found[1].str());
            const std::string name = fmt::format("{}_{}", name_from(title), ++number);
            const std::string what = found[5].str().empty() ? "stainless" : found[5].str();
            shape.draft.add({.name = name,
                             .title = title + ", bare",
                             .area_m2 = count * along_m * wide_m,
                             .rule = fmt::format("{} x {} x {} m", shown(count), shown(along_m), shown(wide_m)),
                             .height_m = std::max(shape.size.floor_m, 0.5),
                             .length_m = wide_m,
                             .layers = heard_layers(what, shape.draft.materials(), {"stainless", "1.5 mm"}),
                             .behind = of_nothing(),
                             .is_coated = false,
                             .places = {place(bake::DrawnOn::sides, 0.4, 0.9, 0.40, 0.43)},
                             .is_assumed = what.find_first_of("0123456789") == std::string::npos,
                             .range = "1 to 2 mm"});
            for (const char* sheet : {"box_sides_lower", "sides_lower", "sides", "cab_sides"})
                if (shape.draft.has(sheet)) {
                    shape.draft.seam(name, sheet, Seam::rubber_strip, count * along_m);
                    shape.draft.shell().links.back().to_side = bake::Link::Side::outer;
                    break;
                }
            return 0;
        });
    }
}

}  // namespace

void add_loose_things(Shape& shape) {
    add_things_inside(shape);
    add_bare_trim(shape);
}

}  // namespace bakewright::builder
