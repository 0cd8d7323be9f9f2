// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/cold_places.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "bakewright/bake/predict.hpp"
#include "bakewright/base/units.hpp"
#include "example_records.hpp"

using namespace bakewright;
using namespace bakewright::bake;
using namespace bakewright::example;

// Skin that runs over a part that lags, against the fin it is. Shells are invented.

namespace {

struct Case {
    const char* what;
    double conductivity_w_per_m_k, heat_capacity_j_per_m3_k, thickness_m;
    double film_w_per_m2_k;
    double seam_m, width_m;
    double conductance_w_per_k;  ///< of the link
    double part_mm;              ///< thickness of the steel part behind, 1 m2 of it
};

thermal::Material material_of(const Case& one) {
    thermal::Material made = steel();
    made.id = "sheet";
    made.conductivity_w_per_m_k = one.conductivity_w_per_m_k;
    made.density_kg_per_m3 = one.heat_capacity_j_per_m3_k / 500.0;
    made.specific_heat_j_per_kg_k = 500.0;
    return made;
}

/// A skin of 4 m2 that the air heats from outside, and a part that only the link heats.
Shell shell_of(const Case& one) {
    Shell shell;
    shell.id = "seam";
    Zone skin = square("skin", material_of(one), one.thickness_m, 1.5, 0.0);
    skin.area_m2 = 4.0;
    skin.outer.film_w_per_m2_k = one.film_w_per_m2_k;
    Zone post = square("post", steel(), one.part_mm / 1e3, 1.5, 0.0);
    post.coated = false;
    post.outer.view = FaceView::nothing;
    shell.zones = {skin, post};
    Link link;
    link.from = "skin";
    link.to = "post";
    link.conductance_w_per_k = one.conductance_w_per_k;
    link.seam_m = one.seam_m;
    link.seam_width_m = one.width_m;
    shell.links = {link};
    return shell;
}

Booth booth_of() {
    Booth booth = layered_booth();
    booth.vertical_profile.clear();
    return booth;
}

Trace air_of(std::vector<double> time_s, std::vector<double> temperature_c) {
    Trace air{.name = "booth air", .role = TraceRole::booth_air, .time_s = std::move(time_s), .temperature_k = {}, .quality = {}};
    for (const double at_c : temperature_c) air.temperature_k.push_back(celsius_to_kelvin(at_c));
    return air;
}

double at_k(const Prediction& prediction, const std::string& name, double time_s) {
    return temperature_at_k(*prediction.traces.find(name), time_s);
}

/// Skin, band of contact and part side by side, with 200 cells on each metre of flank; explicit steps far inside their limit.
class FineSeam {
public:
    FineSeam(const Case& one, const ColdPlace& place, double area_m2, bool is_firm)
        : case_(one), place_(place), is_firm_(is_firm), cell_m_((area_m2 - place.contact_m2()) / place.flank_m / kCells) {
        skin_k_.assign(kCells, celsius_to_kelvin(20.0));
        post_k_ = band_k_ = celsius_to_kelvin(20.0);
        const double diffusivity_m2_per_s = one.conductivity_w_per_m_k / one.heat_capacity_j_per_m3_k;
        step_s_ = std::min(0.5, 0.2 * cell_m_ * cell_m_ / diffusivity_m2_per_s);
    }

    void go_to(double time_s, const Trace& air) {
        while (time_s_ < time_s - 1e-9) {
            const double step_s = std::min(step_s_, time_s - time_s_);
            step(step_s, temperature_at_k(air, time_s_));
            time_s_ += step_s;
        }
    }
    [[nodiscard]] double band_k() const { return band_k_; }
    [[nodiscard]] double far_k() const { return skin_k_.back(); }

private:
    static constexpr std::size_t kCells = 200;

    void step(double step_s, double air_k) {
        const double per_m2 = case_.heat_capacity_j_per_m3_k * case_.thickness_m;
        const double along = case_.conductivity_w_per_m_k * case_.thickness_m * place_.flank_m / cell_m_;
        const double cell_m2 = cell_m_ * place_.flank_m;
        std::vector<double> flow_w(kCells + 1, 0.0);  // from cell i to the one nearer to the seam
        flow_w[0] = 2.0 * along * (skin_k_[0] - band_k_);
        for (std::size_t i = 1; i < kCells; ++i) flow_w[i] = along * (skin_k_[i] - skin_k_[i - 1]);
        for (std::size_t i = 0; i < kCells; ++i)
            skin_k_[i] +=
                step_s * (case_.film_w_per_m2_k * (air_k - skin_k_[i]) + (flow_w[i + 1] - flow_w[i]) / cell_m2) / per_m2;
        const double band_j_per_k = per_m2 * place_.contact_m2();
        const double post_j_per_k = 7850.0 * 470.0 * case_.part_mm / 1e3;
        const double into_band_w = flow_w[0] + case_.film_w_per_m2_k * place_.contact_m2() * (air_k - band_k_);
        if (is_firm_) {
            post_k_ = band_k_ += step_s * into_band_w / (band_j_per_k + post_j_per_k);
            return;
        }
        const double joint_w = place_.joint_w_per_k * (band_k_ - post_k_);
        band_k_ += step_s * (into_band_w - joint_w) / band_j_per_k;
        post_k_ += step_s * joint_w / post_j_per_k;
    }

