// SPDX-License-Identifier: Apache-2.0
#include "bakewright/builder/sections.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <regex>

#include "bakewright/builder/heard.hpp"

namespace bakewright::builder {

Section hollow_section(double width_m, double height_m, double thickness_m) noexcept {
    const double outer_m = 2.0 * thickness_m, inner_m = thickness_m, corners = 4.0 - std::numbers::pi;
    return {.perimeter_m = 2.0 * (width_m + height_m) - 2.0 * corners * outer_m,
            .area_m2 =
                2.0 * thickness_m * (width_m + height_m - 2.0 * thickness_m) - corners * (outer_m * outer_m - inner_m * inner_m),
            .depth_m = std::max(width_m, height_m),
            .is_closed = true};
}

Section channel(double height_m, double flange_m, double thickness_m) noexcept {
    const double developed_m = height_m + 2.0 * flange_m - 2.0 * thickness_m;
    return {developed_m, developed_m * thickness_m, std::max(height_m, flange_m), false};
}

Section angle_section(double width_m, double height_m, double thickness_m) noexcept {
    const double developed_m = width_m + height_m - thickness_m;
    return {developed_m, developed_m * thickness_m, std::max(width_m, height_m), false};
}

Section round_bar(double diameter_m) noexcept {
    return {std::numbers::pi * diameter_m, 0.25 * std::numbers::pi * diameter_m * diameter_m, diameter_m, true};
}

double developed_factor(double outer_m, double inner_m, double slope_m, double depth_m) noexcept {
    return (outer_m + inner_m + 2.0 * std::hypot(slope_m, depth_m)) / (outer_m + inner_m + 2.0 * slope_m);
}

namespace {

constexpr double kThinTubeM = 0.05;
constexpr double kThinWallM = 0.0025, kWallM = 0.003;

double length_m(const std::string& text) {
    return heard(text, {.dimension = Dimension::length, .bare = "mm", .takes_bare = true}).value;
}

/// Takes "every 600 mm" or "at 24 in" off the end.
double take_spacing_m(std::string& text) {
    static const std::regex spacing(R"(\s*(?:every|at|@|spaced)\s+(.+?)(?:\s+(?:apart|centres|centers|spacing))?$)",
                                    std::regex::icase);
    std::smatch found;
    if (!std::regex_search(text, found, spacing)) return 0.0;
    const double spacing_m = length_m(found[1].str());
    text = found.prefix().str();
    return spacing_m;
}

}  // namespace

HeardSection heard_section(std::string_view text) {
    std::string rest(text);
    HeardSection read;
    read.spacing_m = take_spacing_m(rest);
    const std::string words = plain_words(rest);
    const auto says = [&](const char* word) { return words.find(word) != std::string::npos; };
    static const std::regex sizes(R"((\d[\d./ -]*(?:mm|in(?:ch)?\b|")?(?:\s*[xX]\s*\d[\d./ -]*(?:mm|in(?:ch)?\b|")?){0,2}))");
    std::smatch found;
    if (!std::regex_search(rest, found, sizes))
        throw NotUnderstood(
            fmt::format("Which section is '{}'? Write such as 40 x 40 x 2.5 tube or 180 x 60 x 5 channel.", text));
    const std::string said = found[1].str();
    const std::size_t count =
        static_cast<std::size_t>(std::ranges::count_if(said, [](char one) { return one == 'x' || one == 'X'; })) + 1;
    const bool is_inch = said.find('"') != std::string::npos || said.find("in") != std::string::npos;
    std::vector<double> m;
    for (const std::string& part : split(said, "xX")) {
        const bool has_unit = part.find_first_not_of("0123456789./ -") != std::string::npos;
        m.push_back(length_m(has_unit ? part : part + (is_inch ? " in" : " mm")));
    }
    if (m.size() != count) throw NotUnderstood(fmt::format("I can't read the sizes in '{}'.", text));
    if (count == 1) m.push_back(m[0]);
    if (m.size() == 2) m.push_back(std::max(m[0], m[1]) <= kThinTubeM ? kThinWallM : kWallM);
    if (!(4.0 * m[2] < std::min(m[0], m[1])))
        throw NotUnderstood(fmt::format("'{}' has a wall of {:g} mm in a section of {:g} x {:g} mm. Which is right?", text,
                                        1e3 * m[2], 1e3 * m[0], 1e3 * m[1]));
    const bool is_channel = says("channel") || says("u section") || words.starts_with("c ");
    const bool is_angle = says("angle");
    read.section = is_channel ? channel(m[0], m[1], m[2])
                   : is_angle ? angle_section(m[0], m[1], m[2])
                              : hollow_section(m[0], m[1], m[2]);
    read.written = fmt::format("{:g} x {:g} x {:g} mm {}", 1e3 * m[0], 1e3 * m[1], 1e3 * m[2],
                               is_channel ? "channel"
                               : is_angle ? "angle"
                                          : "tube");
    return read;
}

}  // namespace bakewright::builder
