// SPDX-License-Identifier: Apache-2.0
#include "enclosure.hpp"

#include <doctest/doctest.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <vector>

#include "bakewright/bake/predict.hpp"
#include "booth_surfaces.hpp"
#include "example_records.hpp"

using namespace bakewright;
using namespace bakewright::bake;
using namespace bakewright::example;

// What a shell and its booth see of one another. Booth and shells are invented.

namespace {

using Lie = thermal::FilmModel::Lie;

Booth bus_booth() {
    Booth booth;
    booth.id = "bus";
    booth.size = BoothSize{15.0, 5.0, 5.0};
    booth.volume_m3 = booth.size->volume_m3();
    booth.wall_area_m2 = booth.size->area_m2();
    return booth;
}
const std::optional<ShellSize> kVan = ShellSize{11.0, 2.5, 3.2};

SeenShares upright(double height_m) { return view_of({.height_m = height_m, .half_extent_m = 0.2}, kVan, *bus_booth().size); }

/// Sides, roof, underside and ends of a van.
std::vector<SeeingFace> van_faces() {
    const BoothSize box = *bus_booth().size;
    std::vector<SeeingFace> faces;
    for (const auto& [lie, height_m, area_m2, emissivity] :
         {std::tuple{Lie::vertical, 2.2, 22.0, 0.9}, std::tuple{Lie::vertical, 1.0, 20.0, 0.9},
          std::tuple{Lie::vertical, 0.5, 9.0, 0.2}, std::tuple{Lie::facing_up, 3.2, 22.0, 0.85},
          std::tuple{Lie::facing_down, 0.8, 22.0, 0.9}})
        faces.push_back({area_m2, emissivity, view_of({.lie = lie, .height_m = height_m}, kVan, box).booth});
    return faces;
}

/// Heat [W] into each face and surface by the radiosities of all of them, one equation each (IDBL, section 13.3).
Eigen::VectorXd heat_by_radiosity_w(const std::vector<SeeingFace>& faces, const Room& room,
                                    const Eigen::VectorXd& temperature_k) {
    const auto n = static_cast<Eigen::Index>(faces.size());
    Eigen::MatrixXd seen_m2 = Eigen::MatrixXd::Zero(n + 3, n + 3);
    Eigen::VectorXd area_m2(n + 3), emissivity(n + 3);
    for (Eigen::Index i = 0; i < n; ++i) {
        const SeeingFace& face = faces[static_cast<std::size_t>(i)];
        area_m2(i) = face.area_m2;
        emissivity(i) = face.emissivity;
        for (Eigen::Index k = 0; k < 3; ++k)
            seen_m2(i, n + k) = seen_m2(n + k, i) = face.area_m2 * face.view[static_cast<std::size_t>(k)];
    }
    seen_m2.bottomRightCorner(3, 3) = room.seen_m2;
    for (Eigen::Index k = 0; k < 3; ++k)
        area_m2(n + k) = room.area_m2[static_cast<std::size_t>(k)], emissivity(n + k) = kSurfaceEmissivity;
    const Eigen::VectorXd emitted = (emissivity.array() * kStefanBoltzmann * temperature_k.array().pow(4)).matrix();
    Eigen::MatrixXd system = Eigen::MatrixXd(area_m2.asDiagonal());
    for (Eigen::Index i = 0; i < n + 3; ++i) system.row(i) -= (1.0 - emissivity(i)) * seen_m2.row(i);
    const Eigen::VectorXd radiosity = system.partialPivLu().solve((area_m2.array() * emitted.array()).matrix());
    return (emissivity.array() * (seen_m2 * radiosity).array() - area_m2.array() * emitted.array()).matrix();
}

Eigen::VectorXd heat_by_exchange_w(const std::vector<SeeingFace>& faces, const ExchangeAreas& areas,
                                   const Eigen::VectorXd& temperature_k) {
    const auto n = static_cast<Eigen::Index>(faces.size());
    Eigen::VectorXd heat_w = Eigen::VectorXd::Zero(n + 3);
    const auto exchange = [&](Eigen::Index one, Eigen::Index other, double area_m2) {
        const double flow_w = area_m2 * kStefanBoltzmann * (std::pow(temperature_k(one), 4) - std::pow(temperature_k(other), 4));
        heat_w(one) -= flow_w;
        heat_w(other) += flow_w;
    };
    for (Eigen::Index i = 0; i < n; ++i)
        for (Eigen::Index k = 0; k < 3; ++k)
            exchange(n + k, i, areas.face_m2[static_cast<std::size_t>(i)][static_cast<std::size_t>(k)]);
    for (std::size_t pair = 0; pair < 3; ++pair)
        exchange(n + static_cast<Eigen::Index>(kSurfacePairs[pair].first),
                 n + static_cast<Eigen::Index>(kSurfacePairs[pair].second), areas.between_m2[pair]);
    return heat_w;
}

}  // namespace

