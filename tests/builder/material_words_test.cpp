// SPDX-License-Identifier: Apache-2.0
#include "bakewright/builder/material_words.hpp"

#include "builder_support.hpp"

using namespace bakewright;
using namespace builder_support;

namespace {

const builder::MaterialWords& words() {
    static const builder::MaterialWords known(shipped());
    return known;
}

}  // namespace

TEST_CASE("materials are known by what people call them") {
    const std::pair<const char*, const char*> cases[] = {{"steel", "mild_steel"},
                                                         {"mild steel", "mild_steel"},
                                                         {"CRS", "mild_steel"},
                                                         {"Steel sheets", "mild_steel"},
                                                         {"ally", "aluminium_5052"},
                                                         {"alu", "aluminium_5052"},
                                                         {"aluminum", "aluminium_5052"},
                                                         {"stainless", "stainless_304"},
                                                         {"SS", "stainless_304"},
                                                         {"stainless steel", "stainless_304"},
                                                         {"galv", "galvanised_steel"},
                                                         {"galvanized steel", "galvanised_steel"},
                                                         {"ply", "plywood"},
                                                         {"marine ply floor", "plywood"},
                                                         {"GRP", "polyester_grp"},
                                                         {"fibreglass", "polyester_grp"},
                                                         {"fiberglass", "polyester_grp"},
                                                         {"bumper", "pp_bumper"},
                                                         {"mud", "body_filler"},
                                                         {"bog", "body_filler"},
                                                         {"filler", "body_filler"},
                                                         {"carbon fibre", "carbon_laminate"},
                                                         {"spray foam", "pu_foam"},
                                                         {"PVC core", "pvc_foam"},
                                                         {"mild_steel", "mild_steel"},
                                                         {"tread plate", "aluminium_5052"}};
    for (const auto& [text, id] : cases) {
        CAPTURE(text);
        CHECK(words().find(text).id == id);
    }
}

TEST_CASE("a word for several materials is asked about; one for none gets the nearest") {
    for (const char* text : {"foam", "plastic"}) {
        CAPTURE(text);
        CHECK_THROWS_WITH_AS(static_cast<void>(words().find(text)), doctest::Contains("Which"), builder::NotUnderstood);
    }
    CHECK(meant_by([] { return words().find("stanless"); }) == "stainless");
    CHECK(meant_by([] { return words().find("plywod"); }) == "plywood");
    CHECK(meant_by([] { return words().find("unobtainium"); }).empty());
}

TEST_CASE("layers are read outside first, with gauges of their own metal") {
    const auto layers = [](const char* text) { return builder::heard_layers(text, words()); };
    CHECK(is_near(layers("18 ga steel").front().thickness.value, 1.2146e-3, 1e-6));
    CHECK(is_near(layers("18 ga ally").front().thickness.value, 1.0237e-3, 1e-6));
    CHECK(is_near(layers("16 gauge galv").front().thickness.value, 1.613e-3, 1e-6));
    const auto door = layers("1.0 steel, 30 gap, 0.8 steel");
    REQUIRE(door.size() == 3);
    CHECK(door[1].is_gap);
    CHECK(is_near(door[1].thickness.value, 0.030, 1e-12));
    CHECK(door[0].remark.find("1.0 mm") != std::string::npos);  // a bare number is told
    CHECK(is_near(layers("3/4 ply").front().thickness.value, 19.05e-3, 1e-9));
    CHECK(is_near(layers("1/8\" plate steel").front().thickness.value, 3.175e-3, 1e-9));
    const auto filled = layers("1 mm steel plus 3 mm filler");
    REQUIRE(filled.size() == 2);
    CHECK(filled[1].material.id == "body_filler");
    CHECK(layers("1,5 mm ally").size() == 1);
    CHECK(layers("2 mm 304").front().material.id == "stainless_304");
    CHECK(builder::heard_layers("GRP", words(), {"GRP", "4 mm"}).front().thickness.value == 4e-3);
    for (const char* text : {"steel", "30 mm gap", "half inch foam"}) {
        CAPTURE(text);
        CHECK_THROWS_AS(static_cast<void>(layers(text)), builder::NotUnderstood);
    }
}
