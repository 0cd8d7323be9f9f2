// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <algorithm>
#include <string>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/predict.hpp"
#include "bakewright/base/error.hpp"
#include "example_records.hpp"

using namespace bakewright;
using namespace bakewright::bake;
using namespace bakewright::example;

// What a booth, a cycle and a shell may not be, because no solver could go through it or no shop could have it.

namespace {

std::string text_of(const std::vector<Problem>& problems, const std::string& key) {
    const auto found = std::find_if(problems.begin(), problems.end(), [&](const Problem& problem) { return problem.key == key; });
    return found == problems.end() ? std::string("none") : found->message;
}

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

Booth booth_of(Controller::Kind kind) {
    Booth booth;
    booth.id = "b";
    booth.controller.kind = kind;
    return booth;
}

}  // namespace

TEST_CASE("numbers out of range are told with what is accepted, both in the range's unit") {
    Booth booth = booth_of(Controller::Kind::ideal);
    booth.highest_setpoint_k = celsius_to_kelvin(300.0);
    CHECK(text_of(problems_in(booth), "highest_setpoint") == "is 300 degC, accepted is 20 to 250 degC");
    booth.burner_power_w = 1e12;
    CHECK(text_of(problems_in(booth), "burner.power") == "is 1e+09 kW, accepted is 0.01 to 100000 kW");
    booth.wall_area_m2 = 1e308;
    CHECK(has(text_of(problems_in(booth), "wall_area"), "accepted is 0.01 to 100000 m2"));
    booth.controller.band_k = 1e-9;
    CHECK(text_of(problems_in(booth), "controller.band") == "is 1e-09 K, accepted is 0.05 to 50 K");
}

TEST_CASE("the ends of a range are accepted") {
    Booth booth = booth_of(Controller::Kind::ideal);
    booth.largest_ramp_k_per_s = 60.0 / 60.0;
    booth.highest_setpoint_k = celsius_to_kelvin(250.0);
    booth.ambient_k = celsius_to_kelvin(-40.0);
    CHECK(problems_in(booth).empty());
}

TEST_CASE("an on-off band that air, burner and sensor cannot keep to is refused with the numbers that make it so") {
    // 0.05 m3 hold 56 J/K: 300 kW move them by 5357 K/s.
    Booth booth = booth_of(Controller::Kind::on_off);
    booth.volume_m3 = 0.05;
    const std::string text = text_of(problems_in(booth), "controller.band");
    CHECK(has(text, "is 2 K: with 0.05 m3 of air and a sensor of 30 s a burner of 300 kW would switch every"));
    CHECK(has(text, "accepted with these is 16.1 K or more"));
    booth.controller.band_k = 16.2;
    CHECK(problems_in(booth).empty());
}

TEST_CASE("a gain that air and sensor cannot follow, and an integral time under the sensor's, are refused") {
    Booth booth = booth_of(Controller::Kind::proportional_integral);
    booth.volume_m3 = 0.05;
    CHECK(has(text_of(problems_in(booth), "controller.gain"), "is 20 kW/K: with 0.05 m3 of air and a sensor of 30 s"));
    CHECK(has(text_of(problems_in(booth), "controller.gain"), "with this gain and sensor 0.0536 m3 of air or more"));
    booth.volume_m3 = 0.0536;
    CHECK(problems_in(booth).empty());
    booth.controller.integral_time_s = 59.0;
    CHECK(has(text_of(problems_in(booth), "controller.integral_time"), "accepted with this sensor is 60 s or more"));
    // Of a controller that is not used nothing is asked.
    booth.controller.kind = Controller::Kind::ideal;
    CHECK(problems_in(booth).empty());
}

TEST_CASE("offsets that would make a place colder than the ambient, or hold at no rise, are refused") {
    Booth booth = layered_booth();
    booth.reference_rise_k = 7.0;
    CHECK(has(text_of(problems_in(booth), "vertical_profile[0].offset"),
              "makes the air at this height 8 K colder than the reference air where that is 7 K above the ambient"));
    booth.reference_rise_k = 45.0;
    booth.ambient_k = celsius_to_kelvin(50.0);
    CHECK(booth.rise_of_full_offset_k() == doctest::Approx(15.0));
    CHECK(problems_in(booth).empty());
    booth.reference_temperature_k = celsius_to_kelvin(0.0);
    CHECK(has(text_of(problems_in(booth), "reference_rise"), "must be 5 K or more above the ambient of 50 degC"));
}

TEST_CASE("a cycle is two days in all at most, and the stage that passes that is named") {
    Cycle cycle;
    cycle.stages.assign(1000, stage(StageKind::hold, 60.0, 48.0 * 60.0));
    CHECK(text_of(problems_in(cycle), "stage[1].duration") == "brings the cycle to 96 h, accepted are up to 48 h in all");
    cycle.stages = {stage(StageKind::hold, 60.0, 7.0 * 24.0 * 60.0)};
    CHECK(text_of(problems_in(cycle), "stage[0].duration") == "is 168 h, accepted is 1 s to 48 h");
    // By rate: 40 K at 0.001 K/min are 28 days.
    cycle.stages = {stage(StageKind::hold, 20.0, 1.0)};
    Stage ramp;
    ramp.kind = StageKind::ramp;
    ramp.setpoint_k = celsius_to_kelvin(60.0);
    ramp.rate_k_per_s = 0.001 / 60.0;
    cycle.stages.push_back(ramp);
    CHECK(has(text_of(problems_in(cycle), "stage[1].rate"), "accepted are up to 48 h in all"));
}

TEST_CASE("a bake of more samples than fit into memory is refused with an interval that works") {
    Shell shell;
    shell.id = "many";
    for (int i = 0; i < 400; ++i) shell.zones.push_back(square("z" + std::to_string(i), steel(), 1e-3, 1.0));
    Cycle cycle;
    cycle.stages = {stage(StageKind::hold, std::nullopt, 48.0 * 60.0)};
    PredictOptions fine;
    fine.output_interval_s = 0.1;
    try {
        static_cast<void>(predict(shell, layered_booth(), cycle, fine));
        FAIL("accepted");
    } catch (const InputError& error) {
        CHECK(error.problems().front().key == "output-interval");
        CHECK(has(error.what(), "accepted for these is 3.5 s or more"));
    }
}

TEST_CASE("a shell whose parts would follow each other at once is refused with the part's name") {
    Shell shell;
    shell.id = "s";
    shell.zones = {square("skin", steel(), 1e-6, 1.0), square("frame", steel(), 6e-3, 1.0)};
    shell.zones[0].area_m2 = 1e-6;
    shell.links = {{"skin", "frame", 1e6}};
    CHECK(has(text_of(problems_in(shell), "link[0].conductance"), "zone 'skin' of 3.69e-06 J/K would follow within"));
    shell.links.clear();
    shell.items = {{"clip", "clip", Item::Place::zone, "skin", 1e6, 1e5, {}}};
    CHECK(has(text_of(problems_in(shell), "item[0].conductance"), "zone 'skin' of 3.69e-06 J/K would follow within"));
    shell.items.clear();
    shell.zones[0].layers.push_back(shell.zones[0].layers.front());
    shell.zones[0].layers.front().contact_resistance_m2_k_per_w = 1e-12;
    CHECK(has(text_of(problems_in(shell), "zone[0].layers[0].contact_resistance"), "accepted between them is"));
    shell.zones[0].layers.front().contact_resistance_m2_k_per_w = 0.0;
    shell.zones[1].area_m2 = 1e308;
    CHECK(text_of(problems_in(shell), "zone[1].area") == "is 1e+308 m2, accepted is 1e-06 to 10000 m2");
}
