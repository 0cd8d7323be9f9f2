// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/base/format.hpp"
#include "bakewright/plan/ensemble.hpp"

namespace bakewright::plan {

/// How sure a plan is to be.
struct Confidence {
    double level = 0.95;  ///< 0.5 to 0.999: of every coated zone cured and nothing too hot, together
    /// 40 to 100,000; a level is reached where (k + 1) / (n + 3) is, see cure::ensemble_probabilities()
    std::size_t member_count = kMemberCount;
    std::uint64_t seed = 1;  ///< the same members at every set point
    Uncertainty uncertainty{};
    /// @throws InputError
    void check() const;
};

/// The holds that one member needs and allows; infinite where none cures, or none is too much.
struct MemberHolds {
    double cured_from_s = 0.0;    ///< every coated zone is cured from this hold on
    double spared_until_s = 0.0;  ///< no limit is passed up to this hold
    std::uint32_t last_zone = 0;  ///< index into HoldChances::zones: the zone that decides cured_from_s
    std::uint32_t first_hot = 0;  ///< index into HoldChances::subjects
};

/// What an ensemble of one cycle says of it, and of holds near its own.
struct HoldChances {
    double exact_hold_s = 0.0;  ///< of the cycle: exact there; of other holds an estimate, which is the worse the further away
    double exact_chance = 0.0;  ///< EnsemblePrediction::chance, of that hold
    std::vector<std::string> zones;  ///< coated
    std::vector<Phrase> subjects;    ///< coated zones, items, earlier coats, bonds, heating rates
    std::vector<MemberHolds> members;
    std::vector<std::vector<double>> zone_cured_from_s;  ///< by zone, then member

    /// Of all members, (k + 1) / (n + 3) for k of them: cured and spared, cured, spared.
    [[nodiscard]] double good(double hold_s) const;
    [[nodiscard]] double cured(double hold_s) const;
    [[nodiscard]] double spared(double hold_s) const;
    /// The shortest hold from `from_s` on at which good() is `level` or more; nothing where there is none up to `until_s`.
    [[nodiscard]] std::optional<double> shortest_s(double level, double from_s, double until_s) const;
    /// The longest one.
    [[nodiscard]] std::optional<double> longest_s(double level, double from_s, double until_s) const;
    /// The hold with the best chance between two.
    [[nodiscard]] double surest_s(double from_s, double until_s) const;
    /// What most often stands against a hold: a zone not cured or a subject too hot; nothing where no member has either.
    [[nodiscard]] std::optional<Phrase> likeliest_obstacle(double hold_s) const;
};

}  // namespace bakewright::plan
