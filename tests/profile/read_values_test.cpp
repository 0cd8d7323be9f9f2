// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <cmath>

#include "profile_texts.hpp"

using namespace bakewright;
using namespace profile_texts;

namespace {

/// Conversions are exact to the last few bits: 1e-12 of the value.
bool same(double value, double expected) { return std::abs(value - expected) <= 1e-12 * std::abs(expected); }

}  // namespace

TEST_CASE("a shell is read into SI, gauges by the material's series") {
    const auto located = profile::read_shell(kShell, "van.toml", {});
    const bake::Shell& shell = located.record.shell;
    CHECK(shell.id == "van");
    REQUIRE(shell.zones.size() == 2);
    const bake::Zone& roof = shell.zones[0];
    REQUIRE(roof.layers.size() == 3);
    CHECK(roof.layers[0].thickness_m == *gauge_thickness_m(GaugeSeries::steel, 18));
    CHECK(roof.layers[1].kind == bake::Layer::Kind::air_gap);
    CHECK(same(roof.layers[1].thickness_m, 0.020));
    CHECK(roof.layers[2].material.id == "steel");
    CHECK(roof.outer.masking == bake::Masking::paper);
    CHECK(roof.inner.view == bake::FaceView::cavity);
    CHECK(roof.inner.cavity == "interior");
    CHECK(same(shell.cavities.at(0).leakage_per_s, 4.0 / 3600.0));
}

TEST_CASE(
    "the outer face of an uncoated zone has the emissivity of its material, that of a coated zone the emissivity of paint") {
    const auto located = profile::read_shell(kShell, "van.toml", {});
    CHECK(located.record.shell.zones[1].outer.emissivity == 0.6);
    const auto coated = profile::read_shell(with(kShell, "coated = false", "coated = true"), "van.toml", {});
    CHECK(coated.record.shell.zones[1].outer.emissivity == 0.9);
}

TEST_CASE("a contact conducts by conductivity times area over length") {
    // Source: Fourier's law for a plane wall, G = k A / L; 50 W/mK * 0.14 m2 / 0.07 m = 100 W/K.
    const auto located = profile::read_shell(kShell, "van.toml", {});
    CHECK(same(located.record.shell.links.at(1).conductance_w_per_k, 100.0));
    CHECK(same(located.record.shell.links.at(0).conductance_w_per_k, 20.0));
}

TEST_CASE(
    "an item's heat capacity is mass times specific heat, its conductance film times area, and its limits keep their name") {
    const auto located = profile::read_shell(kShell, "van.toml", {});
    const bake::Item& item = located.record.shell.items.at(0);
    const cure::HeatSensitiveItem& limits = located.record.item_limits.at(0);
    CHECK(same(item.heat_capacity_j_per_k, 14000.0));
    CHECK(same(item.conductance_w_per_k, 2.0));
    CHECK(item.place == bake::Item::Place::cavity);
    CHECK(limits.name == item.name);
    REQUIRE(limits.limits.size() == 2);
    CHECK(same(limits.limits[0].allowed_s, 3600.0));
    CHECK(limits.limits[1].allowed_s == 0.0);
    CHECK(limits.limits[1].scope == cure::ExposureScope::lifetime);
}

TEST_CASE("an item hangs in the booth or is fixed to a zone where its profile says so") {
    const auto in_booth = profile::read_shell(with(kShell, "cavity = \"interior\"\nmass", "booth = true\nmass"), "van.toml", {});
    CHECK(in_booth.problems.empty());
    CHECK(in_booth.record.shell.items.at(0).place == bake::Item::Place::booth);
    const auto on_zone =
        profile::read_shell(with(kShell, "cavity = \"interior\"\nmass", "zone = \"roof\"\nmass"), "van.toml", {});
    CHECK(on_zone.problems.empty());
    CHECK(on_zone.record.shell.items.at(0).place == bake::Item::Place::zone);
    CHECK(on_zone.record.shell.items.at(0).where == "roof");
}

TEST_CASE("a booth is read into SI and keeps its defaults where a key is missing") {
    const bake::Booth booth = profile::read_booth(kBooth, "b.toml").record;
    CHECK(same(booth.wall_heat_capacity_j_per_m2_k, 8000.0));
    CHECK(same(booth.largest_ramp_k_per_s, 2.0 / 60.0));
    CHECK(same(booth.high_limit_k.value(), 368.15));
    CHECK(same(booth.vertical_profile.at(0).offset_k, -8.0));
    CHECK(booth.controller.kind == bake::Controller::Kind::on_off);
    CHECK(booth.ambient_k == bake::Booth{}.ambient_k);
    CHECK(booth.ventilation[static_cast<std::size_t>(bake::FanMode::bake)].make_up_m3_per_s == 2.0);
    CHECK(booth.ventilation[static_cast<std::size_t>(bake::FanMode::purge)] == bake::Ventilation{});
    CHECK_FALSE(booth.wall_loss_w_per_m2_k.has_value());
}

