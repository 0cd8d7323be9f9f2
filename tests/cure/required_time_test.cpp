// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/required_time.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/dose.hpp"
#include "traces.hpp"

using namespace bakewright;
using namespace bakewright::cure;
using namespace bakewright::cure::test;

namespace {

RequiredTime one_row(double energy_j_per_mol, BeyondLastPoint beyond = BeyondLastPoint::go_on, double floor_c = 0.0) {
    return {{{c(60), min(30)}}, energy_j_per_mol, c(floor_c), beyond};
}

}  // namespace

TEST_CASE("the cure rate relative to 60 degC follows the Arrhenius law for a low, a middle and a high activation energy") {
    // Source:    exp(E/R (1/T0 - 1/T)), worked out apart to four decimals; computed, no published table.
    // Tolerance: half the last digit.
    struct Row {
        double temperature_c, low, middle, high;
    };
    for (const Row& row : {Row{20, 0.2281, 0.0666, 0.0249}, Row{50, 0.7152, 0.5409, 0.4326}, Row{55, 0.8479, 0.7389, 0.6620},
                           Row{65, 1.1737, 1.3412, 1.4924}, Row{70, 1.3711, 1.7836, 2.2013}}) {
        CAPTURE(row.temperature_c);
        const auto relative = [&](double energy_j_per_mol) {
            const RequiredTime required = one_row(energy_j_per_mol);
            return required.rate_per_s(c(row.temperature_c)) / required.rate_per_s(c(60));
        };
        CHECK(std::abs(relative(30e3) - row.low) <= 5e-5);
        CHECK(std::abs(relative(55e3) - row.middle) <= 5e-5);
        CHECK(std::abs(relative(75e3) - row.high) <= 5e-5);
    }
}

TEST_CASE("a night at 20 degC would earn the minutes of 60 degC that its activation energy gives, were there no floor") {
    // Source: 12 h at exp(55000/R (1/333.15 - 1/293.15)) of the rate of 60 degC: 48 min (computed, no published source).
    const RequiredTime required = one_row(55e3);
    CHECK(std::abs(12.0 * 60.0 * required.rate_per_s(c(20)) / required.rate_per_s(c(60)) - 48.0) <= 0.5);
}

TEST_CASE("a schedule is met at its rows and is straight in 1/T between them") {
    const RequiredTime required({{c(60), min(30)}, {c(80), min(15)}}, 55e3, c(45), BeyondLastPoint::keep_rate);
    CHECK(std::abs(required.required_s(c(60)) - min(30)) <= 1e-9);
    CHECK(std::abs(required.required_s(c(80)) - min(15)) <= 1e-9);
    const double middle_k = 2.0 / (1.0 / c(60) + 1.0 / c(80));
    CHECK(std::abs(required.required_s(middle_k) - std::sqrt(min(30) * min(15))) <= 1e-9);
}

TEST_CASE("beyond its last row a schedule keeps the rate or goes on, as asked") {
    CHECK(std::abs(one_row(55e3, BeyondLastPoint::keep_rate).required_s(c(90)) - min(30)) <= 1e-9);
    CHECK(one_row(55e3, BeyondLastPoint::go_on).required_s(c(90)) < min(10));
}

TEST_CASE("under the floor nothing cures, at the floor it does") {
    const RequiredTime required = one_row(55e3, BeyondLastPoint::keep_rate, 45.0);
    CHECK(required.rate_per_s(c(45) - 1e-6) == 0.0);
    CHECK(std::isinf(required.required_s(c(20))));
    CHECK(required.rate_per_s(c(45)) > 0.0);
    CHECK(required.rate_per_s(kMissing) == 0.0);
}

TEST_CASE("a floor between the rows cuts the schedule there") {
    const RequiredTime required({{c(20), min(900)}, {c(60), min(45)}}, 55e3, c(45), BeyondLastPoint::keep_rate);
    CHECK(required.rate_per_s(c(40)) == 0.0);
    CHECK(std::abs(required.required_s(c(60)) - min(45)) <= 1e-9);
    CHECK(required.pieces().front().from_k == c(45));
}

TEST_CASE("the required time falls with temperature over the whole range") {
    for (const BeyondLastPoint beyond : {BeyondLastPoint::keep_rate, BeyondLastPoint::go_on}) {
        const RequiredTime required({{c(60), min(30)}, {c(70), min(20)}, {c(80), min(15)}}, 30e3, c(45), beyond);
        double before_s = required.required_s(c(45));
        for (double t = 45.5; t <= 120.0; t += 0.5) {
            CHECK(required.required_s(c(t)) <= before_s + 1e-9);
            before_s = required.required_s(c(t));
        }
    }
}