    const Case& case_;
    const ColdPlace& place_;
    bool is_firm_;
    double cell_m_, step_s_ = 0.0, time_s_ = 0.0;
    std::vector<double> skin_k_;
    double post_k_ = 0.0, band_k_ = 0.0;
};

double fin_w_per_m_k(const Case& one) { return std::sqrt(one.conductivity_w_per_m_k * one.thickness_m * kSeamFilmWPerM2K); }

}  // namespace

TEST_CASE("two lumps and the zone take heat from a seam as an endless fin does") {
    // Source: Incropera & DeWitt, 6th ed., table 3.4, case D: q = M = sqrt(h P k A) theta_b, here 1 in fin lengths and
    // conductance. Tolerance 0.5 %: what the header promises from 0.3 to 6 times the film that the fin length is told with.
    for (double m = 0.3; m <= 6.0; m *= 1.05) {
        const double lumps =
            kSeamGrid.at_seam * m + 1.0 / (kSeamGrid.to_flank + 1.0 / (kSeamGrid.flank * m + 1.0 / kSeamGrid.to_zone));
        CAPTURE(m);
        CHECK(std::abs(lumps / std::sqrt(m) - 1.0) <= 5e-3);
    }
}

TEST_CASE("in steady air a strip settles where the fins beside it and its joint say") {
    // Source: Incropera & DeWitt, 6th ed., table 3.4, case B (adiabatic tip): q = M tanh(mL). The band of contact is at
    //     T = (J T_post + (F sqrt(h k t) tanh(X sqrt(h / k t)) + h w L) T_air) / (J + F sqrt(h k t) tanh(...) + h w L).
    // Tolerance 0.5 K over a difference of 40 K: what a strip is promised to be within.
    for (const double film : {4.0, 8.0, 15.0, 30.0, 50.0})
        for (const double joint_share : {0.2, 0.5, 0.8, 2.0}) {
            Case one{"steel", 50.0, 3.9e6, 1e-3, film, 1.0, 0.05, 0.0, 1000.0};
            one.conductance_w_per_k = joint_share * fin_w_per_m_k(one) * one.seam_m;
            Shell shell = shell_of(one);
            shell.zones[0].area_m2 = 0.3;  // flanks of 12 to 25 cm, that end where nothing flows
            shell.zones[1].layers[0].material.conductivity_w_per_m_k = 2e3;  // all of it at the temperature of its trace
            const std::vector<ColdPlace> places = cold_places(shell);
            REQUIRE(places.size() == 1);
            const ColdPlace& place = places.front();
            const Trace air = air_of({0.0, 14400.0}, {60.0, 60.0});
            const Prediction prediction = predict_from_air(shell, booth_of(), air);

            const double along_w_per_k = one.conductivity_w_per_m_k * one.thickness_m;
            const double half_m = (0.3 - place.contact_m2()) / place.flank_m;
            const double fins_w_per_k =
                place.flank_m * std::sqrt(film * along_w_per_k) * std::tanh(half_m * std::sqrt(film / along_w_per_k));
            const double others_w_per_k = fins_w_per_k + film * place.contact_m2();
            const double post_k = at_k(prediction, "post", 14400.0);
            const double expected_k = (place.joint_w_per_k * post_k + others_w_per_k * celsius_to_kelvin(60.0)) /
                                      (place.joint_w_per_k + others_w_per_k);
            CAPTURE(film);
            CAPTURE(joint_share);
            CHECK(std::abs(at_k(prediction, place.name, 14400.0) - expected_k) <= 0.5);
            CHECK(expected_k < celsius_to_kelvin(59.0));
        }
}

