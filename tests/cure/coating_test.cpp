// SPDX-License-Identifier: Apache-2.0
#include "bakewright/cure/coating.hpp"

#include <doctest/doctest.h>

#include <algorithm>

#include "traces.hpp"

using namespace bakewright;
using namespace bakewright::cure;
using namespace bakewright::cure::test;

namespace {

std::string only_key(const std::vector<Problem>& problems) {
    REQUIRE(problems.size() == 1);
    CHECK(problems.front().message.find("accepted") != std::string::npos);
    return problems.front().key;
}

}  // namespace

TEST_CASE("a coating as a sheet prints it has no problems") {
    CHECK(problems_in(one_row_clear()).empty());
    CHECK(problems_in(two_row_clear()).empty());
}

TEST_CASE("a coating without a schedule is refused") {
    Coating coating = one_row_clear();
    coating.schedule.clear();
    CHECK(only_key(problems_in(coating)) == "schedule");
}

TEST_CASE("negative, zero and endless minutes are refused where they stand") {
    for (const double minutes : {-5.0, 0.0, 1e9, kMissing}) {
        CAPTURE(minutes);
        Coating coating = one_row_clear();
        coating.schedule[0].minimum_s = min(minutes);
        CHECK(only_key(problems_in(coating)) == "schedule[0].minimum");
    }
}

TEST_CASE("rows out of order are refused") {
    Coating coating = two_row_clear();
    std::swap(coating.schedule[0], coating.schedule[1]);
    const std::vector<Problem> problems = problems_in(coating);
    REQUIRE(!problems.empty());
    CHECK(problems.front().key == "schedule[1].temperature");
}

TEST_CASE("rows that contradict each other are refused: a hotter one cannot need longer") {
    Coating coating = one_row_clear();
    coating.schedule.push_back({c(80.0), min(40.0), {}});
    const std::vector<Problem> problems = problems_in(coating);
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].key == "schedule[1].minimum");
    CHECK(problems[0].message.find("contradict") != std::string::npos);
    CHECK(problems[0].message.find("40.0 min at 80.0 °C") != std::string::npos);
}

TEST_CASE("a hotter row cannot allow longer than a colder one") {
    Coating coating = two_row_clear();
    coating.schedule[1].maximum_s = min(120.0);
    const std::vector<Problem> problems = problems_in(coating);
    REQUIRE(problems.size() == 1);
    CHECK(problems[0].key == "schedule[1].maximum");
}

TEST_CASE("a maximum at or under its minimum is refused") {
    Coating coating = one_row_clear();
    coating.schedule[0].maximum_s = min(30.0);
    CHECK(only_key(problems_in(coating)) == "schedule[0].maximum");
}

TEST_CASE("a floor above every row is refused, one between the rows is not") {
    Coating coating = one_row_clear();
    coating.schedule.insert(coating.schedule.begin(), {c(20.0), min(900.0), {}});
    CHECK(problems_in(coating).empty());
    coating.floor_k = c(61.0);
    CHECK(only_key(problems_in(coating)) == "floor");
}

TEST_CASE("an absolute maximum under the schedule is refused") {
    Coating coating = two_row_clear();
    coating.absolute_maximum_k = c(75.0);
    CHECK(only_key(problems_in(coating)) == "absolute_maximum");
}

TEST_CASE("flash-off, heating rate and activation energy are held to their ranges") {
    Coating coating = one_row_clear();
    coating.flash_off_minimum_s = -1.0;
    CHECK(only_key(problems_in(coating)) == "flash_off_minimum");
    coating = one_row_clear();
    coating.flash_off_minimum_s = min(10.0);
    coating.flash_off_maximum_s = min(5.0);
    CHECK(only_key(problems_in(coating)) == "flash_off_maximum");
    coating = one_row_clear();
    coating.largest_heating_rate_k_per_s = 0.0;
    CHECK(only_key(problems_in(coating)) == "largest_heating_rate");
    coating = one_row_clear();
    coating.activation_energy = ActivationEnergy{60e3, 50e3, 70e3};
    CHECK(only_key(problems_in(coating)) == "activation_energy");
    coating.activation_energy = ActivationEnergy{30.0, 55.0, 75.0};  // kJ/mol typed as J/mol
    CHECK(only_key(problems_in(coating)) == "activation_energy");
}

