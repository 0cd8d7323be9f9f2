// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <initializer_list>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/builder/build.hpp"
#include "bakewright/builder/material_words.hpp"
#include "bakewright/builder/seams.hpp"
#include "bakewright/builder/sections.hpp"

namespace bakewright::builder {

/// What is behind a part.
struct Behind {
    bake::FaceView view = bake::FaceView::nothing;
    std::string cavity{};
};
[[nodiscard]] inline Behind open_to_booth() { return {bake::FaceView::booth, {}}; }
[[nodiscard]] inline Behind inside_of(std::string cavity) { return {bake::FaceView::cavity, std::move(cavity)}; }
[[nodiscard]] inline Behind of_nothing() { return {}; }

/// A part of a starting shape, before it is a zone.
struct Part {
    std::string name{};  ///< letters, digits, underscores
    std::string title{};
    double area_m2 = 0.0;
    std::string rule{};  ///< how the area follows from the sizes, for people: "4.1 x 2.0 m"
    double height_m = 0.0;
    double length_m = 1.0;
    bake::Orientation orientation = bake::Orientation::vertical;
    std::vector<HeardLayer> layers{};
    Behind behind{};
    bool is_coated = true;
    bool is_masked = false;
    std::optional<double> face_emissivity{};  ///< of a bare part that is primed
    std::vector<bake::DrawnPlace> places{};
    bool is_assumed = true;  ///< nobody said what it is made of
    std::string range{};     ///< of what is assumed: "2 to 3 mm"
};

/// A shell while it is put together: zones, links, air and what is to be told of them.
class Draft {
public:
    Draft(const MaterialWords& materials, Built& built) : materials_(&materials), built_(&built) {}

    [[nodiscard]] const MaterialWords& materials() const noexcept { return *materials_; }
    [[nodiscard]] bake::Shell& shell() noexcept { return built_->shell.shell; }
    [[nodiscard]] Built& built() noexcept { return *built_; }
    [[nodiscard]] bool has(const std::string& zone) const { return built_->shell.shell.find_zone(zone) != nullptr; }
    [[nodiscard]] const bake::Zone& zone(const std::string& name) const;

    /// Adds a part unless its area is nothing. Areas are rounded to four decimals, as a hand writes them.
    void add(Part part);
    /// A length of a section: outline and metal are both kept.
    void add_section(Part part, const Section& section, double length_m, const std::string& material = "steel");
    void add_air(const std::string& name, double volume_m3, const std::string& rule, const Heard& leakage);

    /// A seam between two parts; nothing where one is not there or they do not touch. Sheets thinner than a post run into it.
    /// @param over  whether the sheet of `from` runs on at both sides of the seam
    void seam(const std::string& from, const std::string& to, Seam how, double length_m, bool over = false);
    void pieces(const std::string& from, const std::string& to, Seam how, double count);
    /// Conduction through so much metal or wood over a length: feet of tubes, a board on its bearers.
    void contact(const std::string& from, const std::string& to, double area_m2, double length_m, double w_per_m_k,
                 const std::string& rule);
    /// Counts those of these parts that are there among what the sizes' closed area is held against.
    void count_hull(std::initializer_list<const char*> names, double beside_m2 = 0.0);
    void assume(const std::string& what, const std::string& value, const std::string& range, const std::string& find_out);

private:
    void link(const std::string& from, const std::string& to, const SeamPath& path, std::optional<double> seam_m = {});

    const MaterialWords* materials_;
    Built* built_;
    std::set<std::string> sections_;
};

[[nodiscard]] bake::DrawnPlace place(bake::DrawnOn on, double from, double to, double low = 0.0, double high = 1.0);

}  // namespace bakewright::builder
