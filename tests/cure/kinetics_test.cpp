#include "bakewright/cure/kinetics.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "kinetic_sets.hpp"

using namespace bakewright;
using namespace bakewright::cure;
using namespace bakewright::cure::test;

TEST_CASE("the glass transition runs from the uncured to the cured one, concave for a small lambda, straight for lambda 1") {
    // Source: the DiBenedetto equation in the form of Pascault and Williams (1990); values made by hand from it.
    const GlassTransition glass{c(-10.0), c(90.0), 0.4};
    CHECK(std::abs(glass.temperature_k(0.0) - c(-10.0)) <= 1e-12);
    CHECK(std::abs(glass.temperature_k(1.0) - c(90.0)) <= 1e-12);
    // lambda x / (1 - (1 - lambda) x) at x = 0.5: 0.2 / 0.7; at x = 0.8: 0.32 / 0.52.
    CHECK(std::abs(glass.temperature_k(0.5) - (c(-10.0) + 100.0 * 0.2 / 0.7)) <= 1e-12);
    CHECK(std::abs(glass.temperature_k(0.8) - (c(-10.0) + 100.0 * 0.32 / 0.52)) <= 1e-12);
    CHECK(std::abs(GlassTransition{c(0), c(100), 1.0}.temperature_k(0.3) - c(30.0)) <= 1e-12);
}

TEST_CASE("a 180 degC prepreg's glass transition follows its published parameters") {
    // Source: Tg0 -7 degC, Tg1 195 degC, lambda 0.78 for an epoxy prepreg of the 180 degC class (P. Hubert, A. Johnston,
    // A. Poursartip, K. Nelson, 33rd Int. SAMPE Tech. Conf., 2001; values from memory). At 87 % conversion the equation gives
    // -7 + 202 * 0.78 * 0.87 / (1 - 0.22 * 0.87) = 162.5 degC, worked by hand. Tolerance: the rounding of that.
    const GlassTransition glass{c(-7.0), c(195.0), 0.78};
    CHECK(std::abs(glass.temperature_k(0.87) - c(162.5)) <= 0.06);
}

TEST_CASE("the conversion at a glass transition undoes it, and stops at 0 and 1") {
    const GlassTransition glass{c(-10.0), c(90.0), 0.4};
    for (const double x : {0.0, 0.2, 0.6, 0.99, 1.0}) CHECK(std::abs(glass.conversion_at(glass.temperature_k(x)) - x) <= 1e-12);
    CHECK(glass.conversion_at(c(-40.0)) == 0.0);
    CHECK(glass.conversion_at(c(140.0)) == 1.0);
}

TEST_CASE("a rate law is the sum of its terms times what is left") {
    Kinetics kinetics = second_order(1e5, 60e3);
    kinetics.autocatalytic = AutocatalyticTerm{{2e6, 65e3}, 1.2};
    const double temperature_k = c(65.0);
    const double k1 = 1e5 * std::exp(-60e3 / kGasConstant / temperature_k);
    const double k2 = 2e6 * std::exp(-65e3 / kGasConstant / temperature_k);
    const double expected = (k1 + k2 * std::pow(0.3, 1.2)) * 0.7 * 0.7;
    CHECK(std::abs(conversion_rate_per_s(kinetics, 0.3, temperature_k) - expected) <= 1e-15);
    CHECK(conversion_rate_per_s(kinetics, 1.0, temperature_k) == 0.0);
    CHECK(conversion_rate_per_s(kinetics, -1e-12, temperature_k) == conversion_rate_per_s(kinetics, 0.0, temperature_k));
}

TEST_CASE("slowing by a critical conversion halves the rate at that conversion") {
    Kinetics kinetics = second_order(1e5, 60e3);
    const double free = conversion_rate_per_s(kinetics, 0.6, c(60.0));
    kinetics.diffusion = CriticalConversion{30.0, 0.6 - 0.002 * c(60.0), 0.002};
    CHECK(std::abs(conversion_rate_per_s(kinetics, 0.6, c(60.0)) / free - 0.5) <= 1e-12);
    CHECK(conversion_rate_per_s(kinetics, 0.9, c(60.0)) < 1e-3 * free);
}

TEST_CASE("slowing by free volume leaves a hot film alone and stops one far under its glass transition") {
    Kinetics kinetics = second_order(1e5, 60e3);
    kinetics.glass = GlassTransition{c(-10.0), c(110.0), 0.5};
    const double free = conversion_rate_per_s(kinetics, 0.1, c(60.0));
    const double free_late = conversion_rate_per_s(kinetics, 0.98, c(40.0));
    kinetics.diffusion = FreeVolumeDiffusion{{1e12, 20e3}, 0.3};
    CHECK(std::abs(conversion_rate_per_s(kinetics, 0.1, c(60.0)) / free - 1.0) <= 1e-3);
    // Free volume is 0 at Tg - 52 K (0.025 / 4.8e-4): at conversion 0.98 the transition lies 65 K above 40 degC.
    CHECK(conversion_rate_per_s(kinetics, 0.98, c(40.0)) == 0.0);
    CHECK(free_late > 0.0);
}

TEST_CASE("two rate constants in series are never faster than the slower one") {
    Kinetics kinetics = second_order(1e5, 60e3);
    kinetics.glass = GlassTransition{c(-10.0), c(110.0), 0.5};
    const Kinetics chemical = kinetics;
    kinetics.diffusion = FreeVolumeDiffusion{{1e6, 20e3}, 0.3};
    double before = 1.0;
    for (double x = 0.0; x < 0.95; x += 0.05) {
        const double share = conversion_rate_per_s(kinetics, x, c(60.0)) / conversion_rate_per_s(chemical, x, c(60.0));
        CHECK(share <= before);
        before = share;
    }
}

TEST_CASE("every mistake in a set is named by its key") {
    const auto keys = [](const Kinetics& kinetics) {
        std::string all;
        for (const Problem& problem : problems_in(kinetics)) all += problem.key + " ";
        return all;
    };
    CHECK(keys(second_order(1e5, 60e3)) == "");
    CHECK(keys(prepreg_180()) == "");
    CHECK(keys(Kinetics{}) == "kinetics kinetics.start_conversion ");
    Kinetics wrong = second_order(-1.0, 600e3);
    wrong.order = 0.0;
    wrong.required_conversion = 1.0;
    wrong.glass = GlassTransition{c(90.0), c(-10.0), 1.5};
    CHECK(keys(wrong) ==
          "kinetics.k1.prefactor_per_s kinetics.k1.activation_energy kinetics.n kinetics.required_conversion "
          "kinetics.glass.lambda kinetics.glass ");
    Kinetics stuck = prepreg_180();
    stuck.start_conversion = 0.0;
    CHECK(keys(stuck) == "kinetics.start_conversion ");
    Kinetics without_glass = second_order(1e5, 60e3);
    without_glass.diffusion = FreeVolumeDiffusion{{1e6, 20e3}, 0.3};
    CHECK(keys(without_glass) == "kinetics.glass ");
    Kinetics nan = second_order(std::nan(""), 60e3);
    CHECK(keys(nan) == "kinetics.k1.prefactor_per_s ");
}
