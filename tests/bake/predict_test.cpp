// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/predict.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "example_records.hpp"

using namespace bakewright;
using namespace bakewright::bake;
using namespace bakewright::example;

namespace {

thermal::Material material(double density, double specific_heat, double conductivity) {
    thermal::Material made = steel();
    made.density_kg_per_m3 = density;
    made.specific_heat_j_per_kg_k = specific_heat;
    made.conductivity_w_per_m_k = conductivity;
    return made;
}

double at_c(const Prediction& prediction, const std::string& zone, double time_min) {
    return kelvin_to_celsius(temperature_at_k(*prediction.traces.find(zone), minutes_to_seconds(time_min)));
}

Shell table_shell() {
    Shell shell;
    shell.id = "table";
    Zone panel = square("test panel", steel(), 0.8e-3, 1.5);
    panel.inner = panel.outer;
    panel.role = ZoneRole::test_panel;
    Zone bar = square("bar", steel(), 25e-3, 0.0);
    bar.inner = bar.outer;
    shell.zones = {panel,
                   square("skin", steel(), 1e-3, 1.5),
                   square("roof", steel(), 1e-3, 3.0),
                   square("rocker", steel(), 1e-3, 0.0),
                   square("aluminium", material(2700, 900, 167), 2e-3, 1.5),
                   square("stainless", material(7900, 490, 16), 1e-3, 1.5, 0.2),
                   square("tube", steel(), 3e-3, 0.0),
                   square("plate", steel(), 6e-3, 0.0),
                   bar};
    return shell;
}

}  // namespace

TEST_CASE("bare zones in a layered booth reach the temperatures of the check table") {
    // Source: computed for this trade independently (explicit 1 s steps, Tm linearised radiation), no published source: air 20 to
    // 65 degC in 15 min, held to minute 60, insulated walls 5 K below the local air, offsets in proportion to the rise. Table in
    // whole degrees at 15 and 30 min, tenths at 60 min. Tolerance 0.6 K where printed whole, 0.1 K where printed in tenths.
    struct Row {
        const char* zone;
        double at_15, at_30, at_60;
    };
    const Row rows[] = {{"test panel", 56, 62, 62.0}, {"skin", 48, 61, 62.0},      {"roof", 54, 69, 69.9},
                        {"rocker", 43, 53, 54.1},     {"aluminium", 45, 60, 62.0}, {"stainless", 41, 59, 63.5},
                        {"tube", 32, 45, 52.8},       {"plate", 27, 37, 47.5},     {"bar", 23, 29, 38.4}};
    const Prediction prediction = predict(table_shell(), layered_booth(), hour_at_65());
    for (const Row& row : rows) {
        CAPTURE(row.zone);
        CHECK(std::abs(at_c(prediction, row.zone, 15) - row.at_15) <= 0.6);
        CHECK(std::abs(at_c(prediction, row.zone, 30) - row.at_30) <= 0.6);
        CHECK(std::abs(at_c(prediction, row.zone, 60) - row.at_60) <= 0.1);
    }
}

TEST_CASE("a single-skin booth leaves a skin cooler, as the check table says") {
    // Source: as above: walls 18 K below the air, 43, 54, 54.5 degC.
    Booth booth = layered_booth();
    booth.wall_offset_k = 18.0;
    const Prediction prediction = predict(table_shell(), booth, hour_at_65());
    CHECK(std::abs(at_c(prediction, "skin", 15) - 43) <= 0.6);
    CHECK(std::abs(at_c(prediction, "skin", 30) - 54) <= 0.6);
    CHECK(std::abs(at_c(prediction, "skin", 60) - 54.5) <= 0.1);
}

TEST_CASE("the heat account closes to a millionth of the heat moved") {
    const Prediction prediction = predict(table_shell(), layered_booth(), hour_at_65());
    const HeatAccount& heat = prediction.summary.heat;
    CHECK(prediction.summary.ran);
    CHECK(std::abs(heat.convection_j) + std::abs(heat.radiation_j) > 1e5);
    CHECK(std::abs(heat.closure_j) <= 1e-6 * (std::abs(heat.convection_j) + std::abs(heat.radiation_j)));
}

TEST_CASE("no zone leaves the range of the air and walls round it") {
    const Prediction prediction = predict(table_shell(), layered_booth(), hour_at_65());
    // Lowest surroundings: walls 5 K under the floor air at the end or the start of 20 degC; highest: roof air 65 + 8.
    for (const Trace& trace : prediction.traces.traces)
        for (const double temperature_k : trace.temperature_k) {
            CHECK(temperature_k >= celsius_to_kelvin(20.0) - 1e-6);
            CHECK(temperature_k <= celsius_to_kelvin(73.0) + 1e-6);
        }
}

