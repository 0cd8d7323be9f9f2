// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/bake/learned.hpp"
#include "bakewright/base/format.hpp"

namespace bakewright::tune {

/// A number of the shell or booth as it was tuned.
struct TunedNumber {
    bake::LearnedNumber learned;  ///< value and standard error
    Phrase name;                  ///< "film of group upright"
    double before = 1.0;          ///< what the profile stands for
    double prior_standard = 0.0;  ///< as the standard error: what was believed
    bool at_bound = false;
    /// Share of the prior's variance that the data took away: 0 nothing learned, 1 all.
    [[nodiscard]] double told() const noexcept;
};

/// Two of them that the logs tell apart badly.
struct CorrelatedPair {
    Phrase first, second;
    double correlation = 0.0;  ///< -1 to 1
};

}  // namespace bakewright::tune
