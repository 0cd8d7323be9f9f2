// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <limits>

#include "bakewright/profile/write.hpp"
#include "profile_texts.hpp"
#include "random_records.hpp"

using namespace bakewright;
using namespace profile_texts;
using profile::Kind;
using profile::to_toml;

namespace {

constexpr int kRounds = 200;

thermal::Material reread(const thermal::Material& material) { return profile::material_from_toml(to_toml(material), "book"); }
cure::Coating reread(const cure::Coating& coating) { return profile::coating_from_toml(to_toml(coating), "book"); }
bake::Booth reread(const bake::Booth& booth) { return profile::booth_from_toml(to_toml(booth), "book"); }
bake::Cycle reread(const bake::Cycle& cycle) { return profile::cycle_from_toml(to_toml(cycle), "book"); }
profile::ShellProfile reread(const profile::ShellProfile& shell) { return profile::shell_from_toml(to_toml(shell), "book"); }

template <class Record>
void check_round_trip(const Record& record) {
    const std::string text = to_toml(record);
    CAPTURE(text);
    const Record again = reread(record);
    CHECK(again == record);
    CHECK(to_toml(again) == text);
}

}  // namespace

TEST_CASE("every profile that comes with the program is the same after it was written and read again") {
    const profile::Library library = shipped_library();
    for (const std::string& name : library.names(Kind::material)) check_round_trip(profile::load_material(name, library).record);
    for (const std::string& name : library.names(Kind::coating)) check_round_trip(profile::load_coating(name, library).record);
    for (const std::string& name : library.names(Kind::booth)) check_round_trip(profile::load_booth(name, library).record);
    for (const std::string& name : library.names(Kind::probes)) {
        const std::string text = profile::to_toml(profile::load_probes(name, library).record);
        CHECK(profile::to_toml(profile::probes_from_toml(text, name)) == text);
    }
    for (const std::string& name : library.names(Kind::source)) {
        const std::string text = profile::to_toml(profile::load_source(name, library).record);
        CHECK(profile::to_toml(profile::source_from_toml(text, name)) == text);
    }
    for (const std::string& name : library.names(Kind::cycle)) check_round_trip(profile::load_cycle(name, library).record);
    for (const std::string& name : library.names(Kind::shell)) check_round_trip(profile::load_shell(name, library).record);
}

TEST_CASE("every profile that comes with the program is the same after it was written as a hand writes it") {
    const profile::Library library = shipped_library();
    for (const std::string& name : library.names(Kind::coating)) {
        const cure::Coating coating = profile::load_coating(name, library).record;
        CHECK(profile::read_coating(profile::to_hand_toml(coating), name + ".toml").record == coating);
    }
    for (const std::string& name : library.names(Kind::booth)) {
        const bake::Booth booth = profile::load_booth(name, library).record;
        CHECK(profile::read_booth(profile::to_hand_toml(booth), name + ".toml").record == booth);
    }
    for (const std::string& name : library.names(Kind::shell)) {
        const profile::ShellProfile shell = profile::load_shell(name, library).record;
        const std::string text = profile::to_hand_toml(shell, library);
        CAPTURE(text);
        CHECK(profile::read_shell(text, name + ".toml", library).record == shell);
        CHECK(text.find("density") == std::string::npos);  // materials are named
    }
}

TEST_CASE("random records are the same after they were written as a hand writes them") {
    random_records::Random random(11);
    for (int round = 0; round < kRounds; ++round) {
        CAPTURE(round);
        cure::Coating coating = random_records::coating(random);
        coating.id = "own";
        CHECK(profile::read_coating(profile::to_hand_toml(coating), "own.toml").record == coating);
        bake::Booth booth = random_records::booth(random);
        booth.id = "own";
        CHECK(profile::read_booth(profile::to_hand_toml(booth), "own.toml").record == booth);
        profile::ShellProfile shell = random_records::shell(random);
        shell.shell.id = "own";
        const std::string text = profile::to_hand_toml(shell, {});
        CAPTURE(text);
        CHECK(profile::read_shell(text, "own.toml", {}).record == shell);
    }
}

