// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/builder_text.hpp"

#include <fmt/format.h>

#include "bakewright/base/format.hpp"

namespace bakewright::report {
namespace {

std::string kind_word(profile::Kind kind) { return std::string(profile::kind_name(kind)); }

std::string sums(const builder::Built& built, const Units& units) {
    return fmt::format("{} zones, {} of them painted, {:.0f} kg of parts. Closed area by the sizes {}, by the parts {}.",
                       built.shell.shell.zones.size(), format_area(built.painted_area_m2, units), built.mass_kg,
                       format_area(built.check_area_m2, units), format_area(built.parts_area_m2, units));
}

Json understood_json(const std::vector<builder::Understood>& understood) {
    Json list = Json::array();
    for (const builder::Understood& one : understood) list.push_back({{"key", one.key}, {"said", one.said}});
    return list;
}

Json choices_json(const std::vector<builder::PartChoice>& choices) {
    Json list = Json::array();
    for (const builder::PartChoice& choice : choices) list.push_back({{"value", choice.value}, {"words", choice.words}});
    return list;
}

Json part_json(const builder::PartWords& part) {
    Json layers = Json::array(), joints = Json::array();
    for (const builder::LayerWords& layer : part.layers)
        layers.push_back({{"material", layer.material}, {"thickness", layer.thickness}, {"thickness_m", layer.thickness_m}});
    for (const builder::JointWords& joint : part.joints)
        joints.push_back({{"link", joint.link},
                          {"part", joint.part},
                          {"how", joint.how},
                          {"extent", joint.extent},
                          {"conductance_w_per_k", joint.w_per_k}});
    Json places = Json::array();
    for (const builder::PlaceWords& place : part.places)
        places.push_back(
            {{"side", place.side}, {"from", place.from}, {"to", place.to}, {"low", place.low}, {"high", place.high}});
    return {{"name", part.name},
            {"title", part.title},
            {"layers", std::move(layers)},
            {"behind", part.behind},
            {"finish", part.finish},
            {"area", part.area},
            {"area_m2", part.area_m2},
            {"mass_kg", part.mass_kg},
            {"height_m", part.height_m},
            {"places", std::move(places)},
            {"joints", std::move(joints)},
            {"items", part.items},
            {"is_test_panel", part.is_test_panel},
            {"is_assumed", part.is_assumed}};
}

}  // namespace

std::string built_text(profile::Kind kind, const builder::Built& built, const TextOptions& options) {
    std::vector<std::string> read, asked, assumed;
    for (const builder::Understood& one : built.understood) read.push_back(fmt::format("{}: {}", one.key, one.said));
    for (const builder::Doubt& one : built.doubts) asked.push_back(fmt::format("{} ({})", one.question, one.key));
    for (const builder::Assumption& one : built.assumed)
        assumed.push_back(fmt::format("{}: {}{}{}", one.what, one.value, one.range.empty() ? "" : ", " + one.range,
                                      one.find_out.empty() ? "" : ". To settle it: " + one.find_out));
    std::string text;
    if (kind == profile::Kind::shell) text += paragraph_text(sums(built, options.units), options) + "\n";
    text += list_text("Read as", read, options);
    text += list_text("CHECK: is this right?", asked, options);
    text += list_text("Assumed", assumed, options);
    return text;
}

Json document_of(profile::Kind kind, const std::string& name, const std::string& path, const builder::Built& built) {
    Json doubts = Json::array(), assumed = Json::array();
    for (const builder::Doubt& one : built.doubts) doubts.push_back({{"key", one.key}, {"question", one.question}});
    for (const builder::Assumption& one : built.assumed)
        assumed.push_back(
            {{"what", one.what}, {"value", one.value}, {"range", one.range}, {"source", one.source}, {"find_out", one.find_out}});
    return document("bakewright.built", {{"kind", kind_word(kind)},
                                         {"name", name},
                                         {"path", path.empty() ? Json(nullptr) : Json(path)},
                                         {"text", built.text},
                                         {"understood", understood_json(built.understood)},
                                         {"doubts", std::move(doubts)},
                                         {"assumed", std::move(assumed)},
                                         {"painted_area_m2", built.painted_area_m2},
                                         {"mass_kg", built.mass_kg},
                                         {"closed_area_m2", built.check_area_m2},
                                         {"parts_area_m2", built.parts_area_m2}});
}

Json document_of(const builder::PartEdit& edit, const builder::ShellParts& parts, const ShellDrawing& drawing, Json problem) {
    Json list = Json::array();
    for (const builder::PartWords& part : parts.parts) list.push_back(part_json(part));
    return document("bakewright.shell-parts", {{"text", edit.text},
                                               {"part", edit.part.empty() ? Json(nullptr) : Json(edit.part)},
                                               {"understood", understood_json(edit.understood)},
                                               {"problem", std::move(problem)},
                                               {"parts", std::move(list)},
                                               {"drawing", document_of(drawing)},
                                               {"behinds", choices_json(parts.behinds)},
                                               {"finishes", choices_json(parts.finishes)},
                                               {"sides", choices_json(parts.sides)},
                                               {"seams", parts.seams},
                                               {"materials", parts.materials}});
}

}  // namespace bakewright::report
