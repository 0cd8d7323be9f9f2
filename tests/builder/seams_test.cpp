// SPDX-License-Identifier: Apache-2.0
#include "bakewright/builder/seams.hpp"

#include "builder_support.hpp"

using namespace bakewright;
using namespace builder_support;
using builder::Seam;

TEST_CASE("a seam's heat path is fins in series with what holds them together") {
    // Source: Incropera & DeWitt, 6th ed., table 3.4, infinite fin: sqrt(k t h) W/mK a side; 18 ga steel, h 10: 0.7793.
    // Tolerance: 0.0005 W/mK, the digits of the expected values.
    const builder::SeamSheet over{50.0, 1.2147e-3, true}, edge{50.0, 1.2147e-3, false};
    const auto per_metre = [](Seam seam, const builder::SeamSheet& sheet) {
        return builder::path_along(seam, 1.0, {sheet}).w_per_k.value;
    };
    CHECK(is_near(per_metre(Seam::welded, over), 1.559, 5e-4));
    CHECK(is_near(per_metre(Seam::spot_welded, over), 1.188, 5e-4));
    CHECK(is_near(per_metre(Seam::spot_welded, edge), 0.674, 5e-4));
    CHECK(is_near(builder::path_along(Seam::one_sheet, 7.5, {edge, edge}).w_per_k.value, 2.922, 2e-3));
    CHECK(is_near(builder::path_along(Seam::glued, 8.6, {{0.3, 4e-3, true}}).w_per_k.value, 1.704, 1e-3));
    CHECK(is_near(builder::path_through(Seam::bolted, 18.0).w_per_k.value, 5.4, 1e-12));
}

TEST_CASE("every seam has its value within its range, and twice the length carries twice the heat") {
    for (const Seam seam :
         {Seam::welded, Seam::stitch_welded, Seam::spot_welded, Seam::riveted, Seam::glued, Seam::taped, Seam::rubber_strip}) {
        CAPTURE(builder::words_for(seam));
        const Spread one = builder::path_along(seam, 1.0, {{50.0, 1e-3, false}}).w_per_k;
        const Spread two = builder::path_along(seam, 2.0, {{50.0, 1e-3, false}}).w_per_k;
        CHECK(one.low <= one.value);
        CHECK(one.value <= one.high);
        CHECK(is_near(two.value, 2.0 * one.value, 1e-12));
    }
    for (const Seam seam : {Seam::bolted, Seam::hinged, Seam::rubber_mounted, Seam::clipped}) {
        const Spread path = builder::path_through(seam, 3.0).w_per_k;
        CHECK(path.low < path.value);
        CHECK(path.value < path.high);
    }
}

TEST_CASE("how parts hold is told by what one sees") {
    const std::pair<const char*, Seam> cases[] = {{"welded", Seam::welded},          {"spots", Seam::spot_welded},
                                                  {"spot welds", Seam::spot_welded}, {"stitch welded", Seam::stitch_welded},
                                                  {"rivets", Seam::riveted},         {"glued", Seam::glued},
                                                  {"bonded", Seam::glued},           {"foam tape", Seam::taped},
                                                  {"bolted", Seam::bolted},          {"hinges", Seam::hinged},
                                                  {"loose", Seam::not_touching},     {"not touching", Seam::not_touching}};
    for (const auto& [text, seam] : cases) {
        CAPTURE(text);
        CHECK(builder::heard_seam(text) == seam);
    }
    CHECK_THROWS_AS(static_cast<void>(builder::heard_seam("by faith")), builder::NotUnderstood);
}
