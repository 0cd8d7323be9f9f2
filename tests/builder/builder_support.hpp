// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "bakewright/builder/questions.hpp"
#include "bakewright/profile/library.hpp"

namespace builder_support {

inline bakewright::profile::Library shipped() { return bakewright::profile::Library({BAKEWRIGHT_PROFILES}); }

inline bool is_near(double value, double expected, double tolerance) { return std::abs(value - expected) <= tolerance; }

inline double mass_kg(const bakewright::bake::Zone& zone) {
    double sum = 0.0;
    for (const auto& layer : zone.layers)
        if (layer.kind == bakewright::bake::Layer::Kind::solid) sum += layer.thickness_m * layer.material.density_kg_per_m3;
    return sum * zone.area_m2;
}

/// A box van that was never built: 7 m with a crew cab and a laminate cap on the box.
inline bakewright::builder::Answers outreach_van() {
    return {{"shape", "box van"},       {"title", "outreach van"}, {"size", "7 x 2.3 x 2.9 m"},
            {"floor", "0.9 m, 0.45 m"}, {"cab", "crew cab"},       {"front", "GRP cap 4 mm"}};
}

/// What is asked about, or "understood".
template <class Read>
std::string meant_by(Read read) {
    try {
        static_cast<void>(read());
        return "understood";
    } catch (const bakewright::builder::NotUnderstood& asked) {
        return asked.meant();
    }
}

}  // namespace builder_support
