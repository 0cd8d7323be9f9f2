// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "bakewright/plan/plan.hpp"
#include "bakewright/profile/read.hpp"

namespace bakewright::plan::test {

/// A demo shell in its stirred booth, the van with the low-bake clear where nothing is said; invented.
struct Van {
    profile::ShellProfile shell;
    bake::Booth booth;
    cure::Coating coating;
    explicit Van(const std::string& shell_name = "library_van", const std::string& coating_name = "clear_low_bake") {
        const profile::Library library({std::string(BAKEWRIGHT_PROFILES)});
        shell = profile::load_shell(shell_name, library).record;
        booth = profile::load_booth("stirred_insulated", library).record;
        coating = profile::load_coating(coating_name, library).record;
    }
    [[nodiscard]] PlanTask task() const { return {shell.shell, booth, coating, shell.item_limits}; }
};

}  // namespace bakewright::plan::test
