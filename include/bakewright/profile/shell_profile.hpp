// SPDX-License-Identifier: Apache-2.0
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

    /// Everything that heat can spoil: the items, and the parts of the shell itself.
    [[nodiscard]] std::vector<cure::HeatSensitiveItem> heat_sensitive() const;

    bool operator==(const ShellProfile&) const = default;
};

/// The fields of a shell file below its id and title.
void visit_fields(ShellProfile& profile, Fields& see);

/// The parts of a shell itself that heat can spoil, by the limits of its materials, each under the name of the trace it is judged
/// on: zones by their outer face, what is in a cavity by its air. The outermost layer's limits are never to be passed, those of
/// layers behind it never_inside. A material that is no metal and of which nobody has said how hot it may get stands in
/// no_limit_known_of. A zone's own limits go before those of its materials; a zone, or one material of it, that an item of the
/// shell speaks for is left to that item. Test panels are not among them.
[[nodiscard]] std::vector<cure::HeatSensitiveItem> protected_parts(const bake::Shell& shell);

}  // namespace bakewright::profile
