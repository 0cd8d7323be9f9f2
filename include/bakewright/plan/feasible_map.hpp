// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/plan/task.hpp"

namespace bakewright::plan {

/// Which holds to map, beside the set points and habits of PlanOptions. check() refuses values out of range.
struct MapOptions {
    /// 1 min to 4 h: distance of the cells; the bounds between do not depend on it.
    double hold_step_s = 10.0 * kSecondPerMinute;
    double bound_error_s = 5.0;  ///< 0.1 to 60: how exactly the bounds are found
    /// @throws InputError
    void check() const;
};

/// What stands against a cycle first: the worst zone or item, with its word.
struct Obstacle {
    std::string subject;
    cure::Word word = cure::Word::under;
};

/// One set point: holds from shortest to longest do both, cure every coated zone and spare everything.
struct MapRow {
    double setpoint_k = 0.0;
    std::optional<double> shortest_hold_s;  ///< from which every coated zone is cured; absent where the longest hold does not
    Obstacle last_to_cure;                  ///< the zone that decides it
    std::optional<double> longest_hold_s;   ///< to which nothing gets too hot or over-baked; the longest hold tried where that is
                                            ///< never so; absent where the shortest hold is too much already
    std::optional<Obstacle> first_too_hot;  ///< what decides it; absent where nothing does
    std::vector<cure::HeatWarning> warnings;  ///< flash-off and heating rate, whatever the hold
    bool is_kept = true;                      ///< see Candidate::is_kept, apart from the warnings
    double confidence = 0.0;                  ///< the level that was asked; 0 where none was
    /// Where confidence was asked: the chance of each hold of the map that may do, exactly that of the cycle; absent of the
    /// others.
    std::vector<std::optional<double>> chances;
    std::vector<Phrase> obstacles;  ///< beside each chance: what most often stands against it; empty where nothing does
    /// The shortest and the longest hold that is as sure as asked, in whole minutes; absent where none is.
    std::optional<double> shortest_sure_s, longest_sure_s;

    /// What a cell of the map says.
    enum class Cell : std::uint8_t {
        feasible,  ///< cured, and nothing too hot
        under,     ///< last_to_cure is not cured
        hot,       ///< first_too_hot is too hot, or over-baked
        both,      ///< the two at once
        warned,    ///< cured and nothing too hot, but heated too soon or too fast
        unsure     ///< by the middle of the model feasible, but not as sure as was asked
    };
    /// @param index  of a hold in FeasibleMap::hold_s
    [[nodiscard]] Cell at(std::size_t index, double hold_s) const;
    /// Whether some hold does both, as sure as asked.
    [[nodiscard]] bool any_does() const;
};

struct FeasibleMap {
    std::vector<double> hold_s;       ///< of the cells, rising
    std::vector<MapRow> rows;         ///< by rising set point
    bool complete = true;             ///< false where the listener stopped it
    double flash_off_s = 0.0;         ///< before the heat of every cycle of the map, then
    double purge_s = 0.0;             ///< 0 where the booth sees to it itself
    std::vector<std::string> checks;  ///< what keeps every cell from being GOOD: a limit or a flash-off that nobody knows
};

/// Which set points and holds do both. A longer hold never shortens a stay, lowers a dose or cools an item, so each set point has
/// one bound on either side; both are roots of what is to spare (Boost.Math, TOMS 748). A try goes on from the one heat-up of its
/// set point.
/// @throws InputError for records or options with problems; SolveError
[[nodiscard]] FeasibleMap feasible_map(const PlanTask& task, const PlanOptions& options, const MapOptions& map);

}  // namespace bakewright::plan
