// SPDX-License-Identifier: Apache-2.0
#include "bakewright/base/fields.hpp"

#include <doctest/doctest.h>

#include <array>

#include "bakewright/base/field_list.hpp"

using namespace bakewright;

namespace {

enum class Wood { oak, ash };
constexpr std::array<std::string_view, 2> words_of(Wood) noexcept { return {"oak", "ash"}; }

struct Leg {
    double height_m = 0.7;
};
void visit_fields(Leg& leg, Fields& see) {
    see({.key = "height", .unit = unit::m, .range = {0.1, 2.0}, .need = Need::required, .what = "length"}, leg.height_m);
}

/// A record with one of everything.
struct Table {
    double area_m2 = 1.5;
    std::optional<double> warm_k;
    Wood wood = Wood::ash;
    bool folds = false;
    std::optional<Spread> load_w_per_k;
    std::vector<Leg> legs;
    double drawer_m3 = 0.0;
};
void visit_fields(Table& table, Fields& see) {
    see({.key = "area", .unit = unit::m2, .range = {0.0, 4.0, true}, .source = "invented"}, table.area_m2);
    see({.key = "warm", .unit = unit::deg_c, .range = {20.0, 80.0}}, table.warm_k);
    see({.key = "wood"}, table.wood);
    see.mark({.key = "folds"}, table.folds);
    see.spread({.key = "load", .unit = unit::w_per_k, .range = {0.0, 10.0, true}}, table.load_w_per_k);
    see.list({.key = "legs"}, table.legs);
    see.table({.key = "drawer"}, [&] { see({.key = "size", .range = {0.0, 1.0, false, true}}, table.drawer_m3); });
}

std::string told(const Table& table) {
    std::string text;
    for (const Problem& problem : problems_in_fields(table)) text += problem.text() + "\n";
    return text;
}

}  // namespace

TEST_CASE("a range is told in the unit of its field, with its ends as they are accepted") {
    CHECK(accepted_text({0.01, 1e5}, unit::m3) == "0.01 to 100000 m3");
    CHECK(accepted_text({0.0, 60.0, true}, unit::d) == "more than 0, up to 60 d");
    CHECK(accepted_text({1.0 / 3600.0, 48.0}, unit::h) ==
          "1 s to 48 h");  // a bound that nobody could read is told in another unit
    CHECK(accepted_text({0.0, 1.0, false, true}, unit::none) == "0 to below 1");
    CHECK(accepted_text({0.0, 1.0, true, true}, unit::none) == "more than 0, below 1");
    CHECK(accepted_text({.least = 3.0}, unit::k) == "3 K or more");
    CHECK(accepted_text({.most = 3.0}, unit::none) == "up to 3");
    CHECK(accepted_text({}, unit::k) == "any finite number");
    CHECK(unit::deg_c.text(293.15) == "20 degC");
}

TEST_CASE("numbers out of their range are found by path, also in lists and tables") {
    Table table;
    table.legs.resize(2);
    CHECK(told(table).empty());
    table.area_m2 = 0.0;
    table.warm_k = celsius_to_kelvin(90.0);
    table.load_w_per_k = Spread{3.0, 2.0, 4.0};
    table.legs[1].height_m = 3.0;
    table.drawer_m3 = 1.0;
    CHECK(told(table) ==
          "area: is 0 m2, accepted is more than 0, up to 4 m2\n"
          "warm: is 90 degC, accepted is 20 to 80 degC\n"
          "load: is 3, 2, 4 W/K, accepted is low, value and high in rising order, more than 0, up to 10 W/K\n"
          "legs[1].height: is 3 m, accepted is 0.1 to 2 m\n"
          "drawer.size: is 1, accepted is 0 to below 1\n");
}

TEST_CASE("the ends of a range are accepted as they are written, and nothing that is no number is") {
    Table table;
    for (const double end_c : {20.0, 80.0}) {
        table.warm_k = celsius_to_kelvin(end_c);
        CHECK(told(table).empty());
    }
    table.warm_k = std::numeric_limits<double>::quiet_NaN();
    CHECK(told(table).find("warm: is nan degC") == 0);
    table.warm_k.reset();
    table.area_m2 = std::numeric_limits<double>::infinity();
    CHECK(told(table).find("area: is inf m2") == 0);
}

TEST_CASE("rules across fields can ask whether what they build on is fine") {
    Table table;
    table.legs.resize(1);
    table.legs[0].height_m = -1.0;
    FieldCheck check("room");
    check.check(table);
    CHECK_FALSE(check.is_fine("legs"));
    CHECK_FALSE(check.is_fine("legs[0].height"));
    CHECK(check.is_fine("leg"));
    CHECK(check.is_fine("area"));
    CHECK(check.take().front().key == "room.legs[0].height");
}

TEST_CASE("a list of fields tells path, words and what counts where a key is missing") {
    const std::vector<FieldFacts> facts = list_fields<Table>();
    std::string text;
    for (const FieldFacts& one : facts) text += one.path + " (" + one.missing + ") ";
    CHECK(text == "area (1.5 m2) warm () wood (\"ash\") folds () load () legs () legs[].height () drawer () drawer.size (0) ");
    CHECK(facts[2].words == std::vector<std::string_view>{"oak", "ash"});
    CHECK(list_fields<Table>({}, false).size() == 7);
}

TEST_CASE("a word is the value's in its enumeration, in any case of letters") {
    CHECK(word_of(Wood::ash) == "ash");
    CHECK(value_of_word<Wood>("Oak") == Wood::oak);
    CHECK_FALSE(value_of_word<Wood>("oa"));
    CHECK_FALSE(value_of_word<Wood>(""));
}
