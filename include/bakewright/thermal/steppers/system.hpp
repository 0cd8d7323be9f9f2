#pragma once

#include <concepts>
#include <cstddef>
#include <span>
#include <string>

#include "bakewright/thermal/steppers/sparsity_pattern.hpp"

namespace bakewright::thermal {

/// A system of ordinary differential equations dy/dt = f(t, y) that the steppers of this folder can integrate.
///
/// Real is double, or a pack (Lanes) whose lanes are different members of an ensemble: the same equations with other numbers.
/// Time is one double for all lanes. Every span holds size() values, those of jacobian() pattern().entry_count().
///
///  - rates(t, y, dydt):              f(t, y)
///  - pattern():                      where df/dy may be non-zero; structurally symmetric, diagonal included; the same object
///                                    with the same content for as long as the system is integrated
///  - jacobian(t, y, values):         df/dy, in the pattern's order (row by row, columns rising)
///  - time_derivative(t, y, dfdt):    the partial derivative df/dt with y held; all zero where f does not name the time
///
/// An inexact df/dy or df/dt costs the linearly implicit stepper its order; it is not found out at run time, so test it
/// against differences.
template <class System, class Real>
concept DifferentiableSystem = requires(const System& system, double time_s, std::span<const Real> y, std::span<Real> out) {
    { system.size() } -> std::convertible_to<std::size_t>;
    { system.pattern() } -> std::same_as<const SparsityPattern&>;
    system.rates(time_s, y, out);
    system.jacobian(time_s, y, out);
    system.time_derivative(time_s, y, out);
};

/// A system that tells rates, Jacobian and time derivative at one point for less than the three.
template <class System, class Real>
concept LinearisingSystem = requires(const System& system, double time_s, std::span<const Real> y, std::span<Real> out) {
    system.linearise(time_s, y, out, out, out);
};

/// A system that can name its components, for error messages.
template <class System>
concept NamedSystem = requires(const System& system, std::size_t index) {
    { system.name(index) } -> std::convertible_to<std::string>;
};

}  // namespace bakewright::thermal
