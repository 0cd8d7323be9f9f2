// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>

#include "bakewright/base/format.hpp"
#include "bakewright/builder/material_words.hpp"
#include "bakewright/builder/sanity.hpp"
#include "bakewright/profile/edit.hpp"
#include "part_text.hpp"

/// What is said anew of a part, put into the text of its shell.
namespace bakewright::builder {
namespace {

using profile::text_value;
using profile::with_remark;
using profile::with_value;
using profile::without_value;

/// A layer as it is to be.
struct WantedLayer {
    bool is_gap = false;
    bool is_same_kind = true;         ///< sheet where a sheet was, gap where a gap was
    std::optional<std::string> id{};  ///< of the material, where it is another
    std::optional<std::string> thickness{};
};

/// A lining that nobody describes: common practice, no source.
constexpr const char* kLiningGap = "40 mm";
constexpr const char* kLiningMaterial = "plywood";
constexpr const char* kLiningThickness = "3 mm";

class PartChange {
public:
    PartChange(std::string text, const std::string& part, const Answers& said, const profile::Library& library)
        : text_(std::move(text)),
          read_(read_good_shell(text_, library)),
          index_(index_of_part(read_.record.shell, part)),
          path_(fmt::format("zone[{}]", index_)),
          said_(said),
          library_(&library) {}

    PartEdit run() {
        change_title();
        change_layers();
        change_behind();
        change_finish();
        text_ = with_places_said(std::move(text_), shell(), index_, said_);
        change_area();
        text_ = with_joints_said(std::move(text_), shell(), zone().name, said_, *library_);
        return {std::move(text_), zone().name, said_.understood()};
    }

private:
    [[nodiscard]] const bake::Shell& shell() const { return read_.record.shell; }
    [[nodiscard]] const bake::Zone& zone() const { return shell().zones[index_]; }

    [[nodiscard]] std::optional<std::string> said(const std::string& key) const { return said_.said(key); }
    template <class Read>
    auto hear(const std::string& key, Read read) const {
        return said_.hear(key, read);
    }

    void put(const std::string& key, const std::string& value) { text_ = with_value(text_, path_ + "." + key, value); }
    void drop(const std::string& key) { text_ = without_value(text_, path_ + "." + key); }
    /// A remark of what a number followed from is no longer true of one that was typed; remarks by hand stay.
    void leave_rule(const std::string& key) {
        const std::string remark = profile::remark_behind(text_, path_ + "." + key);
        const bool is_rule = remark.starts_with("from the sizes") || remark.starts_with("assumed") || remark == "as said";
        if (is_rule) text_ = with_remark(text_, path_ + "." + key, "typed");
    }

    void change_title() {
        const auto title = said("title");
        if (!title || *title == title_of(zone())) return;
        if (title->empty()) PartSaid::ask("title", "What is the part called?");
        put("title", text_value(*title));
    }

    void change_area() {
        const auto area = said("area");
        if (!area) return;
        const Heard heard_area =
            hear("area", [&] { return heard(*area, {.dimension = Dimension::area, .bare = "m2", .takes_bare = true}); });
        if (heard_area.value == zone().area_m2) return;
        put("area", text_value(heard_area.written));
        leave_rule("area");
        said_.tell("area", format_area(heard_area.value, {}));
    }

    // --- layers

    const MaterialWords& materials() {
        if (!materials_) materials_.emplace(*library_);
        return *materials_;
    }

    [[nodiscard]] std::size_t said_layers() const {
        std::size_t count = 0;
        while (said(fmt::format("material[{}]", count)) || said(fmt::format("thickness[{}]", count))) ++count;
        return count;
    }

