// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "bakewright/base/format.hpp"
#include "bakewright/builder/material_words.hpp"
#include "bakewright/builder/questions.hpp"
#include "bakewright/builder/sanity.hpp"
#include "bakewright/profile/edit.hpp"
#include "draft.hpp"
#include "part_text.hpp"

/// Parts that are added to the text of a shell, and taken out of it.
namespace bakewright::builder {
namespace {

using bake::DrawnOn;

/// A part that is described by what is said of it.
class NewPart {
public:
    NewPart(const bake::Shell& shell, const Answers& said, const profile::Library& library)
        : shell_(shell), said_(said), materials_(library) {}

    bake::Zone zone() {
        bake::Zone made;
        made.title = text_of("title", "What is the part called?");
        made.name = free_name(name_from(made.title));
        if (!shell_.size) PartSaid::ask("side", "How large is the shell? Write its size into the text first.");
        const bake::DrawnPlace place = place_of(side());
        made.places = {place};
        const DrawnFace face = drawn_face(place.on, *shell_.size);
        const double along_m = (place.to - place.from) * face.along_m, up_m = (place.high - place.low) * face.up_m;
        made.area_m2 = to(4, face.count * along_m * up_m);
        made.length_m = to(3, is_flat(place.on) ? std::min(along_m, up_m) : up_m);
        made.height_m = to(3, height_of(place));
        if (place.on == DrawnOn::top) made.orientation = bake::Orientation::faces_up;
        if (place.on == DrawnOn::underside) made.orientation = bake::Orientation::faces_down;
        rule_ = fmt::format("{}{} x {} m", face.count == 2 ? "2 x " : "", shown(along_m), shown(up_m));
        make_of(made);
        set_faces(made, place.on);
        return made;
    }

    [[nodiscard]] profile::HandStyle style() const {
        profile::HandStyle style{.as_typed = typed_};
        style.remarks["zone[0].area"] = "from the sizes: " + rule_;
        style.remarks["zone[0].layers"] = "as said";
        return style;
    }

    [[nodiscard]] std::vector<Understood> understood() const { return understood_; }

private:
    static double to(int decimals, double value) {
        const double scale = std::pow(10.0, decimals);
        return std::round(value * scale) / scale;
    }
    static bool is_flat(DrawnOn on) { return on == DrawnOn::top || on == DrawnOn::underside; }

    [[nodiscard]] std::string text_of(const std::string& key, const std::string& question) const {
        const auto found = said_.find(key);
        if (found == said_.end() || found->second.find_first_not_of(" \t") == std::string::npos) PartSaid::ask(key, question);
        return found->second;
    }

    [[nodiscard]] std::string free_name(const std::string& name) const {
        std::string free = name;
        for (int number = 2; shell_.find_zone(free) != nullptr; ++number) free = fmt::format("{}_{}", name, number);
        return free;
    }

    [[nodiscard]] DrawnOn side() const {
        const std::string word = text_of("side", "On which side is it?");
        const auto words = words_of(DrawnOn{});
        const auto found = std::ranges::find(words, word);
        if (found == words.end()) PartSaid::ask("side", fmt::format("'{}' is no side of a shell.", word));
        return static_cast<DrawnOn>(found - words.begin());
    }

    double extent_m(const std::string& key, double otherwise_m, double most_m) {
        const auto found = said_.find(key);
        if (found == said_.end() || found->second.empty()) return otherwise_m;
        const double length_m = heard_extent_m(key, found->second, most_m);
        understood_.push_back({key, shown(length_m) + " m"});
        return length_m;
    }

    bake::DrawnPlace place_of(DrawnOn on) {
        const DrawnFace face = drawn_face(on, *shell_.size);
        const double from_m = extent_m("from", 0.0, face.along_m), to_m = extent_m("to", face.along_m, face.along_m);
        const double low_m = extent_m("low", 0.0, face.up_m), high_m = extent_m("high", face.up_m, face.up_m);
        if (!(to_m > from_m)) PartSaid::ask("to", "It ends before it begins.");
        if (!(high_m > low_m)) PartSaid::ask("high", "Its upper edge is not over its lower one.");
        return place(on, from_m / face.along_m, to_m / face.along_m, low_m / face.up_m, high_m / face.up_m);
    }

