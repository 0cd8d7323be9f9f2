// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include "bakewright/profile/read.hpp"
#include "bakewright/profile/shell_profile.hpp"
#include "profile_texts.hpp"

using namespace bakewright;
using namespace bakewright::profile;
using cure::LimitKind;

namespace {

thermal::Material material(const std::string& id, double conductivity_w_per_m_k, std::optional<double> never_c,
                           std::optional<double> warn_c = {}) {
    thermal::Material made;
    made.id = made.title = id;
    made.density_kg_per_m3 = 1000.0;
    made.specific_heat_j_per_kg_k = 1000.0;
    made.conductivity_w_per_m_k = conductivity_w_per_m_k;
    if (never_c) made.limits.never_k = celsius_to_kelvin(*never_c);
    if (warn_c) made.limits.warn_k = celsius_to_kelvin(*warn_c);
    made.sources["never"] = "maker of the " + id;
    return made;
}

const thermal::Material kSteel = material("steel", 50.0, {});
const thermal::Material kLaminate = material("laminate", 0.3, 67.0, 50.0);
const thermal::Material kFoam = material("foam", 0.03, 80.0);
const thermal::Material kBoard = material("board", 0.15, 60.0, 45.0);
const thermal::Material kCork = material("cork", 0.05, {});

bake::Zone zone(const std::string& name, const std::vector<thermal::Material>& layers) {
    bake::Zone made;
    made.name = name;
    made.area_m2 = 1.0;
    for (const thermal::Material& of : layers) {
        bake::Layer layer;
        layer.material = of;
        layer.thickness_m = 0.005;
        made.layers.push_back(layer);
    }
    return made;
}

bake::Shell shell_of(std::vector<bake::Zone> zones) {
    bake::Shell shell;
    shell.zones = std::move(zones);
    return shell;
}

cure::ExposureLimit limit(double temperature_c, LimitKind kind) {
    return {celsius_to_kelvin(temperature_c), 0.0, cure::ExposureScope::bake, kind};
}

}  // namespace

TEST_CASE("a zone of laminate is protected by its material, with its warning and its source") {
    const auto parts = protected_parts(shell_of({zone("cap", {kLaminate})}));
    REQUIRE(parts.size() == 1);
    CHECK(parts[0].name == "cap");
    CHECK(parts[0].limits == std::vector{limit(50.0, LimitKind::warn), limit(67.0, LimitKind::never)});
    CHECK(parts[0].no_limit_known_of.empty());
    CHECK(parts[0].sources.at("limits") == "laminate: maker of the laminate");
}

TEST_CASE("metal and what no booth harms need no limit") {
    thermal::Material glass = material("glass", 1.0, {});
    CHECK(protected_parts(shell_of({zone("pane", {glass})})).size() == 1);
    glass.is_unharmed = true;
    CHECK(protected_parts(shell_of({zone("skin", {kSteel}), zone("pane", {glass})})).empty());
}

TEST_CASE("layers behind the face are protected by the face, unless they stand more than it does") {
    const auto lined = protected_parts(shell_of({zone("side", {kSteel, kFoam, kBoard})}));
    REQUIRE(lined.size() == 1);
    CHECK(lined[0].limits == std::vector{limit(80.0, LimitKind::never_inside), limit(60.0, LimitKind::never_inside)});
    const auto sandwich = protected_parts(shell_of({zone("cap", {kLaminate, kFoam, kLaminate})}));
    REQUIRE(sandwich.size() == 1);
    CHECK(sandwich[0].limits == std::vector{limit(50.0, LimitKind::warn), limit(67.0, LimitKind::never)});
}

TEST_CASE("a material of which nobody has said how hot it may get is named, once") {
    const auto parts = protected_parts(shell_of({zone("lining", {kCork, kSteel, kCork}), zone("cap", {kLaminate, kCork})}));
    REQUIRE(parts.size() == 2);
    CHECK(parts[0].limits.empty());
    CHECK(parts[0].no_limit_known_of == std::vector<std::string>{"cork"});
    CHECK(parts[1].limits.size() == 2);
    CHECK(parts[1].no_limit_known_of == std::vector<std::string>{"cork"});
}

TEST_CASE("a zone's own word goes before its materials, known or not") {
    bake::Zone told = zone("lining", {kCork, kLaminate});
    told.limits = {{}, celsius_to_kelvin(85.0)};
    told.limit_source = "maker of the lining";
    const auto parts = protected_parts(shell_of({told}));
    REQUIRE(parts.size() == 1);
    CHECK(parts[0].limits == std::vector{limit(85.0, LimitKind::never)});
    CHECK(parts[0].no_limit_known_of.empty());
    CHECK(parts[0].sources.at("limits") == "maker of the lining");
}

TEST_CASE("an item at a zone speaks for all of it, or for the one material that it names") {
    bake::Shell shell = shell_of({zone("side", {kLaminate, kCork})});
    bake::Item item;
    item.name = "probe";
    item.place = bake::Item::Place::zone;
    item.where = "side";
    shell.items = {item};
    CHECK(protected_parts(shell).empty());
    shell.items.front().instead_of = "cork";
    REQUIRE(protected_parts(shell).size() == 1);
    CHECK(protected_parts(shell)[0].limits.size() == 2);
    CHECK(protected_parts(shell)[0].no_limit_known_of.empty());
    shell.items.front().instead_of = "laminate";
    CHECK(protected_parts(shell)[0].limits.empty());
    CHECK(protected_parts(shell)[0].no_limit_known_of == std::vector<std::string>{"cork"});
    shell.items.front().place = bake::Item::Place::booth;
    CHECK(protected_parts(shell)[0].limits.size() == 2);
}

TEST_CASE("what is in a cavity has a limit, or is CHECK; an empty one has nothing to spoil") {
    bake::Shell shell = shell_of({zone("skin", {kSteel})});
    shell.cavities = {{.name = "interior",
                       .volume_m3 = 10.0,
                       .leakage_per_s = 0.0,
                       .contents_heat_capacity_j_per_k = 0.0,
                       .contents_conductance_w_per_k = 0.0,
                       .start_temperature_k = {}}};
    CHECK(protected_parts(shell).empty());
    shell.cavities.front().contents_heat_capacity_j_per_k = 1e5;
    REQUIRE(protected_parts(shell).size() == 1);
    CHECK(protected_parts(shell)[0].no_limit_known_of == std::vector<std::string>{"what is in the interior"});
    shell.cavities.front().contents_limits = {celsius_to_kelvin(55.0), celsius_to_kelvin(65.0)};
    CHECK(protected_parts(shell)[0].no_limit_known_of.empty());
    CHECK(protected_parts(shell)[0].limits == std::vector{limit(55.0, LimitKind::warn), limit(65.0, LimitKind::never)});
}

TEST_CASE("no part of a shipped shell is of unknown limit, and no shipped material but metal is without one") {
    const Library library = profile_texts::shipped_library();
    for (const std::string& name : library.names(Kind::shell)) {
        CAPTURE(name);
        const ShellProfile shell = load_shell(name, library).record;
        CHECK(shell.heat_sensitive().size() >= shell.item_limits.size());
        for (const cure::HeatSensitiveItem& part : shell.heat_sensitive()) {
            CAPTURE(part.name);
            CHECK(part.no_limit_known_of.empty());
            CHECK(part.sources.contains("limits"));
        }
    }
    for (const std::string& name : library.names(Kind::material)) {
        CAPTURE(name);
        const thermal::Material made = load_material(name, library).record;
        CHECK((thermal::withstands_any_bake(made) || made.limits.never_k.has_value()));
    }
}