TEST_CASE("a hand writes what was typed, usual units, and remarks; what is at its default it leaves out") {
    cure::Coating coating;
    coating.id = "clear";
    coating.title = "clear";
    coating.schedule.push_back({333.15, 1800.0, {}});
    coating.flash_off_minimum_s = 5400.0;
    coating.largest_heating_rate_k_per_s = 2.0 / 60.0;
    const std::string text =
        profile::to_hand_toml(coating, {.as_typed = {{"schedule[0].temperature", "140 degF"}, {"schedule[0].minimum", "9 h"}},
                                        .remarks = {{"flash_off_minimum", "the sheet, page 2"}}});
    CAPTURE(text);
    CHECK(text.find("temperature = \"140 degF\", minimum = \"30 min\"") != std::string::npos);  // 9 h is not what the record has
    CHECK(text.find("flash_off_minimum = \"90 min\"  # the sheet, page 2\n") != std::string::npos);
    CHECK(text.find("largest_heating_rate = \"2 K/min\"") != std::string::npos);
    CHECK(text.find("beyond_last_row") == std::string::npos);
    CHECK(text.find("floor") == std::string::npos);
}

TEST_CASE("random records are the same to the last bit after they were written and read again") {
    random_records::Random random(7);
    for (int round = 0; round < kRounds; ++round) {
        CAPTURE(round);
        check_round_trip(random_records::material(random));
        check_round_trip(random_records::coating(random));
        check_round_trip(random_records::booth(random));
        check_round_trip(random_records::cycle(random));
        check_round_trip(random_records::shell(random));
        const std::string text = to_toml(random_records::probes(random));
        CHECK(to_toml(profile::probes_from_toml(text, "book")) == text);
        const std::string source = to_toml(random_records::source(random));
        CHECK(to_toml(profile::source_from_toml(source, "book")) == source);
    }
}

TEST_CASE("a written shell needs no library: it carries its materials, each once") {
    const std::string text = to_toml(profile::load_shell("library_van", shipped_library()).record);
    const auto first = text.find("id = \"mild_steel\"");
    CHECK(first != std::string::npos);
    CHECK(text.find("id = \"mild_steel\"", first + 1) == std::string::npos);
}

TEST_CASE("values that are absent stay absent in the text") {
    cure::Coating coating;
    coating.id = "clear";
    coating.title = "clear";
    coating.schedule.push_back({333.15, 1800.0, {}});
    const std::string text = to_toml(coating);
    for (const std::string_view key : {"maximum", "flash_off_maximum", "largest_heating_rate", "activation_energy", "sources"}) {
        CAPTURE(key);
        CHECK(text.find(std::string(key) + " =") == std::string::npos);
    }
}

TEST_CASE("very small and very large numbers survive") {
    thermal::Material material{"m", "m", 1.0000000000000002, 123.45678901234567, 0.005, 1e-300, GaugeSeries::none, {}};
    check_round_trip(material);
    bake::Booth booth;
    booth.id = booth.title = "b";
    booth.volume_m3 = 0.010000000000000002;
    booth.burner_power_w = 99999999.999999985;
    booth.wall_area_m2 = 1e5;
    booth.controller.gain_w_per_k = 0.1;
    booth.film_w_per_m2_k = bake::Spread{1e-300, 1e-200, 1e-7};
    check_round_trip(booth);
}

TEST_CASE("a record that cannot be written is refused and not written wrongly") {
    thermal::Material material{"m", "m", 1000.0, 500.0, 1.0, 0.9, GaugeSeries::none, {}};
    material.emissivity = std::numeric_limits<double>::quiet_NaN();
    CHECK_THROWS_AS((void)to_toml(material), PromiseError);
    material.emissivity = 0.9;
    material.title = "two\nlines";
    CHECK_THROWS_AS((void)to_toml(material), InputError);
    material.title = "bad \xff byte";
    CHECK_THROWS_AS((void)to_toml(material), InputError);
    profile::ShellProfile shell;
    shell.shell.items.emplace_back();
    CHECK_THROWS_AS((void)to_toml(shell), PromiseError);
}