TEST_CASE("the maker's word on curing below the sheet is a temperature between floor and coolest row, and has a source") {
    Coating coating = one_row_clear();
    coating.sources["cured_below_the_sheet_from"] = "letter of the maker";
    const auto key_from = [&](double from_c) {
        coating.cured_below_the_sheet_from_k = c(from_c);
        const std::vector<Problem> found = problems_in(coating);
        return found.empty() ? std::string() : only_key(found);
    };
    CHECK(key_from(50.0).empty());
    CHECK(key_from(45.0).empty());
    CHECK(key_from(44.0) == "cured_below_the_sheet_from");
    CHECK(key_from(60.0) == "cured_below_the_sheet_from");
    coating.sources.clear();
    CHECK(key_from(50.0) == "cured_below_the_sheet_from");
}

TEST_CASE("the sheet's times after a bake are 0 or more") {
    Coating coating = one_row_clear();
    coating.sandable_after_s = 0.0;
    coating.tape_free_after_s = min(60.0);
    coating.polish_after_s = min(240.0);
    CHECK(problems_in(coating).empty());
    coating.polish_after_s = -1.0;
    CHECK(only_key(problems_in(coating)) == "polish_after");
}

TEST_CASE("an item that is warned of and never forbidden anything is refused") {
    HeatSensitiveItem item{"seat", "seat", {{c(50.0), 0.0, ExposureScope::bake, LimitKind::warn}}, {}};
    CHECK(only_key(problems_in(item, "item[0]")) == "item[0].limits");
    item.limits.push_back({c(70.0), 0.0});
    CHECK(problems_in(item, "item[0]").empty());
}

TEST_CASE("all problems of a coating are told at once") {
    Coating coating = two_row_clear();
    coating.schedule[0].temperature_k = 60.0;  // degC left unconverted
    coating.flash_off_minimum_s = -1.0;
    coating.largest_heating_rate_k_per_s = -0.1;
    CHECK(problems_in(coating).size() == 3);
}

TEST_CASE("an item limit below room temperature, a negative allowance and an item without limits are refused") {
    HeatSensitiveItem item{"battery", "battery", {}, {}};
    CHECK(only_key(problems_in(item, "item[2]")) == "item[2].limits");
    item.limits = {{c(15.0), 0.0, ExposureScope::bake}};
    CHECK(only_key(problems_in(item, "item[2]")) == "item[2].limits[0].temperature");
    item.limits = {{c(50.0), -60.0, ExposureScope::bake}};
    CHECK(only_key(problems_in(item, "")) == "limits[0].allowed");
    item.limits = {{c(50.0), 0.0, ExposureScope::bake}, {c(40.0), min(60.0), ExposureScope::lifetime}};
    CHECK(problems_in(item, "item[2]").empty());
}

TEST_CASE("a recoat window that closes before it opens, and a rate law that starts nothing, are named by their keys") {
    Coating coating = one_row_clear();
    coating.recoat_minimum_s = min(240);
    coating.recoat_maximum_s = min(120);
    coating.kinetics = Kinetics{};
    std::string keys;
    for (const Problem& problem : problems_in(coating)) keys += problem.key + " ";
    CHECK(keys == "recoat_maximum kinetics kinetics.start_conversion ");
    coating.recoat_minimum_s = -1.0;
    coating.recoat_maximum_s = min(7 * 24 * 60);
    coating.kinetics.reset();
    REQUIRE(problems_in(coating).size() == 1);
    CHECK(problems_in(coating)[0].key == "recoat_minimum");
}
