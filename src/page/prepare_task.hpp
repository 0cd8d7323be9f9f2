// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <memory>
#include <string>

#include "bakewright/plan/plan.hpp"
#include "bakewright/profile/shell_profile.hpp"
#include "bakewright/services/shell_history.hpp"
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
    std::vector<cure::HeatSensitiveItem> items{};            ///< everything in and of that shell that heat can spoil
    std::shared_ptr<const services::PlanHistory> history{};  ///< what the shell has had so far; null: nothing counts

    /// Refers to this.
    [[nodiscard]] plan::PlanTask task() const {
        return {shell.shell, booth, coating, items, history ? &history->so_far() : nullptr};
    }
};

/// Keys of /api/prepare; see docs/page.md. @throws InputError
[[nodiscard]] PrepareTask prepare_task(const Body& body, const Context& context);

}  // namespace bakewright::page
