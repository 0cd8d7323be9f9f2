// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "bake_part.hpp"
#include "posterior.hpp"

namespace bakewright::tune {

/// Where the estimate of one bake ended, and all that its linear form needs to hear readings that come later.
struct LinearPoint {
    Vector at;  ///< of all unknowns: where it was linearised
    Evidence evidence;
    struct Size {
        Vector shrunk;
        double log_prior = 0.0;
    };
    std::vector<Size> sizes;      ///< of the model's errors, with what other bakes say of each
    std::vector<double> weights;  ///< of each, after the readings
    struct Channel {
        std::string name;
        EstimatedProbe probe;
        ChannelBlock block;
    };
    std::vector<Channel> channels;    ///< without faulty ones
    std::vector<std::size_t> places;  ///< of each of the space's numbers, among the unknowns
    std::vector<std::size_t> moved;   ///< those of the space's numbers that do something
    std::uint64_t seed = 1;

    [[nodiscard]] std::vector<Posterior> posteriors(const Evidence& heard) const {
        std::vector<Posterior> parts;
        for (const Size& size : sizes) parts.push_back(heard.posterior(size.shrunk, size.log_prior));
        return parts;
    }
};

}  // namespace bakewright::tune
