// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <utility>

/// Exact solutions for bodies at one temperature each. Closed forms only; temperatures in kelvin, times in seconds.
namespace bakewright::reference {

/// T = T_s + (T_0 - T_s) exp(-t/tau). Source: Incropera et al., 6th ed., eq. (5.6).
[[nodiscard]] double lumped_exponential_k(double start_k, double surroundings_k, double time_constant_s, double time_s);
/// Time at which lumped_exponential_k() passes a temperature between start and surroundings.
[[nodiscard]] double lumped_exponential_time_s(double start_k, double surroundings_k, double time_constant_s, double target_k);
/// Body at rest with its surroundings, which then ramp: T = T_0 + r (t - tau (1 - exp(-t/tau))).
[[nodiscard]] double lumped_ramp_k(double start_k, double rate_k_per_s, double time_constant_s, double time_s);

/// Time for a body that only radiates, to and from surroundings T_s, to get from T_i to T.
/// @param scale_s  C / (4 sigma epsilon A T_s^3). Source: Bejan & Kraus, Heat Transfer Handbook (2003), ch. 3, eq. (3.283).
[[nodiscard]] double radiating_time_s(double start_k, double surroundings_k, double target_k, double scale_s);
/// Temperature difference left when h = h_i (dT/dT_i)^n: dT_i [1 + n t / tau_i]^(-1/n), tau_i = C / (h_i A).
/// Source: the same, eq. (3.286).
[[nodiscard]] double power_law_difference_k(double start_difference_k, double exponent, double first_time_constant_s,
                                            double time_s);
/// Two bodies that exchange heat with each other alone. Source: the same, eqs. (3.287) and (3.288).
[[nodiscard]] std::pair<double, double> two_bodies_k(double capacity_1_j_per_k, double capacity_2_j_per_k,
                                                     double conductance_w_per_k, double start_1_k, double start_2_k,
                                                     double time_s);

/// A skin in steady air with a frame behind it: C_1 T_1' = G_a (T_a - T_1) + G (T_2 - T_1), C_2 T_2' = G (T_1 - T_2).
struct SkinAndFrame {
    double skin_j_per_k, frame_j_per_k, air_w_per_k, link_w_per_k;
};
/// Both temperatures, by the two eigenvalues of the system. Source: elementary; derived here.
[[nodiscard]] std::pair<double, double> skin_and_frame_k(const SkinAndFrame& system, double air_k, double start_1_k,
                                                         double start_2_k, double time_s);

}  // namespace bakewright::reference