TEST_CASE("a face sees the whole of what is before it; low faces see the floor, roofs the ceiling") {
    for (const double height_m : {0.0, 0.3, 1.2, 2.5, 4.9, 30.0}) {
        const SeenShares seen = upright(height_m);
        CHECK(std::abs(seen.booth[0] + seen.booth[1] + seen.booth[2] - 1.0) <= 1e-12);
        for (const double share : seen.booth) CHECK(share >= 0.0);
    }
    CHECK(upright(0.5).booth[2] > 0.3);
    CHECK(upright(0.5).booth[2] > upright(1.2).booth[2]);
    CHECK(upright(1.2).booth[2] > upright(2.3).booth[2]);
    CHECK(std::abs(upright(2.5).booth[1] - upright(2.5).booth[2]) <= 1e-12);
    const SeenShares roof = view_of({.lie = Lie::facing_up, .height_m = 3.2}, kVan, *bus_booth().size);
    CHECK(roof.booth[1] > 0.6);
    CHECK(roof.booth[2] == 0.0);
    const SeenShares underside = view_of({.lie = Lie::facing_down, .height_m = 0.6}, kVan, *bus_booth().size);
    CHECK(underside.booth[2] > 0.9);
    // What hangs under the shell sees that in place of the ceiling.
    const SeenShares rail = view_of({.height_m = 0.5, .under_shell_m = 0.3}, kVan, *bus_booth().size);
    CHECK(rail.booth[1] == 0.0);
    CHECK(rail.shell > 0.2);
    CHECK(std::abs(rail.booth[0] + rail.booth[2] + rail.shell - 1.0) <= 1e-12);
}

TEST_CASE("a face in a large booth exchanges by its emissivity, a large shell by the rule of two surfaces") {
    // Source: IDBL, table 13.3: a small convex object in a large cavity, e A; concentric surfaces,
    // A1 / (1 / e1 + (1 - e2) / e2 A1 / A2). The shell sees each surface as much as that is a share of the whole.
    Booth booth = bus_booth();
    const BySurface area_m2 = booth.surface_areas_m2();
    const double all_m2 = area_m2[0] + area_m2[1] + area_m2[2];
    const BySurface evenly{area_m2[0] / all_m2, area_m2[1] / all_m2, area_m2[2] / all_m2};
    for (const double shell_m2 : {0.01, 40.0, 150.0}) {
        const std::vector<SeeingFace> one{{shell_m2, 0.8, evenly}};
        const BySurface exchange_m2 = exchange_areas(one, booth).face_m2.front();
        const double sum_m2 = exchange_m2[0] + exchange_m2[1] + exchange_m2[2];
        const double rule_m2 = shell_m2 / (1.0 / 0.8 + (1.0 - kSurfaceEmissivity) / kSurfaceEmissivity * shell_m2 / all_m2);
        CAPTURE(shell_m2);
        // The rule takes one radiosity for all that surrounds the shell; three differ in it by less than 0.2 % here.
        CHECK(std::abs(sum_m2 / rule_m2 - 1.0) <= 2e-3);
    }
}

TEST_CASE("the exchange of a van with its booth is that of all radiosities") {
    // Computed: one equation of radiosity a face and surface, solved densely. Exact among the surfaces and for a shell of one
    // temperature; what faces get of one another over the walls, counted as from the walls, moves a face's heat by under 4 W/m2
    // where the roof is 30 K hotter than the rocker panels and the walls lie between.
    const std::vector<SeeingFace> faces = van_faces();
    const Booth booth = bus_booth();
    const ExchangeAreas areas = exchange_areas(faces, booth);
    const Room room = room_round(faces, booth);
    Eigen::VectorXd alike_k(8), apart_k(8);
    alike_k << 330, 330, 330, 330, 330, 325, 330, 300;
    apart_k << 330, 322, 312, 342, 315, 325, 332, 300;
    const Eigen::VectorXd exact_w = heat_by_radiosity_w(faces, room, alike_k), ours_w = heat_by_exchange_w(faces, areas, alike_k);
    CHECK(std::abs(exact_w.sum()) <= 1e-6);
    for (Eigen::Index i = 0; i < 5; ++i)
        CHECK(std::abs(ours_w(i) - exact_w(i)) <= 2.0 * faces[static_cast<std::size_t>(i)].area_m2);
    for (Eigen::Index k = 5; k < 8; ++k) CHECK(std::abs(ours_w(k) - exact_w(k)) <= 0.03 * exact_w.cwiseAbs().maxCoeff());
    const Eigen::VectorXd hot_w = heat_by_radiosity_w(faces, room, apart_k),
                          our_hot_w = heat_by_exchange_w(faces, areas, apart_k);
    for (Eigen::Index i = 0; i < 5; ++i)
        CHECK(std::abs(our_hot_w(i) - hot_w(i)) <= 4.0 * faces[static_cast<std::size_t>(i)].area_m2);
}

TEST_CASE("a booth too small for its shell still closes") {
    Booth closet = bus_booth();
    closet.wall_area_m2 = 5.0;
    const ExchangeAreas areas = exchange_areas(van_faces(), closet);
    for (const BySurface& face : areas.face_m2)
        for (const double area_m2 : face) CHECK(std::isfinite(area_m2));
    for (const double area_m2 : areas.between_m2) CHECK(area_m2 > 0.0);
}