TEST_CASE("one film coefficient alone stands for low, value and high") {
    const std::string text = with(kBooth, "{ low = \"3 W/m2K\", value = \"5 W/m2K\", high = \"8 W/m2K\" }", "\"6 W/m2K\"");
    const auto located = profile::read_booth(text, "b.toml");
    CHECK(located.problems.empty());
    CHECK(located.record.film_w_per_m2_k == bake::Spread{6.0, 6.0, 6.0});
}

TEST_CASE("the heat capacity of a square metre is read in its usual spellings") {
    for (const std::string_view form : {"8 kJ/m2K", "8 kJ/(m2 K)", "8 kJ/m^2/K", "8000 J/m2 K", "8 kJ/(m2*K)"}) {
        CAPTURE(form);
        const auto located = profile::read_booth(with(kBooth, "8 kJ/m2K", form), "b.toml");
        CHECK(located.problems.empty());
        CHECK(same(located.record.wall_heat_capacity_j_per_m2_k, 8000.0));
    }
}

TEST_CASE("a coating keeps what is absent absent") {
    std::string text(kCoating);
    for (const std::string_view line :
         {"absolute_maximum = \"80 degC\"\n", "flash_off_maximum = \"30 min\"\n", "largest_heating_rate = \"3 K/min\"\n",
          "activation_energy = { low = \"30 kJ/mol\", value = \"55 kJ/mol\", high = \"75 kJ/mol\" }\n"})
        text = with(text, line, "");
    const cure::Coating coating = profile::read_coating(text, "c.toml").record;
    CHECK_FALSE(coating.absolute_maximum_k.has_value());
    CHECK_FALSE(coating.flash_off_maximum_s.has_value());
    CHECK_FALSE(coating.largest_heating_rate_k_per_s.has_value());
    CHECK_FALSE(coating.activation_energy.has_value());
    CHECK_FALSE(coating.schedule.at(0).maximum_s.has_value());
    CHECK(coating.schedule.at(1).maximum_s == 7200.0);
}

TEST_CASE("a stage has exactly what its profile gives it") {
    const bake::Cycle cycle = profile::read_cycle(kCycle, "y.toml").record;
    REQUIRE(cycle.stages.size() == 2);
    CHECK(cycle.stages[0].kind == bake::StageKind::ramp);
    CHECK(same(cycle.stages[0].setpoint_k.value(), 338.15));
    CHECK(same(cycle.stages[0].rate_k_per_s.value(), 2.0 / 60.0));
    CHECK_FALSE(cycle.stages[0].duration_s.has_value());
    CHECK(cycle.stages[1].infrared.value() == bake::Infrared{{"sill"}, 500.0});
    CHECK_FALSE(cycle.start_k.has_value());
}

TEST_CASE("a rate law is read with its glass transition and its slowing, and its mistakes are told by line and key") {
    const std::string head =
        "kind = \"coating\"\ntitle = \"x\"\nbasis = \"part\"\nschedule = [{ temperature = \"60 degC\", minimum = \"30 min\" }]\n";
    const std::string law =
        "[kinetics]\n"
        "k2 = { prefactor_per_s = 1.53e5, activation_energy = \"66.5 kJ/mol\" }\n"
        "m = 0.813\n"
        "n = 2.74\n"
        "start_conversion = 0.001\n"
        "glass = { uncured = \"-7 degC\", cured = \"195 degC\", lambda = 0.78 }\n"
        "diffusion = { law = \"critical_conversion\", steepness = 43.09, offset = -1.684, per_k = 5.475e-3 }\n";
    const auto located = profile::read_coating(head + law, "c.toml");
    CHECK(located.problems.empty());
    REQUIRE(located.record.kinetics);
    const cure::Kinetics& kinetics = *located.record.kinetics;
    CHECK_FALSE(kinetics.first.has_value());
    CHECK(kinetics.autocatalytic == cure::AutocatalyticTerm{{1.53e5, 66.5e3}, 0.813});
    CHECK(kinetics.order == 2.74);
    CHECK(kinetics.start_conversion == 0.001);
    REQUIRE(kinetics.glass);
    CHECK(std::abs(kinetics.glass->uncured_k - 266.15) <= 1e-9);
    CHECK(std::get<cure::CriticalConversion>(kinetics.diffusion) == cure::CriticalConversion{43.09, -1.684, 5.475e-3});

    const auto wrong = profile::read_coating(head +
                                                 "[kinetics]\nk1 = { prefactor_per_s = \"fast\", activation_energy = \"66 "
                                                 "kJ/mol\" }\nn = -1\ndiffusion = { law = \"none\" }\n",
                                             "c.toml");
    REQUIRE(wrong.problems.size() == 3);
    CHECK(wrong.problems[0].text().find("c.toml:6: kinetics.k1.prefactor_per_s") == 0);
    CHECK(wrong.problems[1].text().find("c.toml:7: kinetics.n") == 0);
    CHECK(wrong.problems[2].text().find("c.toml:8: kinetics.diffusion.law") == 0);
}