    WantedLayer wanted_layer(std::size_t i) {
        const bool is_new = i >= zone().layers.size();
        const LayerWords now = is_new ? LayerWords{} : words_of_layer(read_, index_, i);
        const std::string material_key = fmt::format("material[{}]", i), thickness_key = fmt::format("thickness[{}]", i);
        const std::string words = said(material_key).value_or(now.material), thick = said(thickness_key).value_or(now.thickness);
        WantedLayer layer;
        layer.is_gap = is_air_gap(words);
        layer.is_same_kind = !is_new && layer.is_gap == (now.material == kGapWord);
        GaugeSeries gauge = is_new ? GaugeSeries::none : zone().layers[i].material.gauge;
        if (!layer.is_gap && words != now.material) {
            const thermal::Material& material =
                hear(material_key, [&]() -> std::reference_wrapper<const thermal::Material> { return materials().find(words); });
            layer.id = material.id;
            gauge = material.gauge;
            said_.tell(material_key, material.title);
        }
        if (thick == now.thickness && !layer.id && layer.is_same_kind) return layer;
        const Heard heard_thickness = hear(thickness_key, [&] {
            return heard(thick, {.dimension = Dimension::length,
                                 .gauge = layer.is_gap ? GaugeSeries::none : gauge,
                                 .bare = "mm",
                                 .takes_bare = true});
        });
        layer.thickness = heard_thickness.written;
        said_.tell(thickness_key, format_thickness(heard_thickness.value, {}));
        return layer;
    }

    void change_layers() {
        const std::size_t count = said_layers();
        if (count == 0) return;
        std::vector<WantedLayer> wanted;
        for (std::size_t i = 0; i < count; ++i) wanted.push_back(wanted_layer(i));
        if (wanted.front().is_gap || wanted.back().is_gap)
            PartSaid::ask("material[0]", "A gap lies between two sheets: name both.");
        const bool is_same = count == zone().layers.size() && std::ranges::all_of(wanted, &WantedLayer::is_same_kind);
        const bool is_changed =
            !is_same || std::ranges::any_of(wanted, [](const WantedLayer& one) { return one.id || one.thickness; });
        if (is_same)
            for (std::size_t i = 0; i < count; ++i) put_layer(fmt::format("layers[{}]", i), wanted[i]);
        else
            write_layers(wanted);
        if (is_changed) leave_rule("layers");
    }

    void put_layer(const std::string& key, const WantedLayer& layer) {
        if (layer.id) put(key + ".material", text_value(*layer.id));
        if (layer.thickness) put(key + (layer.is_gap ? ".gap" : ".thickness"), text_value(*layer.thickness));
    }

    [[nodiscard]] std::string layer_text(std::size_t i, const WantedLayer& wanted) const {
        const std::string thickness =
            text_value(wanted.thickness ? *wanted.thickness : words_of_layer(read_, index_, i).thickness);
        if (wanted.is_gap) return fmt::format("{{ gap = {} }}", thickness);
        const bool is_kept = !wanted.id;
        if (is_kept && zone().layers[i].material.id.empty())
            throw InputError(
                Problem{{}, 0, fmt::format("{}.layers[{}].material", path_, i), "is written out: change it in the text"});
        std::string resistance;
        if (is_kept && zone().layers[i].contact_resistance_m2_k_per_w > 0.0)
            resistance =
                fmt::format(", contact_resistance = {}",
                            text_value(si_text(zone().layers[i].contact_resistance_m2_k_per_w, Dimension::thermal_resistance)));
        return fmt::format("{{ material = {}, thickness = {}{} }}",
                           text_value(wanted.id ? *wanted.id : zone().layers[i].material.id), thickness, resistance);
    }

    void write_layers(const std::vector<WantedLayer>& wanted) {
        std::string list;
        for (std::size_t i = 0; i < wanted.size(); ++i) list += (i == 0 ? "" : ", ") + layer_text(i, wanted[i]);
        put("layers", "[" + list + "]");
    }

    // --- behind, finish

