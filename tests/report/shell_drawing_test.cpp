// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/shell_drawing.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "bakewright/report/json.hpp"
#include "report/sample_report.hpp"

using namespace bakewright;
using bake::DrawnOn;

namespace {

bake::Zone zone(const std::string& name, double area_m2, double height_m) {
    bake::Zone zone;
    zone.name = name;
    zone.area_m2 = area_m2;
    zone.height_m = height_m;
    return zone;
}

const report::DrawnView* view(const report::ShellDrawing& drawing, const std::string& name) {
    for (const report::DrawnView& view : drawing.views)
        if (view.name == name) return &view;
    return nullptr;
}

const report::DrawnZone& drawn(const report::DrawnView* view, const std::string& name) {
    REQUIRE(view != nullptr);
    for (const report::DrawnZone& zone : view->zones)
        if (zone.zone == name) return zone;
    FAIL("no zone " << name);
    return view->zones.front();
}

bool close(double value, double expected) { return std::abs(value - expected) < 1e-12; }

}  // namespace

TEST_CASE("places of the profile are turned into views, the right side with the front at the right") {
    bake::Shell shell;
    shell.size = bake::ShellSize{.length_m = 11.0, .width_m = 2.5, .height_m = 3.2};
    shell.zones = {zone("skin", 10.0, 1.0), zone("door", 2.0, 1.0)};
    shell.zones[0].places = {{.on = DrawnOn::sides, .from = 0.1, .to = 0.8, .low = 0.2, .high = 0.9}};
    shell.zones[1].places = {{.on = DrawnOn::right_side, .from = 0.2, .to = 0.3, .low = 0.1, .high = 0.8}};
    const report::ShellDrawing drawing = report::draw_shell(shell);
    REQUIRE(drawing.views.size() == 2);
    const report::DrawnZone& left = drawn(view(drawing, "left_side"), "skin");
    CHECK(close(left.left, 0.1));
    CHECK(close(left.width, 0.7));
    CHECK(close(left.top, 0.1));
    CHECK(close(left.height, 0.7));
    CHECK(close(drawn(view(drawing, "right_side"), "skin").left, 0.2));
    CHECK(close(drawn(view(drawing, "right_side"), "door").left, 0.7));
    CHECK(view(drawing, "left_side")->width_m == 11.0);
    CHECK(view(drawing, "right_side")->zones.back().zone == "door");  // the smaller one lies on top
}

TEST_CASE("sides that look alike are drawn once") {
    bake::Shell shell;
    shell.zones = {zone("skin", 10.0, 1.0)};
    const report::ShellDrawing drawing = report::draw_shell(shell);
    REQUIRE(drawing.views.size() == 1);
    CHECK(drawing.views[0].name == "sides");
    CHECK(close(drawing.views[0].width_m / drawing.views[0].height_m, 3.0));
}

TEST_CASE("zones without places are told by height, area, names and faces") {
    bake::Shell shell;
    shell.zones = {zone("upper side", 6.0, 2.0), zone("sill", 2.0, 0.5),      zone("front cap", 4.0, 1.5),
                   zone("back_door", 3.0, 1.5),  zone("left_flap", 2.0, 1.0), zone("roof", 9.0, 3.0),
                   zone("floor", 9.0, 0.9),      zone("posts", 1.0, 1.9),     zone("panel", 0.1, 1.5)};
    shell.zones[5].orientation = bake::Orientation::faces_up;
    shell.zones[6].orientation = bake::Orientation::faces_down;
    shell.zones[7].outer.view = bake::FaceView::cavity;
    shell.zones[8].role = bake::ZoneRole::test_panel;
    const report::ShellDrawing drawing = report::draw_shell(shell);
    for (const auto& [name, where] : {std::pair("front cap", "front_end"), std::pair("back_door", "rear_end"),
                                      std::pair("roof", "top"), std::pair("floor", "underside"), std::pair("posts", "inside"),
                                      std::pair("panel", "beside"), std::pair("left_flap", "left_side")}) {
        CAPTURE(name);
        CHECK(drawn(view(drawing, where), name).zone == name);
    }
    // By hand: on the right 6 and 2 m2, so 3/4 and 1/4 of the height, the sill at the bottom; on the left 6, 2 and 2.
    const report::DrawnView* right = view(drawing, "right_side");
    REQUIRE(right != nullptr);
    CHECK(right->zones.size() == 2);
    CHECK(close(drawn(right, "sill").height, 0.25));
    CHECK(close(drawn(right, "sill").top, 0.75));
    CHECK(close(drawn(right, "upper side").top, 0.0));
    const report::DrawnView* left = view(drawing, "left_side");
    CHECK(close(drawn(left, "left_flap").height, 0.2));
    CHECK(close(drawn(left, "left_flap").top, 0.6));
}

