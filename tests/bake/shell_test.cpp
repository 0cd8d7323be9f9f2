// SPDX-License-Identifier: Apache-2.0
#include "bakewright/bake/shell.hpp"

#include <doctest/doctest.h>

#include "example_records.hpp"

using namespace bakewright;
using namespace bakewright::bake;
using namespace bakewright::example;

namespace {

std::string first_key(const Shell& shell) {
    const std::vector<Problem> found = problems_in(shell);
    return found.empty() ? "none" : found.front().key;
}

Shell pair() {
    Shell shell;
    shell.id = "pair";
    shell.zones = {square("skin", steel(), 1e-3, 1.5), square("frame", steel(), 3e-3, 0.5)};
    return shell;
}

}  // namespace

TEST_CASE("every mistake in a shell is found and named by its path") {
    Shell shell = pair();
    CHECK(first_key(shell) == "none");
    SUBCASE("zero area") {
        shell.zones[1].area_m2 = 0.0;
        CHECK(first_key(shell) == "zone[1].area");
    }
    SUBCASE("two zones of one name") {
        shell.zones[1].name = "skin";
        CHECK(first_key(shell) == "zone[1].name");
    }
    SUBCASE("a cavity nobody declared") {
        shell.zones[0].inner.view = FaceView::cavity;
        shell.zones[0].inner.cavity = "interior";
        CHECK(first_key(shell) == "zone[0].inner.cavity");
    }
    SUBCASE("an air gap at the face") {
        shell.zones[0].layers.push_back({});
        shell.zones[0].layers[1].kind = Layer::Kind::air_gap;
        shell.zones[0].layers[1].thickness_m = 0.02;
        CHECK(first_key(shell) == "zone[0].layers[1].gap");
    }
    SUBCASE("no heat can reach a zone") {
        shell.zones[0].outer.view = FaceView::nothing;
        CHECK(first_key(shell) == "zone[0].outer");
    }
    SUBCASE("an emissivity over 1") {
        shell.zones[0].outer.emissivity = 9.2;
        CHECK(first_key(shell) == "zone[0].outer.emissivity");
    }
    SUBCASE("a link to a mistyped zone suggests the right one") {
        Link link;
        link.from = "skin";
        link.to = "frmae";
        link.conductance_w_per_k = 1.0;
        shell.links = {link};
        const std::vector<Problem> found = problems_in(shell);
        REQUIRE(found.size() == 1);
        CHECK(found[0].key == "link[0].to");
        CHECK(found[0].message.find("'frame'") != std::string::npos);
    }
    SUBCASE("an item without mass") {
        Item item;
        item.name = "screen";
        item.place = Item::Place::zone;
        item.where = "skin";
        item.conductance_w_per_k = 1.0;
        shell.items = {item};
        CHECK(first_key(shell) == "item[0].heat_capacity");
    }
}

TEST_CASE("a booth finds local air between the heights of its profile") {
    const Booth booth = layered_booth();
    CHECK(booth.vertical_offset_k(-1.0) == -8.0);
    CHECK(booth.vertical_offset_k(0.75) == doctest::Approx(-4.0));
    CHECK(booth.vertical_offset_k(1.5) == 0.0);
    CHECK(booth.vertical_offset_k(9.0) == 8.0);
    CHECK(problems_in(booth).empty());
}