    /// Air inside of a shell that says none.
    std::string add_cavity() {
        if (!shell().size)
            PartSaid::ask("behind", "How much air is inside? Write the size of the shell, or a [[cavity]], into the text.");
        const bake::ShellSize& size = *shell().size;
        bake::Shell more;
        bake::Cavity air;
        air.name = "interior";
        air.volume_m3 = std::round(kUsualAirShare * size.length_m * size.width_m * size.height_m * 10.0) / 10.0;
        air.leakage_per_s = heard(kMaskedLeakage, {.dimension = Dimension::air_change_rate}).value;
        more.cavities.push_back(air);
        const std::string assumed = "assumed, common practice";
        text_ = profile::with_element(
            text_, "cavity",
            profile::hand_elements(
                more, *library_,
                {.as_typed = {{"cavity[0].leakage", kMaskedLeakage}},
                 .remarks = {{"cavity[0].volume", assumed + ": 0.7 of the outer box"}, {"cavity[0].leakage", assumed}}}));
        said_.tell("behind", fmt::format("air inside, about {} m3", shown(air.volume_m3)));
        return "interior";
    }

    std::string cavity_for(const std::string& behind) {
        if (behind.starts_with("cavity ")) return behind.substr(7);
        if (zone().inner.view == bake::FaceView::cavity) return zone().inner.cavity;
        return shell().cavities.empty() ? add_cavity() : shell().cavities.front().name;
    }

    void add_lining() {
        const std::size_t count = zone().layers.size();
        std::vector<WantedLayer> wanted(count);
        for (std::size_t i = 0; i < count; ++i) wanted[i].is_gap = zone().layers[i].kind == bake::Layer::Kind::air_gap;
        wanted.push_back({.is_gap = true, .thickness = kLiningGap});
        wanted.push_back({.id = kLiningMaterial, .thickness = kLiningThickness});
        write_layers(wanted);
        said_.tell("behind",
                   fmt::format("a lining: {} gap and {} {}, common practice", kLiningGap, kLiningThickness, kLiningMaterial));
    }

    void change_behind() {
        const auto behind = said("behind");
        if (!behind || *behind == behind_of(zone())) return;
        const bool is_lined = *behind == "lining";
        if (is_lined && said_layers() > 0) PartSaid::ask("behind", "Save the layers first, then the lining.");
        if (is_lined) add_lining();
        if (*behind == "booth" || *behind == "nothing") {
            drop("inner.cavity");
            put("inner.view", text_value(*behind));
        } else if (is_lined || behind->starts_with("cavity")) {
            const std::string cavity = cavity_for(*behind);
            put("inner.view", text_value("cavity"));
            put("inner.cavity", text_value(cavity));
        } else {
            throw InputError(Problem{{}, 0, "behind", fmt::format("'{}' is not booth, cavity, lining or nothing", *behind)});
        }
    }

    void change_finish() {
        const auto finish = said("finish");
        if (!finish || *finish == finish_of(zone())) return;
        const bool is_coated = finish->starts_with("painted"), is_masked = finish->ends_with("masked");
        if (!is_coated && !is_masked && *finish != "primed" && *finish != "bare")
            throw InputError(Problem{{}, 0, "finish", fmt::format("'{}' is not painted, primed, bare or masked", *finish)});
        if (is_coated != zone().coated) put("coated", is_coated ? "true" : "false");
        if (!is_masked)
            drop("outer.masking");
        else if (zone().outer.masking == bake::Masking::none)
            put("outer.masking", text_value("paper"));
        if (*finish == "primed")
            put("outer.emissivity", fmt::format("{}", kPrimedEmissivity));
        else if (*finish != "masked")
            drop("outer.emissivity");  // then it is that of paint, or of the bare material
    }

    std::string text_;
    ReadShell read_;  ///< of the text as it was given
    std::size_t index_;
    std::string path_;
    PartSaid said_;
    const profile::Library* library_;
    std::optional<MaterialWords> materials_{};
};

}  // namespace

PartEdit with_part_changed(const std::string& text, const std::string& part, const Answers& said,
                           const profile::Library& library) {
    return PartChange(text, part, said, library).run();
}

}  // namespace bakewright::builder
