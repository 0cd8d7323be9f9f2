// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/cure/kinetics.hpp"
#include "traces.hpp"

/// Rate laws for the tests of this area.
namespace bakewright::cure::test {

/// n-th order with n = 2; the numbers are the test's own.
inline Kinetics second_order(double prefactor_per_s, double energy_j_per_mol) {
    Kinetics kinetics;
    kinetics.first = ArrheniusRate{prefactor_per_s, energy_j_per_mol};
    kinetics.order = 2.0;
    return kinetics;
}

/// An epoxy prepreg cured at 180 degC, far from any paint: dx/dt = A exp(-E/RT) x^m (1 - x)^n, A 1.53e5 /s, E 66.5 kJ/mol, m
/// 0.813, n 2.74. Source: A. Johnston, doctoral thesis, University of British Columbia, 1997 (parameters from memory, and the
/// same in a public code file of cure equations).
inline Kinetics prepreg_180() {
    Kinetics kinetics;
    kinetics.autocatalytic = AutocatalyticTerm{{1.53e5, 66.5e3}, 0.813};
    kinetics.order = 2.74;
    kinetics.start_conversion = 0.001;
    return kinetics;
}

}  // namespace bakewright::cure::test
