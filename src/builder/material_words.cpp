// SPDX-License-Identifier: Apache-2.0
#include "bakewright/builder/material_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <regex>
#include <set>

#include "bakewright/base/error.hpp"
#include "bakewright/profile/read.hpp"

namespace bakewright::builder {
namespace {

std::vector<std::string> words_in(const std::string& plain) { return split(plain, " "); }

std::string joined(const std::vector<std::string>& words) { return fmt::format("{}", fmt::join(words, " ")); }

/// "sheets" as "sheet"; short words and those in -ss stay.
std::string without_plural(const std::string& word) {
    const bool is_plural = word.size() > 3 && word.ends_with('s') && !word.ends_with("ss");
    return is_plural ? word.substr(0, word.size() - 1) : word;
}

/// The form in which words are held against each other.
std::string matched_form(std::string_view text) {
    std::vector<std::string> words = words_in(plain_words(text));
    for (std::string& word : words) word = without_plural(word);
    return joined(words);
}

/// Words round a material that say nothing of what it is.
const std::set<std::string>& idle_words() {
    static const std::set<std::string> words{"a",     "an",    "the",  "of",  "thick", "sheet", "plate", "panel",
                                             "skin",  "two",   "with", "in",  "made",  "door",  "cap",   "thin",
                                             "solid", "floor", "wall", "one", "side",  "flat",  "and",   "bonded"};
    return words;
}

constexpr const char* kThickness =
    R"((?:about |approx\.? |~)?(\d+[ -]\d+/\d+|\d+/\d+|\d*\.?\d+)(?: ?(?:to|-|\+-|\+/-) ?\d*\.?\d+)? ?-?(mm|cm|inch(?:es)?|in\b\.?|"|gauge|gage|ga\b\.?|swg|awg|thou|mils?|g\b|m\b)?)";

struct Parts {
    std::string thickness{};  ///< empty where none was said
    std::string words{};
};

/// A thickness with its unit goes before a bare number, which may belong to the material ("304").
Parts parts_of(const std::string& text) {
    static const std::regex half("\\b(?:half|quarter|three quarters?)(?: of)?(?: an?)? inch", std::regex::icase);
    static const std::regex number(kThickness, std::regex::icase);
    std::smatch found;
    if (std::regex_search(text, found, half)) return {found.str(), found.prefix().str() + " " + found.suffix().str()};
    std::optional<Parts> bare;
    for (auto at = std::sregex_iterator(text.begin(), text.end(), number); at != std::sregex_iterator(); ++at) {
        Parts parts{at->str(), at->prefix().str() + " " + at->suffix().str()};
        parts.words = text.substr(0, static_cast<std::size_t>(at->position())) + " " +
                      text.substr(static_cast<std::size_t>(at->position() + at->length()));
        if ((*at)[2].matched) return parts;
        const bool is_long = (*at)[1].length() >= 3 && (*at)[1].str().find_first_not_of("0123456789") == std::string::npos;
        if (!bare && !is_long) bare = parts;
    }
    return bare ? *bare : Parts{{}, text};
}

HeardLayer heard_layer(const std::string& text, const MaterialWords& materials, const UsualLayer& usual) {
    Parts parts = parts_of(text);
    HeardLayer layer;
    layer.is_gap = is_air_gap(parts.words);
    if (!layer.is_gap) {
        const bool is_idle = std::ranges::all_of(words_in(plain_words(parts.words)), [](const std::string& word) {
            return idle_words().contains(without_plural(word));
        });
        if (is_idle && usual.material.empty())
            throw NotUnderstood(fmt::format("'{}' is of which material? Write such as 1.2 mm steel or 4 mm GRP.", text));
        layer.material = materials.find(is_idle ? usual.material : parts.words);
        if (is_idle) layer.remark = fmt::format("taken as {}", layer.material.title);
    }
    if (parts.thickness.empty()) {
        if (usual.thickness.empty())
            throw NotUnderstood(fmt::format("How thick is '{}'? Write such as 1.2 mm, 3/16 in or 18 ga.", text));
        const bool has_gauge = layer.material.gauge != GaugeSeries::none;
        parts.thickness = usual.thickness;
        if (!has_gauge && parts.thickness.find("ga") != std::string::npos) parts.thickness = "4 mm";
        layer.remark = fmt::format("{} assumed", parts.thickness);
    }
    layer.thickness =
        heard(parts.thickness, {.dimension = Dimension::length, .gauge = layer.material.gauge, .bare = "mm", .takes_bare = true});
    if (layer.remark.empty()) layer.remark = layer.thickness.remark;
    return layer;
}

}  // namespace