TEST_CASE("the order of zones changes no zone's trace") {
    // Tolerance 1e-3 K: the step sizes follow a norm that is a maximum, but sums round in another order.
    Shell turned = table_shell();
    std::reverse(turned.zones.begin(), turned.zones.end());
    const Prediction one = predict(table_shell(), layered_booth(), hour_at_65());
    const Prediction two = predict(turned, layered_booth(), hour_at_65());
    for (const Zone& zone : turned.zones)
        for (const double time_min : {5.0, 20.0, 61.0, 120.0})
            CHECK(std::abs(at_c(one, zone.name, time_min) - at_c(two, zone.name, time_min)) <= 1e-3);
}

TEST_CASE("doubling every area changes no temperature") {
    // Mass and conductance double together. Tolerance 1e-6 K: rounding alone.
    Shell large = table_shell();
    for (Zone& zone : large.zones) zone.area_m2 *= 2.0;
    const Prediction one = predict(table_shell(), layered_booth(), hour_at_65());
    const Prediction two = predict(large, layered_booth(), hour_at_65());
    for (const Zone& zone : large.zones) CHECK(std::abs(at_c(one, zone.name, 33) - at_c(two, zone.name, 33)) <= 1e-6);
}

TEST_CASE("the same prediction twice gives the same bits") {
    const Prediction one = predict(table_shell(), layered_booth(), hour_at_65());
    const Prediction two = predict(table_shell(), layered_booth(), hour_at_65());
    for (std::size_t i = 0; i < one.traces.traces.size(); ++i)
        CHECK(one.traces.traces[i].temperature_k == two.traces.traces[i].temperature_k);
}

TEST_CASE("a replay of the predicted air gives the prediction again") {
    // The air trace has a sample at every corner of the cycle, so the given air is the same. Tolerance 2e-3 K: two different step
    // sequences at the default tolerances (1e-4 K a step).
    const Prediction one = predict(table_shell(), layered_booth(), hour_at_65());
    const Trace& air = *one.traces.find("booth air");
    const Prediction two = predict_from_air(table_shell(), layered_booth(), air);
    for (const Zone& zone : table_shell().zones)
        for (const double time_min : {7.0, 15.0, 40.0, 65.0, 149.0}) {
            CAPTURE(zone.name);
            CHECK(std::abs(at_c(one, zone.name, time_min) - at_c(two, zone.name, time_min)) <= 2e-3);
        }
}

TEST_CASE("a link pulls a skin towards its frame and moves no heat out of the pair") {
    Shell shell;
    shell.id = "pair";
    shell.zones = {square("skin", steel(), 1e-3, 1.5), square("frame", steel(), 6e-3, 0.0)};
    const double alone = at_c(predict(shell, layered_booth(), hour_at_65()), "skin", 20);
    Link link;
    link.from = "skin";
    link.to = "frame";
    link.conductance_w_per_k = 10.0;
    shell.links = {link};
    const Prediction linked = predict(shell, layered_booth(), hour_at_65());
    CHECK(at_c(linked, "skin", 20) < alone - 1.0);
    CHECK(std::abs(linked.summary.heat.closure_j) <= 1.0);
}

TEST_CASE("infrared heats only the zones it is aimed at and is booked") {
    Cycle cycle = hour_at_65();
    cycle.stages[1].infrared = Infrared{{"roof"}, 500.0};
    const Prediction with = predict(table_shell(), layered_booth(), cycle);
    const Prediction without = predict(table_shell(), layered_booth(), hour_at_65());
    CHECK(at_c(with, "roof", 60) > at_c(without, "roof", 60) + 10.0);
    CHECK(std::abs(at_c(with, "skin", 60) - at_c(without, "skin", 60)) <= 1e-3);
    // 500 W/m2 at absorptance 0.9 for 45 min.
    CHECK(std::abs(with.summary.heat.infrared_j - 500.0 * 0.9 * 2700.0) <= 1.0);
}

TEST_CASE("records with problems are refused with the path of the key") {
    Shell shell = table_shell();
    shell.zones[0].layers[0].thickness_m = -1e-3;
    shell.links.resize(1);
    shell.links[0].from = shell.links[0].to = "roof";
    shell.links[0].conductance_w_per_k = 1.0;
    try {
        (void)predict(shell, layered_booth(), hour_at_65());
        FAIL("a negative thickness must be refused");
    } catch (const InputError& error) {
        REQUIRE(error.problems().size() == 2);
        CHECK(error.problems()[0].key == "zone[0].layers[0].thickness");
        CHECK(error.problems()[1].key == "link[0].to");
    }
}

TEST_CASE("a replay needs an air trace with two usable samples") {
    Trace air{"oven air", TraceRole::booth_air, {0.0, 10.0}, {300.0, std::nan("")}, {}};
    CHECK_THROWS_AS((void)predict_from_air(table_shell(), layered_booth(), air), InputError);
}
