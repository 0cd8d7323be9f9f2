#include "bakewright/plan/margins.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "bakewright/base/units.hpp"
#include "bakewright/cure/judge.hpp"

using namespace bakewright;
using namespace bakewright::plan;

// All traces, sheets and limits here are invented; the closed forms are those of straight lines.

namespace {

/// Up from 20 to 66 degC at 1 K/min, 30 min there, down again at 1 K/min: at or above a level L for 30 + 2 (66 - L) minutes.
Trace trapezium(const std::string& name, TraceRole role) {
    return {name, role, {0.0, 2760.0, 4560.0, 7320.0}, {293.15, 339.15, 339.15, 293.15}, {}};
}

TraceSet one_zone() {
    TraceSet set;
    set.traces = {trapezium("skin", TraceRole::zone), trapezium("battery", TraceRole::item)};
    return set;
}

cure::Coating sheet(double temperature_c, double minimum_min) {
    cure::Coating coating;
    coating.id = "clear";
    coating.basis = cure::ScheduleBasis::part;
    coating.schedule = {{celsius_to_kelvin(temperature_c), minutes_to_seconds(minimum_min), {}}};
    return coating;
}

cure::HeatSensitiveItem battery(double limit_c, double allowed_min) {
    cure::HeatSensitiveItem item;
    item.name = "battery";
    item.limits = {{celsius_to_kelvin(limit_c), minutes_to_seconds(allowed_min), cure::ExposureScope::bake}};
    return item;
}

Trace shifted(Trace trace, double by_k) {
    for (double& temperature_k : trace.temperature_k) temperature_k += by_k;
    return trace;
}

constexpr double kErrorK = 0.011;  // of a margin, and rounding

}  // namespace

TEST_CASE("the cure margin is how far a trace can sink and still stay long enough") {
    // 30 min: the plateau alone, 6 K over 60 degC. 34 min: 64 degC is kept so long. 40 min at 66: 61 is kept, 5 K are lacking.
    const TraceSet traces = one_zone();
    const auto cure_k = [&](const cure::Coating& coating) { return margins(traces, coating, {}, {"skin"}).zones.front().cure_k; };
    CHECK(std::abs(cure_k(sheet(60.0, 30.0)) - 6.0) <= kErrorK);
    CHECK(std::abs(cure_k(sheet(60.0, 34.0)) - 4.0) <= kErrorK);
    CHECK(std::abs(cure_k(sheet(66.0, 40.0)) + 5.0) <= kErrorK);
}

TEST_CASE("an item's margin is how far its trace can rise before a limit is passed") {
    // Above 64 degC for 34 min, 40 allowed: 3 K hotter makes it 40. Never 70: the peak of 66 leaves 4.
    const TraceSet traces = one_zone();
    const auto spare_k = [&](const cure::HeatSensitiveItem& item) {
        return margins(traces, sheet(60.0, 30.0), {item}, {"skin"}).items.front().spare_k;
    };
    CHECK(std::abs(spare_k(battery(64.0, 40.0)) - 3.0) <= kErrorK);
    CHECK(std::abs(spare_k(battery(70.0, 0.0)) - 4.0) <= kErrorK);
    CHECK(std::abs(spare_k(battery(64.0, 30.0)) + 2.0) <= kErrorK);
}

TEST_CASE("a trace shifted by a little less than its margin keeps its verdict, by a little more it does not") {
    cure::Coating coating = sheet(64.0, 60.0);
    coating.schedule.front().maximum_s = minutes_to_seconds(90.0);
    coating.schedule.front().minimum_s = minutes_to_seconds(28.0);
    coating.absolute_maximum_k = celsius_to_kelvin(90.0);
    const TraceSet traces = one_zone();
    const ZoneMargin margin = margins(traces, coating, {}, {"skin"}).zones.front();
    const auto word = [&](double by_k) { return cure::judge_zone(shifted(traces.traces.front(), by_k), coating).word; };
    CHECK(word(-margin.cure_k + 0.02) == cure::Word::good);
    CHECK(word(-margin.cure_k - 0.02) != cure::Word::good);
    REQUIRE(margin.too_much_k.has_value());
    CHECK(word(*margin.too_much_k - 0.02) == cure::Word::good);
    CHECK(word(*margin.too_much_k + 0.02) != cure::Word::good);
}

TEST_CASE("the smallest margin is named, and nothing asked leaves the widest") {
    Margins some;
    some.zones = {{"roof", 4.0, 9.0}, {"rocker", 1.5, {}}};
    some.items = {{"battery", 2.0}};
    CHECK(some.smallest_k() == 1.5);
    CHECK(some.smallest_of() == "rocker");
    some.items.front().spare_k = -1.0;
    CHECK(some.smallest_of() == "battery");
    CHECK(Margins{}.smallest_k() == kWidestMarginK);
    CHECK(Margins{}.smallest_of().empty());
}
