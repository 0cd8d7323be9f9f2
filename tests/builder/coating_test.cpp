// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/coating.hpp"

#include "builder_support.hpp"

using namespace bakewright;
using namespace builder_support;

namespace {

builder::Built built_of(builder::Answers answers) { return builder::build_coating("own", answers); }
double c(double temperature_k) { return temperature_k - 273.15; }

}  // namespace

TEST_CASE("a data sheet's lines make a coating, and stay as they were typed") {
    const builder::Built built = built_of({{"title", "our clear"},
                                           {"bakes", "30 min at 140F; 60 min at 120F"},
                                           {"basis", "object"},
                                           {"flash_off", "5 to 15 min"},
                                           {"never_above", "75 °C"},
                                           {"film", "50-60 um, 100-120 um"},
                                           {"heating_rate", "2 °C a minute"},
                                           {"recoat", "6 h to 3 days"},
                                           {"after", "1 h, -, 12 h"}});
    const cure::Coating& coating = built.coating;
    REQUIRE(coating.schedule.size() == 2);
    CHECK(is_near(c(coating.schedule[0].temperature_k), 48.889, 1e-3));  // coolest first
    CHECK(coating.schedule[0].minimum_s == 3600.0);
    CHECK(is_near(c(coating.schedule[1].temperature_k), 60.0, 1e-9));
    CHECK(coating.basis == cure::ScheduleBasis::part);
    CHECK(coating.flash_off_minimum_s == 300.0);
    CHECK(coating.flash_off_maximum_s == 900.0);
    CHECK(is_near(c(*coating.absolute_maximum_k), 75.0, 1e-9));
    CHECK(is_near(*coating.largest_heating_rate_k_per_s, 2.0 / 60.0, 1e-12));
    CHECK(coating.recoat_minimum_s == 21600.0);
    CHECK(coating.recoat_maximum_s == 3.0 * 86400.0);
    CHECK(coating.sandable_after_s == 3600.0);
    CHECK(!coating.tape_free_after_s);
    CHECK(coating.polish_after_s == 43200.0);
    CAPTURE(built.text);
    CHECK(built.text.find("{ temperature = \"140 degF\", minimum = \"30 min\" }") != std::string::npos);
    CHECK(problems_in(coating).empty());
}

TEST_CASE("rows are read in every order of words") {
    for (const char* text : {"35 min at 60 C", "35 min @ 60C", "60 °C: 35 min", "60 C for 35 min", "35 minutes at 60",
                             "at 60 deg C 35 min", "30-35 min at 60 C"}) {
        CAPTURE(text);
        const cure::Coating coating = built_of({{"bakes", text}}).coating;
        REQUIRE(coating.schedule.size() == 1);
        CHECK(is_near(c(coating.schedule[0].temperature_k), 60.0, 1e-9));
        CHECK(coating.schedule[0].minimum_s == 2100.0);
    }
}

TEST_CASE("what the sheet does not print stays open, and what contradicts itself is asked about") {
    const cure::Coating coating = built_of({{"bakes", "35 min at 60 C"}}).coating;
    CHECK(coating.basis == cure::ScheduleBasis::not_stated);
    CHECK(!coating.flash_off_minimum_s);
    CHECK(!coating.absolute_maximum_k);
    CHECK(!coating.recoat_minimum_s);
    const auto asks = [](builder::Answers answers, const char* about) {
        CAPTURE(about);
        CHECK_THROWS_WITH_AS(static_cast<void>(built_of(std::move(answers))), doctest::Contains(about),
                             builder::AnswerNotUnderstood);
    };
    asks({{"bakes", "60 min at 70 C; 30 min at 60 C"}}, "swapped");
    asks({{"bakes", "35 min at 60 C"}, {"never_above", "55 C"}}, "Which is right");
    asks({{"bakes", "35 min at 60 C"}, {"flash_off", "15 to 5 min"}}, "swapped");
    asks({{"bakes", "long enough"}}, "35 min at 60 C");
    asks({{"bakes", "35 min at 60 C"}, {"basis", "feelings"}}, "metal");
    CHECK_THROWS_AS(static_cast<void>(built_of({})), InputError);  // the bake line is needed
}

TEST_CASE("a sheet whose only row is cool has its floor there") {
    const builder::Built built = built_of({{"bakes", "2 h at 40 C"}});
    CHECK(is_near(c(built.coating.floor_k), 40.0, 1e-9));
    CHECK(problems_in(built.coating).empty());
}