    [[nodiscard]] double height_of(const bake::DrawnPlace& place) const {
        if (place.on == DrawnOn::top) return shell_.size->height_m;
        if (place.on != DrawnOn::underside) return 0.5 * (place.low + place.high) * shell_.size->height_m;
        constexpr double kUsualUndersideM = 0.5;  // common practice, no source
        for (const bake::Zone& other : shell_.zones)
            if (!other.places.empty() && other.places.front().on == DrawnOn::underside) return other.height_m;
        return kUsualUndersideM;
    }

    void make_of(bake::Zone& made) {
        const std::string text = text_of("made_of", "Of what is it, and how thick? Write such as 18 ga steel or 4 mm GRP.");
        const std::vector<HeardLayer> heard_ones = PartSaid::hear("made_of", [&] { return heard_layers(text, materials_); });
        std::string words;
        for (std::size_t i = 0; i < heard_ones.size(); ++i) {
            const HeardLayer& one = heard_ones[i];
            made.layers.push_back(
                {one.is_gap ? bake::Layer::Kind::air_gap : bake::Layer::Kind::solid, one.material, one.thickness.value, 0.0});
            typed_[fmt::format("zone[0].layers[{}].{}", i, one.is_gap ? "gap" : "thickness")] = one.thickness.written;
            words += fmt::format("{}{} {}", i == 0 ? "" : ", ", format_thickness(one.thickness.value, {}),
                                 one.is_gap ? kGapWord : one.material.title);
        }
        understood_.push_back({"made_of", words});
    }

    /// As most parts of that side are; what else is said of it is a change of it.
    void set_faces(bake::Zone& made, DrawnOn on) const {
        const std::string cavity = shell_.cavities.empty() ? std::string() : shell_.cavities.front().name;
        if (on == DrawnOn::inside) {
            if (!cavity.empty()) made.outer.view = bake::FaceView::cavity, made.outer.cavity = cavity;
            made.coated = false;
            made.outer.emissivity = kPrimedEmissivity;
        } else if (on == DrawnOn::underside || on == DrawnOn::beside || cavity.empty()) {
            made.inner.view = bake::FaceView::booth;
        } else {
            made.inner.view = bake::FaceView::cavity;
            made.inner.cavity = cavity;
        }
    }

    const bake::Shell& shell_;
    const Answers& said_;
    MaterialWords materials_;
    std::string rule_{};
    std::map<std::string, std::string> typed_{};
    std::vector<Understood> understood_{};
};

}  // namespace

PartEdit with_part_added(const std::string& text, const Answers& said, const profile::Library& library) {
    const ReadShell read = read_good_shell(text, library);
    NewPart part(read.record.shell, said, library);
    bake::Shell more;
    more.zones.push_back(part.zone());
    const std::string name = more.zones.front().name;
    std::string with = profile::with_element(text, "zone", profile::hand_elements(more, library, part.style()));
    Answers rest;
    for (const char* key : {"behind", "finish"})
        if (const auto found = said.find(key); found != said.end() && !found->second.empty()) rest.insert(*found);
    PartEdit edit = with_part_changed(with, name, rest, library);
    const std::vector<Understood> understood = part.understood();
    edit.understood.insert(edit.understood.begin(), understood.begin(), understood.end());
    return edit;
}

PartEdit without_part(const std::string& text, const std::string& part, const profile::Library& library) {
    const ReadShell read = read_good_shell(text, library);
    const bake::Shell& shell = read.record.shell;
    const std::size_t index = index_of_part(shell, part);
    std::string left = text;
    // From the last on, so that the numbers of the others stay.
    for (std::size_t i = shell.links.size(); i-- > 0;)
        if (shell.links[i].from == part || shell.links[i].to == part)
            left = profile::without_value(left, fmt::format("link[{}]", i));
    for (std::size_t i = shell.items.size(); i-- > 0;)
        if (shell.items[i].place == bake::Item::Place::zone && shell.items[i].where == part)
            left = profile::without_value(left, fmt::format("item[{}]", i));
    left = profile::without_value(left, fmt::format("zone[{}]", index));
    static_cast<void>(read_good_shell(left, library));
    return {std::move(left), part, {}};
}

}  // namespace bakewright::builder
