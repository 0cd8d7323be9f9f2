// SPDX-License-Identifier: Apache-2.0
#include "bakewright/profile/kind.hpp"

#include <array>

namespace bakewright::profile {
namespace {

struct KindNames {
    std::string_view name;
    std::string_view folder;
};

constexpr std::array<KindNames, 7> kNames{{{"material", "materials"},
                                           {"coating", "coatings"},
                                           {"booth", "booths"},
                                           {"shell", "shells"},
                                           {"cycle", "cycles"},
                                           {"probes", "probes"},
                                           {"source", "sources"}}};

}  // namespace

std::string_view kind_name(Kind kind) noexcept { return kNames[static_cast<std::size_t>(kind)].name; }

std::string_view kind_folder(Kind kind) noexcept { return kNames[static_cast<std::size_t>(kind)].folder; }

std::optional<Kind> kind_from_name(std::string_view name) noexcept {
    for (std::size_t i = 0; i < kNames.size(); ++i)
        if (kNames[i].name == name) return static_cast<Kind>(i);
    return std::nullopt;
}

const std::vector<Kind>& all_kinds() {
    static const std::vector<Kind> kinds{Kind::material, Kind::coating, Kind::booth, Kind::shell,
                                         Kind::cycle,    Kind::probes,  Kind::source};
    return kinds;
}

}  // namespace bakewright::profile
