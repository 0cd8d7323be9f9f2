#pragma once

#include <vector>

#include "bakewright/bake/shell.hpp"
#include "bakewright/cure/coating.hpp"

namespace bakewright::profile {

/// What a shell file holds: the shell, and how much heat its items may see.
/// item_limits[i] belongs to shell.items[i]: same length, order, names and titles.
struct ShellProfile {
    bake::Shell shell;
    std::vector<cure::HeatSensitiveItem> item_limits;

    bool operator==(const ShellProfile&) const = default;
};

}  // namespace bakewright::profile
