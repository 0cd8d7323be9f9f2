// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <regex>

#include "bakewright/base/error.hpp"
#include "bakewright/builder/sanity.hpp"
#include "bakewright/profile/read.hpp"
#include "shapes.hpp"

/// A shell of answers: what its shapes share, and what is loose in it.
namespace bakewright::builder {
namespace {

using bake::DrawnOn;
using bake::Orientation;

Heard metres(const std::string& text) { return heard(text, {.dimension = Dimension::length, .bare = "m", .takes_bare = true}); }

BodySize size_of(const Said& said) {
    const std::vector<Heard> sizes = said.hear("size", [](const std::string& text) { return heard_sizes(text, 3); });
    BodySize size{sizes[0].value, sizes[1].value, sizes[2].value};
    const std::vector<Heard> heights = said.hear("floor", [](const std::string& text) {
        const std::vector<std::string> parts = split(text, ",;");
        if (parts.size() != 2)
            throw NotUnderstood(
                fmt::format("'{}' should be two heights: floor, then lowest paint, such as 0.9 m, 0.45 m.", text));
        return std::vector{metres(parts[0]), metres(parts[1])};
    });
    size.floor_m = heights[0].value;
    size.lowest_m = std::min(heights[0].value, heights[1].value);
    if (heights[1].value > heights[0].value) said.doubt("floor", "The lowest paint is above the floor. Is that right?");
    if (!(size.floor_m < 0.8 * size.height_m))
        Said::refuse("floor", fmt::format("A floor {} m over the ground under a roof at {} m: which is right?",
                                          shown(size.floor_m), shown(size.height_m)));
    const auto check = [](double m, double least, double most, const char* what) {
        if (m < least || m > most)
            Said::refuse("size", fmt::format("{} of {} m? Write length x width x height with their unit.", what, shown(m)));
    };
    check(size.length_m, 0.5, 30.0, "A length");
    check(size.width_m, 0.3, 6.0, "A width");
    check(size.height_m, 0.3, 7.0, "A height");
    said.tell("size", fmt::format("{} x {} x {} m", shown(size.length_m), shown(size.width_m), shown(size.height_m)));
    return size;
}

/// Air changes with the booth. Common practice.
Heard leakage_of(const Said& said) {
    const auto changes = [](const char* best, double low, double high, const char* remark) {
        Heard read = heard(best, {.dimension = Dimension::air_change_rate});
        read.low = low / 3600.0;
        read.high = high / 3600.0;
        read.remark = remark;
        return read;
    };
    return said.hear("openings", [&](const std::string& text) {
        const std::string words = plain_words(text);
        const auto has = [&](const char* word) { return words.find(word) != std::string::npos; };
        if (has("tape") || has("shut") || has("closed") || has("seal"))
            return changes("1 per h", 0.3, 2.0, "shut and taped; 0.3 to 2 per h, common practice");
        if (has("mask") || has("film") || has("paper"))
            return changes(kMaskedLeakage, 2.0, 8.0, "masked openings; 2 to 8 per h, common practice");
        if (has("open") || has("off")) return changes("12 per h", 6.0, 25.0, "open; 6 to 25 per h, common practice");
        throw NotUnderstood(fmt::format("Are the openings taped shut, masked, or open? '{}' says none of it.", text));
    });
}

void add_drawing_size(bake::Shell& shell, const BodySize& size) {
    shell.size = bake::ShellSize{size.length_m, size.width_m, size.height_m};
}

void tell_layers(const Said& said, std::string_view key, const std::vector<HeardLayer>& layers) {
    std::string text;
    for (const HeardLayer& layer : layers)
        text += fmt::format("{}{:.3g} mm {}{}", text.empty() ? "" : ", ", 1e3 * layer.thickness.value,
                            layer.is_gap ? "gap" : layer.material.title, layer.remark.empty() ? "" : " (" + layer.remark + ")");
    said.tell(key, text);
    // Thicknesses that are rare in the trade. Common practice.
    for (const HeardLayer& layer : layers) {
        const double mm = 1e3 * layer.thickness.value;
        if (!layer.is_gap && thermal::is_metal(layer.material) && mm > 8.0 &&
            layer.thickness.written.find("mm") != std::string::npos)
            said.doubt(key, fmt::format("{:.3g} mm of {}? Did you mean {:.0f} gauge?", mm, layer.material.title, mm));
    }
}

/// The whole mass, and what of it no part stands for.
void weigh(Shape& shape) {
    if (!shape.said.is_said("mass")) return;
    const Heard mass = shape.said.quantity("mass", {.dimension = Dimension::mass, .bare = "kg", .takes_bare = true});
    Built& built = shape.draft.built();
    const double rest_kg = mass.value - built.mass_kg, share = built.mass_kg / mass.value;
    shape.said.tell("mass", fmt::format("{:.0f} kg said, {:.0f} kg of parts here", mass.value, built.mass_kg));
    if (rest_kg < 0.0)
        shape.said.doubt(
            "mass", fmt::format("The parts weigh {:.0f} kg, you said {:.0f} kg. Is a sheet too thick, or the size too large?",
                                built.mass_kg, mass.value));
    else if (share < 0.25 || share > 0.60)  // of running vehicles; from memory
        shape.said.doubt("mass",
                         fmt::format("The parts here are {:.0f} % of the {:.0f} kg you said; 25 to 60 % is usual for a vehicle "
                                     "that drives. Check the thicknesses.",
                                     100.0 * share, mass.value));
    if (rest_kg <= 0.0 || !shape.said.says("running_gear", {"yes", "stay", "stays", "on"}) || !shape.draft.has("chassis_rails"))
        return;
    constexpr double kGearThicknessM = 0.010;
    const double area_m2 = rest_kg / (7850.0 * kGearThicknessM);
    shape.draft.add({.name = "running_gear",
                     .title = "engine, axles, wheels",
                     .area_m2 = area_m2,
                     .rule = fmt::format("{:.0f} kg that no other part stands for, 10 mm thick", rest_kg),
                     .height_m = 0.5,
                     .length_m = 1.0,
                     .layers = usual_layers(shape, "10 mm steel"),
                     .behind = of_nothing(),
                     .is_coated = false,
                     .face_emissivity = kPrimedEmissivity,
                     .places = {place(DrawnOn::underside, 0.1, 0.9, 0.4, 0.6)}});
    constexpr double kBolts = 100.0;  // 30 W/K in all, common practice
    shape.draft.pieces("running_gear", "chassis_rails", Seam::bolted, kBolts);
}

}  // namespace

SaidLayers said_layers(const Shape& shape, std::string_view key, const UsualLayer& usual) {
    SaidLayers read;
    read.is_said = shape.said.is_said(key);
    const std::string text = shape.said.text(key);
    const std::string words = plain_words(text);
    if (words.starts_with("same")) {
        const SaidLayers sides = said_layers(shape, "sides", usual);
        return {sides.layers, sides.is_said};
    }
    read.layers = shape.said.hear(key, [&](const std::string& said) {
        return heard_layers(said, shape.draft.materials(), usual.thickness.empty() ? UsualLayer{"steel", "18 ga"} : usual);
    });
    const bool has_thickness = text.find_first_of("0123456789") != std::string::npos || words.find("half") != std::string::npos;
    if (read.is_said) tell_layers(shape.said, key, read.layers);
    read.is_said = read.is_said && has_thickness;
    return read;
}

std::vector<HeardLayer> usual_layers(const Shape& shape, const std::string& text) {
    return heard_layers(text, shape.draft.materials());
}

void add_behind(const Shape& shape, std::vector<HeardLayer>& layers, double post_depth_m) {
    const std::string text = shape.said.text("behind");
    const std::string words = plain_words(text);
    if (words.empty() || words.starts_with("no") || words == "empty" || words == "air") return;
    std::vector<HeardLayer> more = shape.said.hear("behind", [&](const std::string& said) {
        return heard_layers(words.starts_with("foam") ? said + " PU" : said, shape.draft.materials(), {"insulation", "40 mm"});
    });
    const bool is_touching = words.find("foam") != std::string::npos || words.find("pu") != std::string::npos ||
                             words.find("insul") != std::string::npos;
    if (!is_touching) {
        HeardLayer gap;
        gap.is_gap = true;
        gap.thickness.value = post_depth_m;
        gap.thickness.written = fmt::format("{:g} mm", 1e3 * post_depth_m);
        layers.push_back(gap);
    }
    layers.insert(layers.end(), more.begin(), more.end());
}

void add_chassis_rails(const Shape& shape, const std::string& above, double count) {
    if (shape.said.says("frame", {"none", "no"})) return;
    const HeardSection rails = shape.said.hear("frame", heard_section);
    Part part{.name = "chassis_rails",
              .title = "chassis rails",
              .height_m = std::max(0.1, shape.size.floor_m - 0.20),
              .behind = open_to_booth(),
              .places = {place(DrawnOn::underside, 0.02, 0.98, 0.28, 0.38), place(DrawnOn::underside, 0.02, 0.98, 0.62, 0.72)},
              .is_assumed = !shape.said.is_said("frame"),
              .range = "4 to 7 mm"};
    shape.draft.add_section(std::move(part), rails.section, 2.0 * shape.size.length_m);
    shape.said.tell("frame", "two of " + rails.written);
    shape.draft.pieces(above, "chassis_rails", Seam::bolted, count);
}

void make_panels(Shape& shape) {
    static const std::regex row(
        R"(^\s*(?:(\d+)\s+(?:x\s+)?(?=[A-Za-z]))?([A-Za-z][^\d]*?)?\s*:?\s*(\d[\d./'" -]*\s*(?:mm|cm|m|in|ft)?\s*[xX]\s*\d[\d./'" -]*\s*(?:mm|cm|m|in|ft)?\b)\s*,?\s*(.*)$)");
    const bool is_flat = shape.said.says("hung", {"flat", "stand", "lying", "trestle"});
    std::size_t number = 0;
    shape.said.hear("panels", [&](const std::string& text) {
        for (const std::string& one : split(text, ";")) {
            std::smatch found;
            if (!std::regex_match(one, found, row))
                throw NotUnderstood(fmt::format(
                    "I can't read '{}'. Write such as 2 doors 1.2 x 0.9 m, 0.8 mm steel; hood 1.5 x 1.2 m, 1 mm ally.", one));
            const double count = found[1].matched ? std::stod(found[1]) : 1.0;
            const std::vector<Heard> sizes = heard_sizes(found[3].str(), 2);
            const std::string words = plain_words(found[2].str());
            const std::string title = words.empty() ? "panel" : words;
            ++number;
            std::string name = name_from(title);
            if (shape.draft.has(name)) name += fmt::format("_{}", number);
            std::vector<HeardLayer> layers = heard_layers(found[4].str().empty() ? "0.8 mm steel" : found[4].str(),
                                                          shape.draft.materials(), {"steel", "0.8 mm"});
            const double w = sizes[0].value, h = sizes[1].value;
            shape.draft.add({name,
                             title,
                             count * w * h,
                             fmt::format("{} x {} x {} m", shown(count), shown(w), shown(h)),
                             is_flat ? 0.9 : 0.3 + 0.5 * std::max(w, h) + 0.4,
                             std::max(w, h),
                             is_flat ? Orientation::faces_up : Orientation::vertical,
                             layers,
                             open_to_booth(),
                             true,
                             false,
                             {},
                             {place(DrawnOn::beside, 0.0, 1.0)},
                             found[4].str().empty(),
                             "0.7 to 1.0 mm"});
            shape.draft.built().check_area_m2 += count * w * h;
            shape.draft.built().parts_area_m2 += shape.draft.zone(name).area_m2;
        }
        return 0;
    });
}

namespace {

enum class ShapeKind { box_van, bus, container, cab, tank, panels };

ShapeKind shape_of(const Said& said) {
    return said.hear("shape", [](const std::string& text) {
        const std::string words = plain_words(text);
        const auto has = [&](std::initializer_list<const char*> all) {
            return std::ranges::any_of(all, [&](const char* word) { return words.find(word) != std::string::npos; });
        };
        if (has({"bus", "coach"})) return ShapeKind::bus;
        if (has({"tank"})) return ShapeKind::tank;
        if (has({"container", "trailer"})) return ShapeKind::container;
        if (has({"panel", "part", "door", "hood", "lid", "loose"})) return ShapeKind::panels;
        if (has({"box", "van", "truck", "body"})) return ShapeKind::box_van;
        if (has({"cab"})) return ShapeKind::cab;
        throw NotUnderstood(fmt::format(
            "What shape is '{}' nearest to: box van, bus, trailer or container, cab, tank, loose panels, one panel?", text));
    });
}

}  // namespace

Built build_shell(const std::string& id, const Answers& answers, const profile::Library& library) {
    Built built;
    const Said said(profile::Kind::shell, answers, built);
    const MaterialWords materials(library);
    Draft draft(materials, built);
    bake::Shell& shell = draft.shell();
    shell.id = id;
    shell.title = said.text("title");
    const ShapeKind kind = shape_of(said);
    Shape shape{draft, said, {}, {}};
    if (kind == ShapeKind::panels) {
        make_panels(shape);
    } else {
        shape.size = size_of(said);
        shape.leakage = leakage_of(said);
        if (kind == ShapeKind::box_van || kind == ShapeKind::bus) shape.skin_fixing = said.hear("skin_fixing", heard_seam);
        if (kind == ShapeKind::box_van) make_box_van(shape);
        if (kind == ShapeKind::bus) make_bus(shape);
        if (kind == ShapeKind::container) make_container(shape);
        if (kind == ShapeKind::tank) make_tank(shape);
        if (kind == ShapeKind::cab) add_cab(shape, shape.size.length_m, "");
        add_drawing_size(shell, shape.size);
        weigh(shape);
        add_loose_things(shape);
    }
    shell.answers = answers;
    built.text = profile::to_hand_toml(built.shell, library, built.style);
    // What is written is what was meant, to the last bit.
    const profile::Located<profile::ShellProfile> again = profile::read_shell(built.text, id + ".toml", library);
    if (!again.problems.empty()) throw InputError(again.problems);
    ensure(again.record == built.shell, "a shell that was written reads back as the same");
    return built;
}

}  // namespace bakewright::builder
