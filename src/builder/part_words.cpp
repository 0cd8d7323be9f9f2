// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>

#include "bakewright/base/format.hpp"
#include "bakewright/builder/joints.hpp"
#include "bakewright/builder/material_words.hpp"
#include "bakewright/builder/sanity.hpp"
#include "bakewright/profile/edit.hpp"
#include "bakewright/profile/read.hpp"
#include "part_text.hpp"

/// A shell's parts as forms show them.
namespace bakewright::builder {
namespace {

std::string written_or(const ReadShell& read, const std::string& key, const std::string& otherwise) {
    const profile::LineIndex::Written* const written = read.lines.written(key);
    return written == nullptr ? otherwise : written->text;
}

std::vector<JointWords> joints_of(const ReadShell& read, const std::string& text, const bake::Zone& zone) {
    std::vector<JointWords> joints;
    const std::vector<bake::Link>& links = read.record.shell.links;
    for (std::size_t i = 0; i < links.size(); ++i) {
        if (links[i].from != zone.name && links[i].to != zone.name) continue;
        JointWords joint{
            .link = i, .part = links[i].from == zone.name ? links[i].to : links[i].from, .w_per_k = links[i].conductance_w_per_k};
        if (const auto held = held_by(profile::remark_behind(text, fmt::format("link[{}].conductance", i)))) {
            joint.how = words_for(held->how);
            joint.extent = is_by_piece(held->how) ? shown(held->extent) : shown(held->extent) + " m";
        }
        joints.push_back(std::move(joint));
    }
    return joints;
}

std::vector<PlaceWords> places_of(const bake::Shell& shell, const bake::Zone& zone) {
    std::vector<PlaceWords> places;
    if (!shell.size) return places;
    for (const bake::DrawnPlace& place : zone.places) {
        const DrawnFace face = drawn_face(place.on, *shell.size);
        const auto length = [](double metres) { return fmt::format("{:.2f} m", metres); };
        places.push_back({std::string(word_of(place.on)), length(place.from * face.along_m), length(place.to * face.along_m),
                          length(place.low * face.up_m), length(place.high * face.up_m)});
    }
    return places;
}

PartWords words_of_part(const ReadShell& read, const std::string& text, std::size_t index) {
    const bake::Shell& shell = read.record.shell;
    const bake::Zone& zone = shell.zones[index];
    PartWords part{.name = zone.name,
                   .title = title_of(zone),
                   .is_test_panel = zone.role == bake::ZoneRole::test_panel,
                   .behind = behind_of(zone),
                   .finish = finish_of(zone),
                   .area = written_or(read, fmt::format("zone[{}].area", index), format_area(zone.area_m2, {})),
                   .area_m2 = zone.area_m2,
                   .mass_kg = zone_mass_kg(zone),
                   .height_m = zone.height_m,
                   .places = places_of(shell, zone),
                   .joints = joints_of(read, text, zone)};
    for (std::size_t i = 0; i < zone.layers.size(); ++i) part.layers.push_back(words_of_layer(read, index, i));
    for (const bake::Item& item : shell.items)
        if (item.place == bake::Item::Place::zone && item.where == zone.name)
            part.items.push_back(item.title.empty() ? item.name : item.title);
    part.is_assumed = profile::remark_behind(text, fmt::format("zone[{}].layers", index)).starts_with("assumed");
    return part;
}

std::vector<PartChoice> behinds_in(const bake::Shell& shell) {
    std::vector<PartChoice> all{{"booth", "nothing: open to the booth"}};
    if (shell.cavities.empty()) all.push_back({"cavity", "the inside"});
    for (const bake::Cavity& cavity : shell.cavities) {
        const bool is_only = shell.cavities.size() == 1;
        all.push_back({"cavity " + cavity.name, is_only ? "the inside" : fmt::format("the inside: {}", cavity.name)});
    }
    all.push_back({"lining", "a lining, then the inside"});
    all.push_back({"nothing", "a closed box section"});
    return all;
}

std::vector<PartChoice> finishes() {
    return {{"painted", "painted"},
            {"primed", "primed, not finished"},
            {"bare", "bare"},
            {"masked", "masked"},
            {"painted_masked", "painted, and masked now"}};
}

std::vector<PartChoice> sides() {
    using enum bake::DrawnOn;
    std::vector<PartChoice> all;
    for (const auto& [on, words] : {std::pair{sides, "both sides"},
                                    {left_side, "left side"},
                                    {right_side, "right side"},
                                    {top, "top"},
                                    {front_end, "front end"},
                                    {rear_end, "rear end"},
                                    {underside, "underside"},
                                    {inside, "inside"},
                                    {beside, "beside it"}})
        all.push_back({std::string(words_of(on)[static_cast<std::size_t>(on)]), words});
    return all;
}

}  // namespace

ReadShell read_good_shell(const std::string& text, const profile::Library& library) {
    ReadShell read = profile::read_shell(text, "new.toml", library);
    if (!read.problems.empty()) throw InputError(read.problems);
    return read;
}

std::size_t index_of_part(const bake::Shell& shell, const std::string& name) {
    const auto found = std::ranges::find(shell.zones, name, &bake::Zone::name);
    if (found == shell.zones.end()) throw InputError(Problem{{}, 0, "part", fmt::format("the shell has no part '{}'", name)});
    return static_cast<std::size_t>(found - shell.zones.begin());
}

std::string title_of(const bake::Zone& zone) { return zone.title.empty() ? zone.name : zone.title; }

std::string behind_of(const bake::Zone& zone) {
    if (zone.inner.view == bake::FaceView::cavity) return "cavity " + zone.inner.cavity;
    return zone.inner.view == bake::FaceView::booth ? "booth" : "nothing";
}

std::string finish_of(const bake::Zone& zone) {
    const bool is_masked = zone.outer.masking != bake::Masking::none;
    if (zone.coated) return is_masked ? "painted_masked" : "painted";
    if (is_masked) return "masked";
    constexpr double kLeastOfPaint = 0.8;
    const bool is_own = zone.outer.emissivity == zone.layers.front().material.emissivity;
    return !is_own && zone.outer.emissivity >= kLeastOfPaint ? "primed" : "bare";
}

LayerWords words_of_layer(const ReadShell& read, std::size_t part, std::size_t layer) {
    const bake::Layer& is = read.record.shell.zones[part].layers[layer];
    const bool is_gap = is.kind == bake::Layer::Kind::air_gap;
    const std::string key = fmt::format("zone[{}].layers[{}].{}", part, layer, is_gap ? "gap" : "thickness");
    const std::string& name = is.material.title.empty() ? is.material.id : is.material.title;
    return {is_gap ? kGapWord : name, written_or(read, key, format_thickness(is.thickness_m, {})), is.thickness_m};
}

ShellParts parts_in(const std::string& text, const profile::Library& library) {
    const ReadShell read = read_good_shell(text, library);
    ShellParts all{.behinds = behinds_in(read.record.shell), .finishes = finishes(), .sides = sides()};
    for (std::size_t i = 0; i < read.record.shell.zones.size(); ++i) all.parts.push_back(words_of_part(read, text, i));
    for (const Seam seam : all_seams()) all.seams.emplace_back(words_for(seam));
    all.materials = MaterialWords(library).titles();
    all.materials.emplace_back(kGapWord);
    return all;
}

}  // namespace bakewright::builder
