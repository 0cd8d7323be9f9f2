// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/task.hpp"

#include <algorithm>
#include <array>

namespace bakewright::tune {
namespace {

constexpr std::array<std::pair<Tunable, std::string_view>, 9> kTunables{{{Tunable::film, "film"},
                                                                         {Tunable::zones, "zones"},
                                                                         {Tunable::modes, "modes"},
                                                                         {Tunable::links, "links"},
                                                                         {Tunable::masses, "masses"},
                                                                         {Tunable::vertical, "vertical"},
                                                                         {Tunable::walls, "walls"},
                                                                         {Tunable::air, "air"},
                                                                         {Tunable::cavities, "cavities"}}};

}  // namespace

std::string_view tunable_name(Tunable tunable) noexcept { return kTunables[static_cast<std::size_t>(tunable)].second; }

std::optional<Tunable> tunable_from_name(std::string_view name) noexcept {
    const auto found = std::find_if(kTunables.begin(), kTunables.end(), [&](const auto& row) { return row.second == name; });
    return found == kTunables.end() ? std::nullopt : std::optional(found->first);
}

const std::vector<Tunable>& all_tunables() {
    static const std::vector<Tunable> all = [] {
        std::vector<Tunable> made;
        for (const auto& [tunable, name] : kTunables) made.push_back(tunable);
        return made;
    }();
    return all;
}

}  // namespace bakewright::tune
