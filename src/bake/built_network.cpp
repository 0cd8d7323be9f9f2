#include "bakewright/bake/built_network.hpp"

#include <algorithm>

#include "bakewright/bake/cycle.hpp"

namespace bakewright::bake {

thermal::FactorIndex factor_of(BuiltNetwork& built, FactorKind kind, const std::string& subject, const std::string& film_group) {
    const auto found = std::find_if(built.factors.begin(), built.factors.end(), [&](const NetworkFactor& factor) {
        return factor.kind == kind && factor.subject == subject;
    });
    if (found != built.factors.end()) return found->index;
    built.factors.push_back({kind, subject, built.network.add_factor(subject), film_group});
    return built.factors.back().index;
}

std::string film_group_of(const Zone& zone) {
    if (!zone.film_group.empty()) return zone.film_group;
    switch (zone.orientation) {
        case Orientation::vertical:
            return "upright";
        case Orientation::faces_up:
            return "facing up";
        case Orientation::faces_down:
            return "facing down";
    }
    return "upright";
}

BoothAir booth_air_of(const Booth& booth) noexcept {
    return booth.controller.kind == Controller::Kind::ideal ? BoothAir::given : BoothAir::solved;
}

}  // namespace bakewright::bake