TEST_CASE("a tiny zone still gets a place that can be seen") {
    bake::Shell shell;
    shell.zones = {zone("skin", 100.0, 1.0), zone("strip", 0.01, 2.0)};
    // By hand: 0.4 of an even half is 0.2, against 1.0 of the skin: 0.2 / 1.2 of the height.
    CHECK(std::abs(drawn(view(report::draw_shell(shell), "sides"), "strip").height - 0.2 / 1.2) < 1e-4);
}

TEST_CASE("a drawing and a course are documents for programs") {
    const report::ReportInput input = sample::report();
    const auto drawing = nlohmann::json::parse(report::json_text(report::document_of(*input.drawing)));
    CHECK(drawing["format"] == "bakewright.shell-drawing");
    CHECK(drawing["views"][0]["zones"][0]["width"].is_number());
    const auto course = nlohmann::json::parse(report::json_text(report::document_of(*input.course)));
    CHECK(course["format"] == "bakewright.course");
    CHECK(course["zones"][0]["zone"] == "left sill");
    CHECK(course["zones"][0]["spans"][0]["word"] == "UNDER");
    CHECK(course["items"][0]["share_used"].size() > 2);
}

TEST_CASE("a strip over a part that lags is a line on the shape of its zone") {
    bake::Shell shell;
    shell.zones = {zone("side", 10.0, 1.5), zone("posts", 2.0, 1.5), zone("sill", 2.0, 0.4)};
    for (bake::Zone& part : shell.zones) {
        bake::Layer layer;
        layer.material.density_kg_per_m3 = 7850.0;
        layer.material.specific_heat_j_per_kg_k = 470.0;
        layer.material.conductivity_w_per_m_k = 50.0;
        layer.thickness_m = part.name == "side" ? 1e-3 : 6e-3;
        part.layers = {layer};
        part.coated = part.name == "side";
    }
    shell.zones[0].title = "side skins";
    shell.zones[0].places = {{.on = DrawnOn::sides, .from = 0.1, .to = 0.9, .low = 0.2, .high = 0.8}};
    shell.zones[1].outer.view = bake::FaceView::cavity;
    shell.links = {{"side", "posts", 8.0}, {"side", "sill", 4.0}};
    const report::ShellDrawing drawing = report::draw_shell(shell);
    const report::DrawnZone& upright = drawn(view(drawing, "sides"), "side over posts");
    CHECK(upright.strip_of == "side");
    CHECK(upright.title == "side skins, over the posts");
    CHECK(upright.coated);
    CHECK(upright.width < 0.02);
    CHECK(close(upright.height, 0.6));
    CHECK(upright.left > 0.1);
    CHECK(upright.left + upright.width < 0.9);
    const report::DrawnZone& along = drawn(view(drawing, "sides"), "side over sill");
    CHECK(along.height < 0.05);
    CHECK(close(along.width, 0.8));
    CHECK(close(along.top + along.height, 0.8));                     // along the lower edge
    CHECK(view(drawing, "sides")->zones.back().strip_of == "side");  // over the shapes
}
