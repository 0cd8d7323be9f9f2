#include "bakewright/cure/plausibility.hpp"

#include <doctest/doctest.h>

#include "bakewright/cure/judge.hpp"
#include "traces.hpp"

using namespace bakewright;
using namespace bakewright::cure;
using namespace bakewright::cure::test;

namespace {

/// A bake whose numbers are read as degrees Celsius, whatever they were.
TraceSet read_as_celsius(double start, double hold) {
    TraceSet set;
    set.traces = {trace_of({{0, start}, {30, hold}, {70, hold}, {90, start}}, "roof"),
                  trace_of({{0, start + 1}, {30, hold - 4}, {70, hold - 3}, {90, start}}, "sill")};
    return set;
}

/// The same read as degrees Fahrenheit.
TraceSet read_as_fahrenheit(double start, double hold) {
    TraceSet set = read_as_celsius(0, 0);
    const double numbers[2][4] = {{start, hold, hold, start}, {start, hold - 4, hold - 3, start}};
    for (std::size_t t = 0; t < 2; ++t)
        for (std::size_t i = 0; i < 4; ++i) set.traces[t].temperature_k[i] = fahrenheit_to_kelvin(numbers[t][i]);
    return set;
}

}  // namespace

TEST_CASE("numbers of a Fahrenheit log read as Celsius are asked about") {
    CHECK(likely_other_unit(read_as_celsius(68, 140)) == LikelyUnit::fahrenheit_read_as_celsius);
    CHECK(likely_other_unit(read_as_celsius(55, 130)) == LikelyUnit::fahrenheit_read_as_celsius);
    CHECK(likely_other_unit(read_as_celsius(95, 165)) == LikelyUnit::fahrenheit_read_as_celsius);
}

TEST_CASE("numbers of a Celsius log read as Fahrenheit are asked about") {
    CHECK(likely_other_unit(read_as_fahrenheit(20, 60)) == LikelyUnit::celsius_read_as_fahrenheit);
    CHECK(likely_other_unit(read_as_fahrenheit(8, 75)) == LikelyUnit::celsius_read_as_fahrenheit);
}

TEST_CASE("a plausible bake, a warm start, a cold booth and an oven of another trade are not asked about") {
    CHECK(!likely_other_unit(read_as_celsius(20, 60)));
    CHECK(!likely_other_unit(read_as_fahrenheit(68, 140)));
    CHECK(!likely_other_unit(read_as_celsius(45, 62)));   // goes on from a bake before
    CHECK(!likely_other_unit(read_as_celsius(20, 200)));  // plausible in neither unit
    CHECK(!likely_other_unit(read_as_celsius(18, 24)));   // the burner never came on: in Fahrenheit it would be frost
    CHECK(!likely_other_unit(TraceSet{}));
}

TEST_CASE("a verdict on such a log carries the question, and is not good while it stands") {
    const BakeVerdict asked = judge_bake(read_as_celsius(68, 140), one_row_clear(), {});
    REQUIRE(asked.questions.size() == 1);
    CHECK(asked.questions[0].find("Fahrenheit") != std::string::npos);
    CHECK(judge_bake(read_as_celsius(20, 65), one_row_clear(), {}).questions.empty());
}
