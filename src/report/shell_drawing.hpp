// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/bake/shell.hpp"

namespace bakewright::report {

/// One rectangle of a zone in a view, in shares of the view from 0 to 1, counted from its left and from its top.
struct DrawnZone {
    std::string zone;
    std::string title;    ///< for people; the name where the shell gives none
    bool coated = false;  ///< bare parts are drawn and get no letter
    double left = 0.0;
    double top = 0.0;
    double width = 1.0;
    double height = 1.0;
    std::string strip_of{};  ///< the zone, of a strip over a part that lags (bake::cold_places()): a line on its shape
};

/// The shell from one direction. The sides are seen by someone who stands before them: on the left side the front is at the left,
/// on the right side at the right.
struct DrawnView {
    std::string name;   ///< "left_side", "right_side", "sides" (both look alike), "top", "underside", "front_end", "rear_end",
                        ///< "inside", "beside"
    std::string title;  ///< "Left side, front at the left"
    double width_m = 0.0;
    double height_m = 0.0;
    std::vector<DrawnZone> zones;  ///< larger ones first: a smaller one lies over them
};

struct ShellDrawing {
    std::vector<DrawnView> views;  ///< those that show something, in the order of DrawnView::name
};

/// The places a shell's zones have in its picture. A zone whose profile gives it no places gets them so:
///   a test panel                          beside
///   no face towards the booth             inside
///   it faces up (down)                    from above (from below)
///   "front", "rear" or "back" in its name the front or the rear end
///   "left" or "right" in its name         that side, else both sides
/// Zones that share a view by this rule are stacked by their heights, each as high as its share of their area, but no less than
/// 0.4 of an even share.
/// A strip over a part that lags is a line on every place of its zone: upright over what stands inside, else along the edge that
/// is nearer to the part by its height. Where just it runs the profile does not say.
[[nodiscard]] ShellDrawing draw_shell(const bake::Shell& shell);

}  // namespace bakewright::report