TEST_CASE("a concrete floor is followed as deep as heat goes") {
    // Source: IDBL, equation (5.60): a half-infinite body under a film, face after a step:
    // 1 - exp(h^2 a t / k^2) erfc(h sqrt(a t) / k). Chains of nodes by an explicit scheme of 1 s steps.
    constexpr double kFilm = 10.0, kStepK = 40.0;
    const double diffusivity = kConcreteConductivityWPerMK / kConcreteHeatCapacityJPerM3K;
    const FloorNodes nodes = floor_nodes();
    std::vector<double> rise_k(kFloorDepthsM.size(), 0.0), flow(kFloorDepthsM.size() + 1, 0.0);
    double worst_k = 0.0;
    for (int second = 1; second <= 4 * 3600; ++second) {
        flow.front() = kFilm * (kStepK - rise_k.front());
        for (std::size_t i = 0; i + 1 < rise_k.size(); ++i)
            flow[i + 1] = nodes.conductance_w_per_m2_k[i] * (rise_k[i] - rise_k[i + 1]);
        for (std::size_t i = 0; i < rise_k.size(); ++i) rise_k[i] += (flow[i] - flow[i + 1]) / nodes.capacity_j_per_m2_k[i];
        if (second < 300) continue;
        const double x = kFilm * std::sqrt(diffusivity * second) / kConcreteConductivityWPerMK;
        const double exact_k = kStepK * (1.0 - std::exp(x * x) * std::erfc(x));
        worst_k = std::max(worst_k, std::abs(rise_k.front() - exact_k));
    }
    CHECK(worst_k <= 0.4);
    CHECK(worst_k > 1e-3);
}

namespace {

double end_c(const Prediction& prediction, const char* name) {
    return kelvin_to_celsius(temperature_at_k(*prediction.traces.find(name), minutes_to_seconds(60.0)));
}

Shell low_skin() {
    Shell shell;
    shell.id = "low";
    shell.size = kVan;
    shell.zones = {square("rocker", steel(), 1e-3, 0.5), square("side", steel(), 1e-3, 2.5)};
    for (Zone& zone : shell.zones) zone.area_m2 = 8.0;
    return shell;
}

}  // namespace

TEST_CASE("walls, ceiling and floor come to where their balances put them") {
    // By hand, one hour: a film of 6.5 W/m2K against 0.8 to the outside and the floor, which takes a fifth of what the walls
    // radiate: 6 (65 - T) = 0.8 (T - 20) + 1.2 (T - 30), 51 to 56 degC. With 4.0 to the outside: 41 to 47 degC. Concrete under
    // about 8 W/m2K of film and radiation rises by a third of the air's rise in an hour (equation (5.60) of IDBL: 12 K).
    Booth booth = bus_booth();
    const Prediction insulated = predict(low_skin(), booth, hour_at_65());
    CHECK(end_c(insulated, "booth wall") >= 50.0);
    CHECK(end_c(insulated, "booth wall") <= 57.0);
    CHECK(end_c(insulated, "booth floor") >= 26.0);
    CHECK(end_c(insulated, "booth floor") <= 36.0);
    booth.wall = WallKind::single_skin;
    const Prediction single = predict(low_skin(), booth, hour_at_65());
    CHECK(end_c(single, "booth wall") >= 40.0);
    CHECK(end_c(single, "booth wall") <= 47.0);
    CHECK(end_c(single, "side") < end_c(insulated, "side") - 2.0);
    // The same with a floor of panels: the low zone gains, the high one hardly.
    Booth panels = bus_booth();
    panels.floor = FloorKind::panel;
    const Prediction warm = predict(low_skin(), panels, hour_at_65());
    CHECK(end_c(warm, "rocker") > end_c(insulated, "rocker") + 2.0);
    CHECK(end_c(warm, "side") < end_c(warm, "rocker") + 1.0);
    CHECK(std::abs(insulated.summary.heat.closure_j) <= 1e-6 * std::abs(insulated.summary.heat.stored_j));
}

TEST_CASE("surfaces that were measured drive the replay; what is built as they are goes with them") {
    Booth booth = bus_booth();
    Trace air{"booth air", TraceRole::booth_air, {0.0, 600.0, 4000.0}, {293.0, 333.0, 333.0}, {}};
    Trace wall{"booth wall", TraceRole::booth_wall, {0.0, 600.0, 4000.0}, {293.0, 353.0, 353.0}, {}};
    TraceSet log;
    log.traces = {air, wall};
    const Prediction replay = predict_from_air(low_skin(), booth, air, {}, surface_traces(log, air));
    CHECK(std::abs(replay.traces.find("booth wall")->temperature_k.back() - 353.0) <= 1e-9);
    CHECK(std::abs(replay.traces.find("booth ceiling")->temperature_k.back() - 353.0) <= 1e-9);
    CHECK(replay.traces.find("booth floor")->temperature_k.back() < 320.0);
    CHECK(replay.traces.find("side")->temperature_k.back() > 333.0);
    // A wall that was logged for half of the time does not tell the rest.
    log.traces.back().time_s = {0.0, 600.0, 2000.0};
    CHECK(surface_traces(log, air)[0] == nullptr);
}