TEST_CASE("while the air warms up a strip is within 0.5 K of the skin in 200 cells") {
    // Reference: FineSeam above; with a firm joint it has band and part at one temperature. Tolerance 0.5 K, what is promised.
    const Case cases[] = {
        {"steel, welded to posts", 50.0, 3.7e6, 1.2e-3, 14.0, 8.0, 0.05, 8.0, 12.0},
        {"steel, strong air", 50.0, 3.7e6, 1.2e-3, 45.0, 8.0, 0.05, 8.0, 12.0},
        {"steel, still air", 50.0, 3.7e6, 0.8e-3, 5.0, 6.0, 0.05, 8.0, 6.0},
        {"aluminium", 160.0, 2.4e6, 2e-3, 15.0, 3.0, 0.05, 10.0, 10.0},
        {"aluminium, posts close by", 160.0, 2.4e6, 3e-3, 15.0, 9.0, 0.04, 30.0, 25.0},
        {"stainless on a rubber strip", 16.0, 3.9e6, 1e-3, 12.0, 5.0, 0.02, 0.9, 8.0},
        {"steel on glue, one flank", 50.0, 3.7e6, 2e-3, 12.0, 5.0, 0.025, 3.0, 8.0},
        {"a heavy pad over all its width", 50.0, 3.7e6, 1e-3, 12.0, 4.0, 0.15, 70.0, 4.0},
    };
    const Trace air = air_of({0.0, 1000.0, 5400.0, 6400.0, 7200.0}, {20.0, 70.0, 70.0, 20.0, 20.0});
    for (const Case& one : cases) {
        const Shell shell = shell_of(one);
        const std::vector<ColdPlace> places = cold_places(shell);
        CAPTURE(std::string(one.what));
        REQUIRE(places.size() == 1);
        const ColdPlace& place = places.front();
        const double fins = one.conductance_w_per_k / (one.seam_m * fin_w_per_m_k(one));
        const Prediction prediction = predict_from_air(shell, booth_of(), air);
        FineSeam fine(one, place, 4.0, fins >= 1.0 && fins <= 4.0);
        double apart_k = 0.0, behind_k = 0.0;
        for (double time_s = 60.0; time_s <= 7200.0; time_s += 60.0) {
            fine.go_to(time_s, air);
            apart_k = std::max(apart_k, std::abs(at_k(prediction, place.name, time_s) - fine.band_k()));
            behind_k = std::max(behind_k, fine.far_k() - fine.band_k());
        }
        MESSAGE(std::string(one.what) << ": up to " << behind_k << " K behind, " << apart_k << " K apart");
        CHECK(apart_k <= 0.5);
        CHECK(behind_k >= 1.0);
    }
}

TEST_CASE("what flows into a skin with strips is stored in it") {
    // Tolerance: a thousandth of what is stored, as of any prediction.
    const Shell shell = shell_of({"steel", 50.0, 3.7e6, 1.2e-3, 14.0, 8.0, 0.05, 8.0, 12.0});
    Booth booth = booth_of();
    const Prediction prediction = predict(shell, booth, hour_at_65());
    REQUIRE(prediction.traces.find("skin over post") != nullptr);
    const Prediction up = predict_from_air(shell, booth, air_of({0.0, 1000.0, 2000.0}, {20.0, 70.0, 70.0}));
    CHECK(up.summary.heat.stored_j > 1e5);
    CHECK(std::abs(up.summary.heat.closure_j) <= 1e-3 * up.summary.heat.stored_j);
}

TEST_CASE("a link written from either end gives the same strip") {
    const Case one{"steel", 50.0, 3.7e6, 1.2e-3, 14.0, 8.0, 0.05, 8.0, 12.0};
    Shell shell = shell_of(one), turned = shell;
    std::swap(turned.links[0].from, turned.links[0].to);
    const Prediction as_is = predict(shell, booth_of(), hour_at_65()), other = predict(turned, booth_of(), hour_at_65());
    for (const Trace& trace : as_is.traces.traces)
        for (const double time_s : {600.0, 1800.0, 3600.0})
            CHECK(std::abs(temperature_at_k(trace, time_s) - at_k(other, trace.name, time_s)) <= 2e-3);
}

TEST_CASE("the more its joint conducts, the farther a strip is behind its zone") {
    double last_k = 0.0;
    for (const double share : {0.1, 0.3, 0.6, 0.9, 1.5}) {
        Case one{"steel", 50.0, 3.7e6, 1.2e-3, 14.0, 6.0, 0.05, 0.0, 40.0};
        one.conductance_w_per_k = share * fin_w_per_m_k(one) * one.seam_m;
        const Prediction prediction = predict(shell_of(one), booth_of(), hour_at_65());
        const double behind_k = at_k(prediction, "skin", 1500.0) - at_k(prediction, "skin over post", 1500.0);
        CHECK(behind_k > last_k);
        last_k = behind_k;
    }
    CHECK(last_k > 10.0);
}

