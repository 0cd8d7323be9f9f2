// SPDX-License-Identifier: Apache-2.0
#include "reference/lumped.hpp"

#include <cmath>

namespace bakewright::reference {

double lumped_exponential_k(double start_k, double surroundings_k, double time_constant_s, double time_s) {
    return surroundings_k + (start_k - surroundings_k) * std::exp(-time_s / time_constant_s);
}

double lumped_exponential_time_s(double start_k, double surroundings_k, double time_constant_s, double target_k) {
    return time_constant_s * std::log((start_k - surroundings_k) / (target_k - surroundings_k));
}

double lumped_ramp_k(double start_k, double rate_k_per_s, double time_constant_s, double time_s) {
    return start_k + rate_k_per_s * (time_s + time_constant_s * std::expm1(-time_s / time_constant_s));
}

double radiating_time_s(double start_k, double surroundings_k, double target_k, double scale_s) {
    const auto part = [&](double t) {
        return std::log(std::abs((surroundings_k + t) / (surroundings_k - t))) + 2.0 * std::atan(t / surroundings_k);
    };
    return scale_s * (part(target_k) - part(start_k));
}

double power_law_difference_k(double start_difference_k, double exponent, double first_time_constant_s, double time_s) {
    return start_difference_k * std::pow(1.0 + exponent * time_s / first_time_constant_s, -1.0 / exponent);
}

std::pair<double, double> two_bodies_k(double capacity_1_j_per_k, double capacity_2_j_per_k, double conductance_w_per_k,
                                       double start_1_k, double start_2_k, double time_s) {
    const double end_k =
        (capacity_1_j_per_k * start_1_k + capacity_2_j_per_k * start_2_k) / (capacity_1_j_per_k + capacity_2_j_per_k);
    const double left = std::exp(-conductance_w_per_k * (1.0 / capacity_1_j_per_k + 1.0 / capacity_2_j_per_k) * time_s);
    return {end_k + (start_1_k - end_k) * left, end_k + (start_2_k - end_k) * left};
}

std::pair<double, double> skin_and_frame_k(const SkinAndFrame& system, double air_k, double start_1_k, double start_2_k,
                                           double time_s) {
    const double a = -(system.air_w_per_k + system.link_w_per_k) / system.skin_j_per_k;
    const double b = system.link_w_per_k / system.skin_j_per_k;
    const double c = system.link_w_per_k / system.frame_j_per_k;
    const double root = std::sqrt((a + c) * (a + c) + 4.0 * b * c);
    const double fast = 0.5 * (a - c - root);
    const double slow = 0.5 * (a - c + root);
    const double skin = start_1_k - air_k;
    const double frame = start_2_k - air_k;
    // exp(A t) = [(A - fast) exp(slow t) - (A - slow) exp(fast t)] / (slow - fast).
    const double by_slow = std::exp(slow * time_s) / root;
    const double by_fast = std::exp(fast * time_s) / root;
    const double skin_end = ((a - fast) * skin + b * frame) * by_slow - ((a - slow) * skin + b * frame) * by_fast;
    const double frame_end = (c * skin + (-c - fast) * frame) * by_slow - (c * skin + (-c - slow) * frame) * by_fast;
    return {air_k + skin_end, air_k + frame_end};
}

}  // namespace bakewright::reference
