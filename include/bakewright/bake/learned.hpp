// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/base/words.hpp"

namespace bakewright {
class Fields;
}

namespace bakewright::bake {

/// What a factor of the network multiplies.
enum class FactorKind {
    film,         ///< film coefficient of the booth's air along one zone or surface; subject: zone, "booth wall", "booth floor"
    cavity_film,  ///< film coefficient inside a cavity; subject: cavity
    thickness,    ///< heat capacity of a zone; subject: zone
    through,      ///< conductance through a zone's stack, the inverse of its thickness; subject: zone
    link,         ///< conductance of a link; subject: "from to"
    leakage,      ///< air exchanged between cavity and booth; subject: cavity
    contact,      ///< conductance of an item to its place; subject: item
    emissivity,   ///< of every face in the booth
    vertical_profile,  ///< how much hotter or colder the air is at a height
    wall_offset,       ///< how far walls that follow the air lie under it
    wall_loss,         ///< conductance of the walls to the outside
    make_up,           ///< fresh air
    burner_power,      ///< largest power
    mode_film,         ///< what the fans of a mode do for the film coefficient, where it was learned; subject: fan mode
    floor,             ///< how much heat the booth's concrete floor takes: its conductances and heat capacities
    doorway,           ///< air that open doors exchange
    own_air,           ///< error of the air along one zone; 1 + its kelvins in full over kDrawnRiseK; subject: zone
    surroundings,      ///< the same of walls, ceiling and floor
    wall_capacity      ///< heat capacity of walls and ceiling, and of a floor of panels, where they have balances
};

/// A number of a shell or booth that a log can teach.
enum class LearnedKind {
    group_film,        ///< factor on the film coefficient of a film group, in every fan mode; subject: film group
    zone_film,         ///< one zone's own deviation from its group, a factor; subject: zone
    mode_film,         ///< factor on what the fans of a mode do for the film coefficient; subject: fan mode
    cavity_film,       ///< factor, as FactorKind::cavity_film; so are those that follow
    thickness,         ///< factor on a zone's heat capacity, its inverse on the conductance through it
    link,              ///< subject: "from to"
    leakage,           ///< subject: cavity
    own_air,           ///< how much hotter the air along one zone is than the booth's at that height [K]; subject: zone
    contact,           ///< subject: item
    emissivity,        ///< no subject, nor has any that follows
    vertical_profile,  ///< factor on all the offsets of the profile
    wall_offset,
    wall_loss,
    make_up,
    burner_power,
    air_offset,  ///< how much hotter the booth's air is than what is set [K], beside the controller's sensor_offset
    floor,
    surroundings,  ///< how much hotter walls, ceiling and floor together are than their balances say [K]
    wall_capacity  ///< of walls and ceiling, and of a floor of panels
};

constexpr std::array<std::string_view, 19> words_of(LearnedKind) noexcept {
    return {"film of group", "film of zone", "film in fan mode",  "film in cavity",
            "heat capacity", "link",         "leakage",           "air along",
            "contact",       "emissivity",   "vertical profile",  "wall offset",
            "wall loss",     "fresh air",    "burner power",      "air offset",
            "floor",         "surroundings", "wall heat capacity"};
}
[[nodiscard]] bool has_subject(LearnedKind kind) noexcept;
/// Whether the number is kelvins, at the reference rise, in place of a factor.
[[nodiscard]] bool is_offset(LearnedKind kind) noexcept;
/// Whether the number is the booth's: it goes with any shell that is baked there.
[[nodiscard]] bool is_of_booth(LearnedKind kind) noexcept;

/// Under which kind a network's factor may have been learned; nothing for one that follows another.
[[nodiscard]] std::optional<LearnedKind> learned_kind_of(FactorKind kind) noexcept;

/// One learned number with its standard error: of the natural logarithm for a factor, in kelvin for an offset.
struct LearnedNumber {
    LearnedKind kind = LearnedKind::group_film;
    std::string subject;
    double value = 1.0;               ///< factor 0.01 to 100; of is_offset() -50 to 50 K
    double standard_error = 0.0;      ///< 0 to 3; 0 to 50 K
    std::vector<double> correlation;  ///< with each of the numbers before it, -1 to 1; empty: with none

    bool operator==(const LearnedNumber&) const = default;
};

/// What was learned from logged bakes, and from which. A shell also holds the numbers of the booth it was learned with, for their
/// correlations; what counts is what the booth says.
struct Learned {
    std::vector<LearnedNumber> numbers;
    std::vector<std::string> from;           ///< the bakes, for people
    std::vector<std::string> tuned_from;     ///< names of the shells (or booths) it was tuned from, the nearest first
    std::optional<double> film_spread;       ///< standard deviation of the logarithm of zones' films about their group's
    std::optional<double> error_used_k;      ///< RMS on the bakes that were used
    std::optional<double> error_held_out_k;  ///< RMS on bakes or parts that were not
    std::optional<double> residual_k;        ///< standard deviation of what the fit left of a sample
    std::optional<double> residual_time_s;   ///< what is left stays alike for so long: its correlation falls as exp(-t / this)

    [[nodiscard]] bool empty() const noexcept { return *this == Learned{}; }
    [[nodiscard]] const LearnedNumber* find(LearnedKind kind, std::string_view subject) const noexcept;
    /// The number's value; 1 (0 for an offset) where nothing was learned.
    [[nodiscard]] double value(LearnedKind kind, std::string_view subject = {}) const noexcept;

    bool operator==(const Learned&) const = default;
};

void visit_fields(LearnedNumber& number, Fields& see);
void visit_fields(Learned& learned, Fields& see);

/// Everything wrong with it; keys as in the profile, "learned[1].factor". @param of_booth  whose it is
[[nodiscard]] std::vector<Problem> problems_in(const Learned& learned, bool of_booth);

/// What is known together of a shell and a booth: the numbers of both with the root L of their covariance, L L^T, row by row;
/// draws that belong together are L z, logarithms of factors and kelvins. Where the shell holds the booth's numbers as they are,
/// it was learned with this booth and their correlations count; else only those within each. Correlations that are not positive
/// definite (edited by hand) are shrunk towards none until they are.
struct LearnedTogether {
    std::vector<LearnedNumber> numbers;
    std::vector<double> root;
};
[[nodiscard]] LearnedTogether learned_together(const Learned& of_shell, const Learned& of_booth);

}  // namespace bakewright::bake