TEST_CASE("the activation energy of two schedules is the slope between them") {
    // Source:    R ln(t1/t2) / (1/T1 - 1/T2): 15 h at 20 degC against 45 min at 60 degC gives 61 kJ/mol, 20 h against 30 min 75
    // kJ/mol
    //            (rows as printed on refinish data sheets; computed by hand). Tolerance: half a kJ/mol.
    const auto fitted_kj = [](SchedulePoint cold, SchedulePoint hot) {
        return fit_activation_energy_j_per_mol(std::vector{cold, hot}) / 1e3;
    };
    CHECK(std::abs(fitted_kj({c(20), min(900)}, {c(60), min(45)}) - 61.0) <= 0.5);
    CHECK(std::abs(fitted_kj({c(20), min(1200)}, {c(60), min(30)}) - 75.0) <= 0.5);
}

TEST_CASE("a slope fitted through points of one law gives that law back") {
    std::vector<SchedulePoint> points;
    const RequiredTime law = one_row(47e3);
    for (const double t : {50.0, 60.0, 75.0, 90.0}) points.push_back({c(t), law.required_s(c(t))});
    CHECK(std::abs(fit_activation_energy_j_per_mol(points) - 47e3) <= 1e-3);
}

TEST_CASE("the activation energy given with a coating wins, then the sheet's rows, then the default band") {
    Coating coating = one_row_clear();
    CHECK(choose_activation_energy(coating).origin == "default band");
    CHECK(choose_activation_energy(coating).energy == ActivationEnergy{30e3, 55e3, 75e3});
    coating = two_row_clear();
    const ChosenActivationEnergy fitted = choose_activation_energy(coating);
    CHECK(fitted.origin == "from the sheet's 2 schedules");
    CHECK(std::abs(fitted.energy.value_j_per_mol - kGasConstant * std::log(2.0) / (1.0 / c(60) - 1.0 / c(80))) <= 1e-6);
    // Outside the rows the band is never narrower than the default's.
    CHECK(fitted.energy.low_j_per_mol == 30e3);
    CHECK(fitted.energy.high_j_per_mol == 75e3);
    coating.activation_energy = ActivationEnergy{50e3, 60e3, 70e3};
    CHECK(choose_activation_energy(coating).origin == "given");
    CHECK(choose_activation_energy(coating).energy.value_j_per_mol == 60e3);
}

TEST_CASE("equivalent minutes are told at the first row that counts") {
    Coating coating = one_row_clear();
    coating.schedule.insert(coating.schedule.begin(), {c(20), min(900), {}});
    CHECK(reference_row(coating).temperature_k == c(60));
    CHECK(maximum_points(coating).empty());
    CHECK(maximum_points(two_row_clear()).size() == 2);
}

TEST_CASE("a schedule that is none breaks a promise") {
    const auto make = [](std::vector<SchedulePoint> points, double energy, double floor_k) {
        return RequiredTime(std::move(points), energy, floor_k, BeyondLastPoint::go_on);
    };
    CHECK_THROWS_AS(make({}, 55e3, c(45)), PromiseError);
    CHECK_THROWS_AS(make({{c(60), 0.0}}, 55e3, c(45)), PromiseError);
    CHECK_THROWS_AS(make({{c(60), min(30)}, {c(80), min(40)}}, 55e3, c(45)), PromiseError);
    CHECK_THROWS_AS(make({{c(60), min(30)}}, -1.0, c(45)), PromiseError);
    CHECK_THROWS_AS(make({{c(60), min(30)}}, 55e3, 0.0), PromiseError);
}

TEST_CASE("where time beyond the last row counts as nothing, the row itself still counts in full") {
    const RequiredTime refused({{c(60), min(30)}, {c(80), min(15)}}, 55e3, c(45), BeyondLastPoint::nothing);
    const RequiredTime kept({{c(60), min(30)}, {c(80), min(15)}}, 55e3, c(45), BeyondLastPoint::keep_rate);
    CHECK(refused.required_s(c(80)) == kept.required_s(c(80)));
    CHECK(refused.required_s(c(70)) == kept.required_s(c(70)));
    CHECK(refused.rate_per_s(c(80.1)) == 0.0);
    CHECK(std::isinf(refused.required_s(c(90))));
    const Trace hot = trace_of({{0, 80}, {15, 80}, {15.001, 95}, {45, 95}});
    const DoseReading reading = dose(hot, refused);
    CHECK(std::abs(reading.dose - 1.0) <= 1e-6);
    CHECK(std::abs(reading.beyond_last_point_s - min(30)) <= 0.1);
    // One row: nothing above it, all of it at it.
    const RequiredTime one({{c(60), min(30)}}, 55e3, c(45), BeyondLastPoint::nothing);
    CHECK(std::abs(dose(trace_of({{0, 60}, {30, 60}}), one).dose - 1.0) <= 1e-12);
}
