// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/booth.hpp"

#include "bakewright/builder/warm_up.hpp"
#include "builder_support.hpp"

using namespace bakewright;
using namespace builder_support;

namespace {

bake::Booth booth_of(builder::Answers answers) { return builder::build_booth("own", answers).booth; }

/// 11 x 5 x 4.5 m, single sheet, normal air, 15 degC outside.
builder::EmptyBooth single_sheet_booth() { return {1.12e3 * 247.5, 5e3 * 254.0, 1.375 * 1.2 * 1007.0, 254.0, 6.0, 4.0}; }

}  // namespace

TEST_CASE("the minutes from cold give the power, by air and walls as one linear system") {
    // Source: the same two balances stepped by hand, published nowhere. Tolerance: 0.1 kW, the digits of the numbers.
    const std::pair<double, double> cases[] = {{10.0, 122.1}, {15.0, 114.7}, {20.0, 110.2}, {30.0, 105.6}};
    for (const auto& [minutes, kw] : cases) {
        CAPTURE(minutes);
        CHECK(is_near(builder::power_for_rise_w(single_sheet_booth(), 45.0, 60.0 * minutes) / 1e3, kw, 0.1));
    }
    CHECK(is_near(builder::steady_rise_k(single_sheet_booth(), 102.2e3), 45.0, 0.05));
}

TEST_CASE("the rise of an empty booth starts at nothing, grows, and ends where losses take all") {
    const builder::EmptyBooth booth = single_sheet_booth();
    CHECK(is_near(builder::rise_k(booth, 100e3, 0.0), 0.0, 1e-9));
    double before = 0.0;
    for (double s = 60.0; s < 36000.0; s *= 1.5) {
        CHECK(builder::rise_k(booth, 100e3, s) > before);
        before = builder::rise_k(booth, 100e3, s);
    }
    CHECK(is_near(builder::rise_k(booth, 100e3, 1e6), builder::steady_rise_k(booth, 100e3), 1e-6));
    // Its slope at the start is power over the air's heat capacity: tolerance 1 %, of a second's step.
    CHECK(is_near(builder::rise_k(booth, 100e3, 1.0) / (100e3 / booth.air_j_per_k), 1.0, 0.01));
}

TEST_CASE("a booth of five answers has volume, walls, fresh air, burner and sensor with their sources") {
    const bake::Booth booth = booth_of({{"title", "north booth"},
                                        {"size", "11 x 5 x 4.5 m"},
                                        {"walls", "single sheet"},
                                        {"heat", "150 kW"},
                                        {"sensor", "in the hot duct"}});
    CHECK(booth.title == "north booth");
    CHECK(is_near(booth.volume_m3, 247.5, 1e-9));
    CHECK(is_near(booth.wall_area_m2, 254.0, 1e-9));
    CHECK(booth.wall == bake::WallKind::single_skin);
    CHECK(is_near(booth.wall_loss().value, 4.0, 1e-12));
    CHECK(is_near(booth.burner_power_w, 150e3, 1e-9));
    CHECK(booth.controller.kind == bake::Controller::Kind::proportional_integral);
    CHECK(is_near(booth.controller.sensor_offset_k, 5.0, 1e-12));
    CHECK(is_near(booth.ventilation[static_cast<std::size_t>(bake::FanMode::bake)].make_up_m3_per_s, 1.375, 1e-12));
    CHECK(is_near(booth.ventilation[static_cast<std::size_t>(bake::FanMode::purge)].make_up_m3_per_s, 13.75, 1e-12));
    for (const char* key : {"volume", "wall_area", "wall_loss", "wall_offset", "vertical_profile", "burner.power",
                            "controller.sensor_offset", "ambient"}) {
        CAPTURE(key);
        CHECK(booth.sources.contains(key));
    }
    CHECK(problems_in(booth).empty());
}

TEST_CASE("heaters are read as plates and as minutes; fuel in is not heat out") {
    const auto kw = [](const char* heat) {
        return booth_of({{"size", "11 x 5 x 4.5 m"}, {"walls", "single sheet"}, {"heat", heat}}).burner_power_w / 1e3;
    };
    CHECK(is_near(kw("15 min to 60 C"), 114.7, 0.15));
    CHECK(is_near(kw("15 min from cold to 60"), 114.7, 0.15));
    CHECK(is_near(kw("15 min from cold to 140F"), 114.7, 0.15));
    CHECK(is_near(kw("500 MBH in"), 0.8 * 146.5, 0.1));
    CHECK(is_near(kw("500 MBH out"), 146.5, 0.1));
    CHECK(is_near(kw("500,000 BTU"), 0.8 * 146.5, 0.1));
    CHECK(is_near(kw("150 kW electric"), 150.0, 1e-9));
    CHECK(meant_by([&] { return kw("150"); }) == "150 kW");
}

TEST_CASE("a heater that cannot hold the hottest setting, or that fits no such booth, is asked about") {
    const auto doubts = [](const char* heat) {
        return builder::build_booth("own", {{"size", "11 x 5 x 4.5 m"}, {"walls", "single sheet"}, {"heat", heat}}).doubts.size();
    };
    CHECK(doubts("250 kW") == 0);
    CHECK(doubts("100 kW") == 1);   // holds less than 80 degC
    CHECK(doubts("2000 kW") == 1);  // 8 kW for a cubic metre
}

TEST_CASE("words for walls, air and sensor are understood, and others asked about") {
    const auto with = [](const char* key, const char* text) {
        return booth_of({{"size", "8 x 4 x 3 m"}, {"heat", "100 kW"}, {key, text}});
    };
    CHECK(with("walls", "insulated").wall == bake::WallKind::insulated);
    CHECK(with("walls", "single skin").wall == bake::WallKind::single_skin);
    CHECK(with("walls", "brick").wall_heat_capacity_j_per_m2_k == 60e3);
    CHECK(with("air_strength", "gentle, from the ceiling").air == bake::AirStrength::gentle);
    CHECK(with("air_strength", "stands out").air == bake::AirStrength::strong);
    CHECK(with("flame", "clicks on and off").controller.kind == bake::Controller::Kind::on_off);
    CHECK(with("limits", "75 C, 90 C").high_limit_k == celsius_to_kelvin(90.0));
    CHECK(with("air_path", "mixing fans").vertical_profile.front().offset_k == -3.0);
    for (const auto& [key, text] :
         {std::pair{"walls", "paper"}, {"sensor", "in my pocket"}, {"flame", "blue"}, {"air_path", "somewhere"}}) {
        CAPTURE(key);
        CHECK_THROWS_AS(static_cast<void>(with(key, text)), builder::AnswerNotUnderstood);
    }
    CHECK_THROWS_AS(static_cast<void>(builder::build_booth("own", {{"size", "8 x 4 x 3 m"}})), InputError);  // no heater
}
