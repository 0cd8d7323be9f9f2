#pragma once

#include <string>

#include "bakewright/plan/plan.hpp"
#include "bakewright/profile/shell_profile.hpp"
#include "body.hpp"
#include "context.hpp"

namespace bakewright::page {

/// What a bake still to come is asked with.
struct PrepareTask {
    profile::ShellProfile shell;  ///< without the items that are taken out
    bake::Booth booth;
    cure::Coating coating;
    plan::PlanOptions options;
    double setpoint_k = 0.0;
    double hold_s = 0.0;
    Units units;

    /// Refers to this.
    [[nodiscard]] plan::PlanTask task() const { return {shell.shell, booth, coating, shell.item_limits}; }
};

/// Keys of /api/prepare; see docs/page.md. @throws InputError
[[nodiscard]] PrepareTask prepare_task(const Body& body, const Context& context);

}  // namespace bakewright::page
