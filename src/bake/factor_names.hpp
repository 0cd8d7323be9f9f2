#pragma once

#include <algorithm>
#include <string>

#include "bakewright/bake/built_network.hpp"

namespace bakewright::bake {

/// The network's factor of a kind and subject; made where it is asked for first.
/// @param film_group  of a film
inline thermal::FactorIndex factor_of(BuiltNetwork& built, FactorKind kind, const std::string& subject = {},
                                      const std::string& film_group = {}) {
    const auto found = std::find_if(built.factors.begin(), built.factors.end(), [&](const NetworkFactor& factor) {
        return factor.kind == kind && factor.subject == subject;
    });
    if (found != built.factors.end()) return found->index;
    built.factors.push_back({kind, subject, built.network.add_factor(subject), film_group});
    return built.factors.back().index;
}

}  // namespace bakewright::bake
