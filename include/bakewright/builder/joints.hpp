// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "bakewright/bake/shell.hpp"
#include "bakewright/builder/seams.hpp"

namespace bakewright::builder {

/// A joint of two parts as a profile has it: the link, and the remark behind its conductance that says what it follows from.
struct Joint {
    bake::Link link{};
    std::string remark{};  ///< "spot welds 50 mm apart, 14 m; ...; 9.1 to 20.2 W/K"
};
/// Conductance with four digits, as a hand writes it. @param seam_m  where it is one with a length
[[nodiscard]] Joint joint_of(const std::string& from, const std::string& to, const SeamPath& path,
                             std::optional<double> seam_m = {});

/// How a joint is held, and over how much: metres of a seam, or pieces.
struct HeldBy {
    Seam how = Seam::not_touching;
    double extent = 0.0;
};
/// Read back from the remark of joint_of(); nothing for any other.
[[nodiscard]] std::optional<HeldBy> held_by(std::string_view remark);

/// One part at a seam.
struct SeamEnd {
    const bake::Zone* zone = nullptr;
    bool is_section = false;  ///< a tube, rail or channel, as warm at the seam as elsewhere
    bool runs_on = false;     ///< its sheet runs on at both sides, as over a post
};
/// Bare metal of kHeavyThicknessM and more is taken for a section: a shell that was read says no more.
[[nodiscard]] bool looks_like_section(const bake::Zone& zone);
/// Heat path along a seam of two parts: sheets thinner than a post run into it. Seams are at the back of a stack.
[[nodiscard]] SeamPath seam_path(const SeamEnd& from, const SeamEnd& to, Seam how, double length_m);

/// Bolts, hinges and the like along so much of a seam: one every 300 mm, no fewer than two. Common practice, no source.
[[nodiscard]] double usual_pieces(double length_m) noexcept;

/// Length along which two parts touch by their places on the drawing, all views together [m]: the edge they share, or the outline
/// of the smaller where one lies on the other. Nothing where they share no view, or the shell has no size.
[[nodiscard]] std::optional<double> drawn_seam_m(const bake::Shell& shell, const bake::Zone& one, const bake::Zone& other);

}  // namespace bakewright::builder