MaterialWords::MaterialWords(const profile::Library& library) {
    for (const std::string& id : library.names(profile::Kind::material)) {
        try {
            materials_.emplace(id, profile::load_material(id, library).record);
        } catch (const InputError&) {
            continue;  // check tells of it
        }
        const thermal::Material& material = materials_.at(id);
        std::set<std::string> forms{matched_form(id), matched_form(material.title)};
        for (const std::string& word : material.also) forms.insert(matched_form(word));
        for (const std::string& form : forms) ids_by_words_[form].push_back(id);
    }
}

void MaterialWords::ask_which(const std::string& word, const std::vector<std::string>& ids) const {
    std::vector<std::string> titles;
    for (const std::string& id : ids) titles.push_back(materials_.at(id).title);
    throw NotUnderstood(fmt::format("Which {} is it: {}?", word, fmt::join(titles, ", ")));
}

const thermal::Material& MaterialWords::find(std::string_view words) const {
    const std::string whole = matched_form(words);
    const auto of = [&](const std::string& form) -> const thermal::Material* {
        const auto found = ids_by_words_.find(form);
        if (found == ids_by_words_.end()) return nullptr;
        if (found->second.size() > 1) ask_which(form, found->second);
        return &materials_.at(found->second.front());
    };
    if (const thermal::Material* material = of(whole)) return *material;
    const std::vector<std::string> all = words_in(whole);
    for (std::size_t length = all.size(); length > 0; --length)
        for (std::size_t from = 0; from + length <= all.size(); ++from)
            if (const thermal::Material* material = of(joined(
                    {all.begin() + static_cast<std::ptrdiff_t>(from), all.begin() + static_cast<std::ptrdiff_t>(from + length)})))
                return *material;
    std::vector<std::string> known, said;
    for (const auto& [form, ids] : ids_by_words_) known.push_back(form);
    for (const std::string& word : all)
        if (!idle_words().contains(word)) said.push_back(word);
    const std::string near = nearest_name(joined(said), known);
    throw NotUnderstood(fmt::format("'{}' is no material known here.{}", joined(said),
                                    near.empty() ? " Write such as steel, ally, GRP or ply; `bakewright check` lists them all."
                                                 : fmt::format(" Did you mean {}?", near)),
                        near);
}

const thermal::Material& MaterialWords::of_id(const std::string& id) const {
    const auto found = materials_.find(id);
    if (found == materials_.end())
        throw InputError(Problem{{}, 0, {}, fmt::format("the material '{}' is in no profile folder", id)});
    return found->second;
}

bool is_air_gap(std::string_view words) {
    static const std::set<std::string> gaps{"gap", "air", "air gap", "hollow", "still air", "space"};
    return gaps.contains(matched_form(words));
}

std::vector<std::string> MaterialWords::titles() const {
    std::vector<std::string> all;
    for (const auto& [id, material] : materials_) all.push_back(material.title.empty() ? id : material.title);
    std::ranges::sort(all);
    return all;
}

std::vector<HeardLayer> heard_layers(std::string_view text, const MaterialWords& materials, const UsualLayer& usual) {
    static const std::regex decimal(R"((\d),(\d))"), plus(R"(\s*(?:\+(?!-)|\bplus\b|\bover\b|\bthen\b|;)\s*)", std::regex::icase);
    std::string plain = std::regex_replace(std::string(text), decimal, "$1.$2");
    plain = std::regex_replace(plain, plus, ", ");
    std::vector<HeardLayer> layers;
    for (const std::string& part : split(plain, ",")) layers.push_back(heard_layer(part, materials, usual));
    if (layers.empty()) throw NotUnderstood("Of what is it? Write such as 18 ga steel or 4 mm GRP.");
    if (layers.front().is_gap || layers.back().is_gap) throw NotUnderstood("A gap lies between two sheets: name both.");
    return layers;
}

}  // namespace bakewright::builder
