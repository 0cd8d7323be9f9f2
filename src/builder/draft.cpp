// SPDX-License-Identifier: Apache-2.0
#include "draft.hpp"

#include <fmt/format.h>

#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/builder/joints.hpp"
#include "bakewright/builder/sanity.hpp"

namespace bakewright::builder {
namespace {

/// To so many decimals, as a hand writes it; reads back as the same number.
double rounded(double value, int decimals) {
    const double scale = std::pow(10.0, decimals);
    return std::round(value * scale) / scale;
}

std::string layers_text(const std::vector<HeardLayer>& layers) {
    std::string text;
    for (const HeardLayer& layer : layers)
        text += fmt::format("{}{:.3g} mm {}", text.empty() ? "" : ", ", 1e3 * layer.thickness.value,
                            layer.is_gap ? "gap" : layer.material.title);
    return text;
}

bake::Layer layer_of(const HeardLayer& heard) {
    bake::Layer layer;
    layer.kind = heard.is_gap ? bake::Layer::Kind::air_gap : bake::Layer::Kind::solid;
    layer.material = heard.material;
    layer.thickness_m = heard.thickness.value;
    return layer;
}

}  // namespace

bake::DrawnPlace place(bake::DrawnOn on, double from, double to, double low, double high) {
    const auto share = [](double value) { return std::min(1.0, std::max(0.0, rounded(value, 4))); };
    return {on, share(from), share(to), share(low), share(high)};
}

const bake::Zone& Draft::zone(const std::string& name) const {
    const bake::Zone* const found = built_->shell.shell.find_zone(name);
    ensure(found != nullptr, "a part that is asked for was added");
    return *found;
}

void Draft::count_hull(std::initializer_list<const char*> names, double beside_m2) {
    built_->parts_area_m2 += beside_m2;
    for (const char* name : names)
        if (has(name)) built_->parts_area_m2 += zone(name).area_m2;
}

void Draft::assume(const std::string& what, const std::string& value, const std::string& range, const std::string& find_out) {
    built_->assumed.push_back({what, value, range, "common practice, no source", find_out});
}

void Draft::add(Part part) {
    if (!(part.area_m2 > 1e-4)) return;
    bake::Zone zone;
    zone.name = part.name;
    zone.title = part.title;
    zone.area_m2 = rounded(part.area_m2, 4);
    zone.height_m = rounded(std::max(0.0, part.height_m), 3);
    zone.length_m = rounded(std::max(0.01, part.length_m), 3);
    zone.orientation = part.orientation;
    const std::size_t index = shell().zones.size();
    const std::string path = fmt::format("zone[{}]", index);
    for (std::size_t i = 0; i < part.layers.size(); ++i) {
        zone.layers.push_back(layer_of(part.layers[i]));
        built_->style.as_typed[fmt::format("{}.layers[{}].{}", path, i, part.layers[i].is_gap ? "gap" : "thickness")] =
            part.layers[i].thickness.written;
    }
    zone.inner.view = part.behind.view;
    zone.inner.cavity = part.behind.cavity;
    zone.coated = part.is_coated;
    if (!part.is_coated) zone.outer.emissivity = part.face_emissivity.value_or(zone.layers.front().material.emissivity);
    if (part.is_masked) zone.outer.masking = bake::Masking::paper;
    zone.places = std::move(part.places);
    built_->style.remarks[path + ".area"] = "from the sizes: " + part.rule;
    if (part.is_assumed) {
        const std::string range = part.range.empty() ? std::string() : ", " + part.range;
        built_->style.remarks[path + ".layers"] = fmt::format("assumed, common practice{}", range);
        assume(part.title, layers_text(part.layers), part.range, "calliper at an edge or a hole");
    } else {
        built_->style.remarks[path + ".layers"] = "as said";
    }
    built_->mass_kg += zone_mass_kg(zone);
    if (zone.coated) built_->painted_area_m2 += zone.area_m2;
    shell().zones.push_back(std::move(zone));
}

void Draft::add_section(Part part, const Section& section, double length_m, const std::string& material) {
    part.area_m2 = section.perimeter_m * length_m;
    part.rule = fmt::format("outline {:.4f} m x {} m", section.perimeter_m, shown(length_m));
    part.length_m = section.depth_m;
    HeardLayer layer;
    layer.material = materials_->find(material);
    layer.thickness.value = rounded(section.layer_m(), 7);
    layer.thickness.written = fmt::format("{:.7g} mm", 1e3 * layer.thickness.value);
    part.layers = {layer};
    part.is_coated = false;
    if (!part.face_emissivity) part.face_emissivity = kPrimedEmissivity;
    if (section.is_closed && part.behind.view == bake::FaceView::booth) part.behind = of_nothing();
    sections_.insert(part.name);
    add(std::move(part));
}

void Draft::add_air(const std::string& name, double volume_m3, const std::string& rule, const Heard& leakage) {
    bake::Cavity cavity;
    cavity.name = name;
    cavity.volume_m3 = rounded(volume_m3, 3);
    cavity.leakage_per_s = leakage.value;
    const std::string path = fmt::format("cavity[{}]", shell().cavities.size());
    built_->style.as_typed[path + ".leakage"] = leakage.written;
    built_->style.remarks[path + ".volume"] = "from the sizes: " + rule;
    if (!leakage.remark.empty()) built_->style.remarks[path + ".leakage"] = leakage.remark;
    shell().cavities.push_back(std::move(cavity));
}

void Draft::link(const std::string& from, const std::string& to, const SeamPath& path, std::optional<double> seam_m) {
    const Joint joint = joint_of(from, to, path, seam_m);
    if (!(joint.link.conductance_w_per_k > 0.0)) return;
    built_->style.remarks[fmt::format("link[{}].conductance", shell().links.size())] = joint.remark;
    shell().links.push_back(joint.link);
}

void Draft::seam(const std::string& from, const std::string& to, Seam how, double length_m, bool over) {
    if (!has(from) || !has(to) || !(length_m > 0.0) || how == Seam::not_touching) return;
    if (is_by_piece(how)) return pieces(from, to, how, usual_pieces(length_m));
    link(from, to,
         seam_path({&zone(from), sections_.contains(from), over}, {&zone(to), sections_.contains(to), false}, how, length_m),
         length_m);
}

void Draft::pieces(const std::string& from, const std::string& to, Seam how, double count) {
    if (has(from) && has(to) && count > 0.0) link(from, to, path_through(how, count));
}

void Draft::contact(const std::string& from, const std::string& to, double area_m2, double length_m, double w_per_m_k,
                    const std::string& rule) {
    if (!has(from) || !has(to) || !(area_m2 > 0.0)) return;
    const double best = w_per_m_k * area_m2 / length_m;
    link(from, to, {{0.5 * best, best, 2.0 * best}, rule + "; k A / l"});
}

}  // namespace bakewright::builder
