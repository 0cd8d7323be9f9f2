// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <variant>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/readings.hpp"

namespace bakewright {
class FieldCheck;
class Fields;
}  // namespace bakewright

/// Rate laws of cure and the glass transition that goes with them. Temperatures [K], rates [1/s], conversion (the degree of cure)
/// 0 to 1. Optional for a coating: no complete set for a real refinish clear is known to be published, so a set is a stranger's
/// until its maker gives one.
namespace bakewright::cure {

/// Outside of these an activation energy is a slip of unit. Common practice, no source.
inline constexpr double kLeastEnergyKjPerMol = 1.0, kMostEnergyKjPerMol = 300.0;

/// k(T) = prefactor exp(-E / (R T)). Source: S. Arrhenius, Z. Phys. Chem. 4 (1889) 226 (from memory).
struct ArrheniusRate {
    double prefactor_per_s = 0.0;              ///< > 0
    double activation_energy_j_per_mol = 0.0;  ///< > 0

    [[nodiscard]] double rate_per_s(double temperature_k) const noexcept;
    bool operator==(const ArrheniusRate&) const = default;
};

/// The part of the rate that grows with what has reacted: k2(T) conversion^order.
struct AutocatalyticTerm {
    ArrheniusRate rate;
    double order = 1.0;  ///< m, > 0

    bool operator==(const AutocatalyticTerm&) const = default;
};

/// Glass transition of a network at a conversion x:
///
///     (Tg - Tg0) / (Tg1 - Tg0) = lambda x / (1 - (1 - lambda) x)
///
/// Source: A. T. DiBenedetto, J. Polym. Sci. B 25 (1987) 1949; in this form J. P. Pascault, R. J. J. Williams, J. Polym. Sci. B
/// 28 (1990) 85 (references from memory).
struct GlassTransition {
    double uncured_k = 0.0;  ///< Tg0, at conversion 0
    double cured_k = 0.0;    ///< Tg1, at conversion 1; > uncured_k
    double lambda = 0.5;     ///< ratio of heat-capacity steps, over 0, up to 1

    /// @param conversion  0 to 1
    [[nodiscard]] double temperature_k(double conversion) const noexcept;
    /// The conversion whose glass transition is at a temperature; 0 below Tg0, 1 above Tg1.
    [[nodiscard]] double conversion_at(double temperature_k) const noexcept;
    bool operator==(const GlassTransition&) const = default;
};

/// Slowing near a conversion that rises with temperature: the rate is divided by 1 + exp(C (x - (x0 + xT T))).
/// Source: C.-S. Chern, G. W. Poehlein, Polym. Eng. Sci. 27 (1987) 788 (reference from memory).
struct CriticalConversion {
    double steepness = 0.0;  ///< C, > 0
    double offset = 0.0;     ///< x0
    double per_k = 0.0;      ///< xT [1/K], >= 0

    bool operator==(const CriticalConversion&) const = default;
};

/// Slowing by free volume near the glass transition: every rate constant k becomes 1 / (1/k + 1/kd), with
///
///     kd = diffusion(T) exp(-b / f),   f = 0.00048 (T - Tg) + 0.025, and kd = 0 where f <= 0
///
/// Source: E. Rabinowitch, Trans. Faraday Soc. 33 (1937) 1225 (rates in series); S. L. Simon, J. K. Gillham, J. Appl. Polym. Sci.
/// 47 (1993) 461 (the form of kd); f: M. L. Williams, R. F. Landel, J. D. Ferry, J. Am. Chem. Soc. 77 (1955) 3701. All from
/// memory.
struct FreeVolumeDiffusion {
    ArrheniusRate diffusion;
    double sensitivity = 0.0;  ///< b, > 0

    bool operator==(const FreeVolumeDiffusion&) const = default;
};

/// dx/dt = (k1 + k2 x^m) (1 - x)^n, slowed by diffusion where a law for that is given. Without `autocatalytic` it is the n-th
/// order law. Source: M. R. Kamal, S. Sourour, Polym. Eng. Sci. 13 (1973) 59 (from memory).
struct Kinetics {
    std::optional<ArrheniusRate> first;              ///< k1; absent: 0
    std::optional<AutocatalyticTerm> autocatalytic;  ///< k2 and m
    double order = 1.0;                              ///< n, > 0
    double start_conversion = 0.0;                   ///< 0 to below 1; above 0 where k1 is absent, since nothing would start
    std::optional<GlassTransition> glass;
    std::variant<std::monostate, CriticalConversion, FreeVolumeDiffusion> diffusion;
    std::optional<double> required_conversion;  ///< what counts as cured, above start_conversion, below 1

    bool operator==(const Kinetics&) const = default;
};

/// dx/dt [1/s]; 0 at and above conversion 1. A conversion below 0 is read as 0: a trial step of a solver may go there.
/// @param kinetics  checked: problems_in(kinetics) is empty
[[nodiscard]] double conversion_rate_per_s(const Kinetics& kinetics, double conversion, double temperature_k) noexcept;

/// The fields of a rate law, with their ranges.
void visit_fields(ArrheniusRate& rate, Fields& see);
void visit_fields(AutocatalyticTerm& term, Fields& see);  // its rate constant; the order stands beside it
void visit_fields(GlassTransition& glass, Fields& see);
void visit_fields(Kinetics& kinetics, Fields& see);
/// Adds what is wrong with a set across its fields; keys are paths below "kinetics".
void check_kinetics(FieldCheck& check, const Kinetics& kinetics);

/// Everything wrong with a set; keys are paths below "kinetics".
[[nodiscard]] std::vector<Problem> problems_in(const Kinetics& kinetics);

/// Largest error a step of the integration may make, beside as much again relative to the conversion.
inline constexpr double kConversionStepTolerance = 1e-9;

/// The degree of cure at the end of a trace.
struct ConversionReading {
    double conversion = 0.0;               ///< 0 to 1
    std::optional<double> glass_k;         ///< glass transition at that conversion, where the set has one
    std::optional<double> vitrified_at_s;  ///< when the glass transition first passed the temperature while warmer than the floor
    std::optional<double> reached_s;       ///< when the conversion first reached the set's required_conversion
    std::size_t steps = 0;                 ///< steps that were accepted
};

/// Integrates the rate law along the straight lines of a trace. Every corner of the trace, and every crossing of the floor, ends
/// a step, since the rate bends there: within a step it is smooth. In an open gap nothing happens. Method: Dormand and Prince's
/// fifth-order pair with step control (Boost.Odeint), the last rate of a step being the first of the next; a moment within a step
/// is read off the cubic through both ends and their rates.
/// @param kinetics  checked: problems_in(kinetics) is empty
/// @param floor_k   below it nothing counts; 0: everything counts
/// @param start     conversion to start from; default the set's own. A history hands on what the bake before left
/// @throws SolveError where no step is accepted
[[nodiscard]] ConversionReading degree_of_cure(const JoinedTrace& trace, const Kinetics& kinetics, double floor_k = 0.0,
                                               std::optional<double> start = std::nullopt);

}  // namespace bakewright::cure