TEST_CASE("a strip is where a coated skin runs to what lags, and nowhere else") {
    const Case one{"steel", 50.0, 3.7e6, 1.2e-3, 14.0, 8.0, 0.05, 8.0, 12.0};
    const Shell seam = shell_of(one);
    const auto strips = [](const Shell& shell) { return cold_places(shell).size(); };
    REQUIRE(strips(seam) == 1);
    const ColdPlace place = cold_places(seam).front();
    CHECK(place.name == "skin over post");
    CHECK(seam.coated_place_names() == std::vector<std::string>{"skin", "skin over post"});
    CHECK(seam.coated_zone_names() == std::vector<std::string>{"skin"});

    SUBCASE("titles say it in words") {
        Shell shell = seam;
        shell.zones[0].title = "side skins";
        shell.zones[1].title = "posts";
        CHECK(cold_places(shell).front().title == "side skins, over the posts");
    }
    SUBCASE("a part that is coated too is judged by itself") {
        Shell shell = seam;
        shell.zones[1].coated = true;
        CHECK(strips(shell) == 0);
    }
    SUBCASE("a bare skin is not judged for cure") {
        Shell shell = seam;
        shell.zones[0].coated = false;
        CHECK(strips(shell) == 0);
    }
    SUBCASE("a part that warms as fast as the skin keeps nothing back") {
        Shell shell = seam;
        shell.zones[1].layers[0].thickness_m = 1e-3;
        shell.zones[1].outer.view = FaceView::booth;
        CHECK(strips(shell) == 0);
    }
    SUBCASE("behind a gap the coated face does not feel it") {
        Shell shell = seam;
        Layer gap;
        gap.kind = Layer::Kind::air_gap;
        gap.thickness_m = 0.03;
        shell.zones[0].layers = {shell.zones[0].layers[0], gap, shell.zones[0].layers[0]};
        CHECK(strips(shell) == 0);
        shell.links[0].from_side = Link::Side::outer;
        CHECK(strips(shell) == 1);
    }
    SUBCASE("foam keeps the cold from the coat") {
        Shell shell = seam;
        thermal::Material foam = steel();
        foam.conductivity_w_per_m_k = 0.03;
        foam.density_kg_per_m3 = 40.0;
        shell.zones[0].layers.push_back({Layer::Kind::solid, foam, 0.15, 0.0});
        shell.zones[0].layers.push_back(shell.zones[0].layers[0]);
        CHECK(strips(shell) == 0);
    }
    SUBCASE("without a seam its length is told from the conductance, on the cold side") {
        Shell shell = seam;
        shell.links[0].seam_m.reset();
        const ColdPlace told = cold_places(shell).front();
        CHECK(std::abs(told.seam_m - 8.0 / (2.0 * fin_w_per_m_k(one))) <= 1e-9);
        CHECK(at_k(predict(shell, booth_of(), hour_at_65()), told.name, 1500.0) <=
              at_k(predict(seam, booth_of(), hour_at_65()), told.name, 1500.0) + 1.0);
    }
    SUBCASE("what touches over most of a zone is no seam") {
        Shell shell = seam;
        shell.links[0].seam_m.reset();
        shell.links[0].conductance_w_per_k = 400.0;
        CHECK(strips(shell) == 0);
    }
    SUBCASE("where there is not room for it a strip leaves the zone a fifth") {
        Shell shell = seam;
        shell.links[0].seam_m = 60.0;
        const ColdPlace crowded = cold_places(shell).front();
        CHECK(crowded.area_m2() <= 0.8 * 4.0 + 1e-9);
        CHECK(crowded.contact_m2() <= 0.4 * 4.0 + 1e-9);
    }
}

TEST_CASE("a zone with a seam of a few centimetres is as warm as without it") {
    // Tolerance 0.1 K: a seam of 5 cm and its flanks are 0.5 % of the skin.
    Shell weak = shell_of({"steel", 50.0, 3.7e6, 1.2e-3, 14.0, 0.05, 0.05, 0.05, 12.0});
    Shell none = weak;
    none.links[0].conductance_w_per_k = 1e-6;
    const Prediction with = predict(weak, booth_of(), hour_at_65()), without = predict(none, booth_of(), hour_at_65());
    for (const double time_s : {600.0, 1800.0, 3600.0, 5400.0})
        CHECK(std::abs(at_k(with, "skin", time_s) - at_k(without, "skin", time_s)) <= 0.1);
}
