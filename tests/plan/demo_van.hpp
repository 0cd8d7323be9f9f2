#pragma once

#include <string>

#include "bakewright/plan/plan.hpp"
#include "bakewright/profile/read.hpp"

namespace bakewright::plan::test {

/// The demo van in its stirred booth with the low-bake clear; invented.
struct Van {
    profile::ShellProfile shell;
    bake::Booth booth;
    cure::Coating coating;
    Van() {
        const profile::Library library({std::string(BAKEWRIGHT_PROFILES)});
        shell = profile::load_shell("library_van", library).record;
        booth = profile::load_booth("stirred_insulated", library).record;
        coating = profile::load_coating("clear_low_bake", library).record;
    }
    [[nodiscard]] PlanTask task() const { return {shell.shell, booth, coating, shell.item_limits}; }
};

}  // namespace bakewright::plan::test
