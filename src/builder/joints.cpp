// SPDX-License-Identifier: Apache-2.0
#include "bakewright/builder/joints.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

#include "bakewright/builder/heard.hpp"
#include "bakewright/builder/sanity.hpp"

namespace bakewright::builder {
namespace {

/// Four digits, as a hand writes a conductance.
double to_four_digits(double value) {
    if (!(value > 0.0)) return value;
    const double scale = std::pow(10.0, 3.0 - std::floor(std::log10(value)));
    return std::round(value * scale) / scale;
}

/// The sheet that a part brings to a seam; nothing for a section, or for metal as thick as a post.
std::optional<SeamSheet> sheet_of(const SeamEnd& end) {
    const bake::Layer& layer = end.zone->layers.back();
    const bool is_thick = layer.thickness_m >= kPostThicknessM && thermal::is_metal(layer.material);
    if (is_thick || end.is_section) return std::nullopt;
    return SeamSheet{layer.material.conductivity_w_per_m_k, layer.thickness_m, end.runs_on};
}

std::optional<double> leading_number(std::string_view text) {
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    return error == std::errc{} && value > 0.0 ? std::optional(value) : std::nullopt;
}

/// Whether what is drawn on one is seen with what is drawn on the other.
bool is_one_view(bake::DrawnOn one, bake::DrawnOn other) {
    using enum bake::DrawnOn;
    const auto within = [](bake::DrawnOn part, bake::DrawnOn whole) {
        return (whole == sides && (part == left_side || part == right_side)) ||
               (whole == ends && (part == front_end || part == rear_end));
    };
    return one == other || within(one, other) || within(other, one);
}

double shared_m(const bake::DrawnPlace& a, const bake::DrawnPlace& b, const bake::ShellSize& size) {
    constexpr double kNearM = 0.05;  // gaps that a drawing leaves
    const DrawnFace one = drawn_face(a.on, size), other = drawn_face(b.on, size);
    if (!is_one_view(a.on, b.on)) return 0.0;
    const double along_m = one.along_m * (std::min(a.to, b.to) - std::max(a.from, b.from));
    const double up_m = one.up_m * (std::min(a.high, b.high) - std::max(a.low, b.low));
    if (along_m < -kNearM || up_m < -kNearM) return 0.0;
    const bool is_edge = std::min(along_m, up_m) <= kNearM;
    const double length_m = is_edge ? std::max(along_m, up_m) : 2.0 * (along_m + up_m);
    return std::min(one.count, other.count) * std::max(0.0, length_m);
}

}  // namespace

Joint joint_of(const std::string& from, const std::string& to, const SeamPath& path, std::optional<double> seam_m) {
    Joint joint;
    joint.link.from = from;
    joint.link.to = to;
    joint.link.conductance_w_per_k = to_four_digits(path.w_per_k.value);
    if (seam_m) joint.link.seam_m = std::round(*seam_m * 1000.0) / 1000.0;
    joint.remark = fmt::format("{}; {} to {} W/K", path.source, shown(path.w_per_k.low), shown(path.w_per_k.high));
    return joint;
}

std::optional<HeldBy> held_by(std::string_view remark) {
    const std::string_view told = remark.substr(0, remark.find(';'));
    for (const Seam seam : all_seams()) {
        const std::string_view words = words_for(seam);
        if (is_by_piece(seam) && told.ends_with(words)) {
            if (const auto count = leading_number(told)) return HeldBy{seam, *count};
        } else if (!is_by_piece(seam) && told.starts_with(fmt::format("{}, ", words)) && told.ends_with(" m")) {
            if (const auto length_m = leading_number(told.substr(words.size() + 2))) return HeldBy{seam, *length_m};
        }
    }
    return std::nullopt;
}

bool looks_like_section(const bake::Zone& zone) {
    const bake::Layer& layer = zone.layers.back();
    return !zone.coated && thermal::is_metal(layer.material) && layer.thickness_m >= kHeavyThicknessM;
}

SeamPath seam_path(const SeamEnd& from, const SeamEnd& to, Seam how, double length_m) {
    std::vector<SeamSheet> sheets;
    for (const SeamEnd* end : {&from, &to})
        if (const std::optional<SeamSheet> sheet = sheet_of(*end)) sheets.push_back(*sheet);
    if (sheets.empty()) {  // both as thick as posts: what is no section is the sheet
        const bake::Layer& plate = (from.is_section ? to : from).zone->layers.back();
        sheets.push_back({plate.material.conductivity_w_per_m_k, plate.thickness_m, from.runs_on});
    }
    return path_along(how, length_m, sheets);
}

double usual_pieces(double length_m) noexcept { return std::max(2.0, std::round(length_m / 0.3)); }

std::optional<double> drawn_seam_m(const bake::Shell& shell, const bake::Zone& one, const bake::Zone& other) {
    if (!shell.size) return std::nullopt;
    double sum_m = 0.0;
    for (const bake::DrawnPlace& a : one.places)
        for (const bake::DrawnPlace& b : other.places) sum_m += shared_m(a, b, *shell.size);
    return sum_m > 0.05 ? std::optional(std::round(sum_m * 10.0) / 10.0) : std::nullopt;
}

}  // namespace bakewright::builder
