// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/base/units.hpp"
#include "bakewright/cure/kinetics.hpp"

namespace bakewright::cure {

/// One row of a data sheet's schedule: at this temperature, at least so long and (where the sheet says so) at most so long.
struct ScheduleRow {
    double temperature_k = 0.0;       ///< > 0
    double minimum_s = 0.0;           ///< > 0
    std::optional<double> maximum_s;  ///< > minimum_s

    bool operator==(const ScheduleRow&) const = default;
};

/// Whose temperature the data sheet means.
enum class ScheduleBasis { part, booth_air, not_stated };
constexpr std::array<std::string_view, 3> words_of(ScheduleBasis) noexcept { return {"part", "booth_air", "not_stated"}; }

/// What time hotter than the sheet's last row is worth towards cure. Never more than the last row; it is always told.
enum class BeyondLastRow {
    counts_as_last_row,  ///< as much as at the last row's temperature
    counts_as_nothing    ///< refused: the dose does not grow; a stay at or above a row still counts
};
constexpr std::array<std::string_view, 2> words_of(BeyondLastRow) noexcept { return {"counts_as_last_row", "counts_as_nothing"}; }

/// Arrhenius activation energy with its band [J/mol], low <= value <= high, all > 0.
/// Default: 55 (30 to 75) kJ/mol, the spread of published isocyanate and epoxy cures; see docs/bibliography.md.
struct ActivationEnergy {
    double low_j_per_mol = 30e3;
    double value_j_per_mol = 55e3;
    double high_j_per_mol = 75e3;

    bool operator==(const ActivationEnergy&) const = default;
};

/// A coating as its data sheet describes it.
struct Coating {
    std::string id;
    std::string title;
    ScheduleBasis basis = ScheduleBasis::not_stated;
    std::vector<ScheduleRow> schedule;         ///< at least one; rising temperature, falling minimum_s
    double floor_k = celsius_to_kelvin(45.0);  ///< below it nothing counts towards cure; common practice
    std::optional<double> absolute_maximum_k;  ///< part temperature never to be passed: the sheet's, or the maker's word
    /// The maker's word, written down by the shop, that time below the coolest printed row cures: part temperature from which
    /// equivalent time by the activation energy counts. At or above the floor, below the coolest row; has a source.
    std::optional<double> cured_below_the_sheet_from_k;
    BeyondLastRow beyond_last_row = BeyondLastRow::counts_as_last_row;
    std::optional<double> flash_off_minimum_s;           ///< wait before heat, >= 0; absent where the sheet prints none
    std::optional<double> flash_off_maximum_s;           ///< some sheets warn of a skin that closes first
    std::optional<double> largest_heating_rate_k_per_s;  ///< of the coated face until the solvent has left
    std::optional<double> recoat_minimum_s;              ///< no sooner than this may the next coat go on without sanding
    std::optional<double> recoat_maximum_s;              ///< later than this the film must be sanded first
    /// The sheet's times from the end of a bake that cured it, the part cooled down, until it may be worked on, >= 0; where
    /// absent that is not known: cure alone does not tell it.
    std::optional<double> sandable_after_s;
    std::optional<double> tape_free_after_s;            ///< until it takes masking tape without a mark
    std::optional<double> polish_after_s;               ///< until it may be cut and polished
    std::optional<double> film_build_minimum_m;         ///< of the dry film of one coat, > 0
    std::optional<double> film_build_maximum_m;         ///< not below the minimum: a thicker film may hold its solvents
    std::optional<Kinetics> kinetics;                   ///< rate law of its cure, where one is known
    std::optional<ActivationEnergy> activation_energy;  ///< where absent: fitted from two schedule rows, else the default
    std::map<std::string, std::string> sources;         ///< profile key -> where its number comes from
    /// What its maker was asked and said, by the key of the question, where questions made it (builder/questions.hpp).
    std::map<std::string, std::string> answers{};

    bool operator==(const Coating&) const = default;
};

/// How long an item may be at or above a temperature.
enum class ExposureScope { bake, lifetime };
constexpr std::array<std::string_view, 2> words_of(ExposureScope) noexcept { return {"bake", "lifetime"}; }
/// What passing a limit means.
enum class LimitKind {
    never,         ///< OVER
    never_inside,  ///< of a layer behind the face whose trace it is judged on, which is no hotter: CHECK
    warn           ///< told; changes no word
};
struct ExposureLimit {
    double temperature_k = 0.0;
    double allowed_s = 0.0;  ///< >= 0; 0 means never at or above
    ExposureScope scope = ExposureScope::bake;
    LimitKind kind = LimitKind::never;

    bool operator==(const ExposureLimit&) const = default;
};

/// Something in or on the shell, or a part of the shell itself, that heat can spoil. name is the name of its trace.
struct HeatSensitiveItem {
    std::string name;
    std::string title;
    std::vector<ExposureLimit> limits;  ///< at least one that is no warning, but for a part with materials of unknown limit
    std::map<std::string, std::string> sources;
    /// Materials in it of which nobody has said how hot they may get, for people: it is CHECK until somebody does.
    std::vector<std::string> no_limit_known_of{};

    bool operator==(const HeatSensitiveItem&) const = default;
};

/// The fields of a coating below its id and title, and of an item's limits, with their ranges.
void visit_fields(ScheduleRow& row, Fields& see);
void visit_fields(Coating& coating, Fields& see);
void visit_fields(ExposureLimit& limit, Fields& see);
void visit_fields(HeatSensitiveItem& item, Fields& see);

/// Everything wrong with a record; keys are paths as in the profile, such as "schedule[1].minimum"; file and line are empty.
/// Rows that contradict each other (hotter needs longer) are a problem.
[[nodiscard]] std::vector<Problem> problems_in(const Coating& coating);
/// @param key_prefix  path of the item inside its profile, such as "item[2]"
[[nodiscard]] std::vector<Problem> problems_in(const HeatSensitiveItem& item, const std::string& key_prefix);

/// A number that depends on the activation energy: at the low end of the band, the value, and the high end.
struct Band {
    double at_low = 0.0;
    double at_value = 0.0;
    double at_high = 0.0;
    [[nodiscard]] double least() const noexcept;
    [[nodiscard]] double most() const noexcept;
};

}  // namespace bakewright::cure
