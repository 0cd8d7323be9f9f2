#pragma once

#include <string>
#include <vector>

#include "bakewright/bake/shell.hpp"

namespace bakewright::report {

/// A zone's place in the picture: its own, or the one told from height, area and names; see draw_shell().
struct ZonePlace {
    const bake::Zone* zone = nullptr;
    bake::DrawnPlace place;
};

/// Every place of every zone. The zones must outlive it.
[[nodiscard]] std::vector<ZonePlace> places_in(const bake::Shell& shell);

}  // namespace bakewright::report
