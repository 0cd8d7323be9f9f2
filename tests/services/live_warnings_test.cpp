// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/live_warnings.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>

#include "bakewright/base/units.hpp"

using namespace bakewright;
using report::LiveWarning;
using Kind = report::LiveWarningKind;

namespace {

/// A bake at its 60th minute in which nothing is wrong; what a case needs is changed.
struct Calm {
    report::LiveState state;
    TraceSet log, likeliest;
    cure::Coating coating;
    std::vector<tune::ChannelFinding> channels;
    std::vector<tune::PhaseSpan> phases{{bake::StageKind::hold, 2400.0, 3600.0, {}}};
    std::optional<double> heat_due_s = 900.0, high_limit_k = celsius_to_kelvin(90.0);

    Calm() {
        state.now_s = 3600.0;
        state.is_known = true;
        state.phase = bake::StageKind::hold;
        state.setpoint_k = celsius_to_kelvin(65.0);
        state.cycle_off_s = 6000.0;
        report::LivePlace roof;
        roof.name = "roof";
        roof.is_coated = true;
        roof.now_k = {celsius_to_kelvin(59.0), celsius_to_kelvin(60.0), celsius_to_kelvin(61.0)};
        roof.good = {5400.0, 5700.0, 5900.0};
        state.places.push_back(roof);
        state.off_now = report::LiveChoice{3600.0, 0.01, cure::Word::under, {}, "roof"};
        log.traces.push_back(flat("booth air", TraceRole::booth_air, 65.0));
        log.traces.push_back(flat("roof", TraceRole::zone, 60.0));
        likeliest = log;
        coating.schedule = {{celsius_to_kelvin(60.0), 1800.0, {}}};
    }
    static Trace flat(const char* name, TraceRole role, double celsius) {
        Trace trace{name, role, {}, {}, {}};
        for (double time_s = 0.0; time_s <= 3600.0; time_s += 10.0) {
            trace.time_s.push_back(time_s);
            trace.temperature_k.push_back(celsius_to_kelvin(celsius));
        }
        return trace;
    }
    [[nodiscard]] std::vector<LiveWarning> standing() const {
        return services::standing_warnings(
            {state, log, coating, likeliest, channels, phases, heat_due_s, high_limit_k, celsius_to_kelvin(20.0)});
    }
};

std::size_t count_of(const std::vector<LiveWarning>& warnings, Kind kind) {
    return static_cast<std::size_t>(
        std::count_if(warnings.begin(), warnings.end(), [&](const LiveWarning& one) { return one.kind == kind; }));
}

LiveWarning warning_of(Kind kind, std::string subject = {}) { return {kind, std::move(subject), 0.0, {}, "it is so", "do that"}; }

}  // namespace

TEST_CASE("a bake in which nothing is wrong has no warning") { CHECK(Calm().standing().empty()); }

TEST_CASE("a limit is warned of when it may be passed within fifteen minutes, and is the most urgent") {
    Calm calm;
    calm.state.places.front().limit = report::LiveLimit{"67 °C", celsius_to_kelvin(67.0), 0.3, 3600.0 + 901.0, {}};
    CHECK(count_of(calm.standing(), Kind::limit_near) == 0);
    calm.state.places.front().limit->earliest_s = 3600.0 + 240.0;
    calm.state.places.front().good.median_s = 7000.0;  // behind as well
    const auto warnings = calm.standing();
    REQUIRE(warnings.size() == 2);
    CHECK(warnings.front().kind == Kind::limit_near);
    CHECK(warnings.front().says.text() == "roof may pass its limit of 67 °C in 4 min");
    CHECK(warnings.back().kind == Kind::zone_behind);
}

TEST_CASE("a probe is lost after a minute without a reading while others read") {
    Calm calm;
    Trace& roof = calm.log.traces.back();
    while (roof.time_s.back() > 3600.0 - 50.0) roof.time_s.pop_back(), roof.temperature_k.pop_back();
    CHECK(count_of(calm.standing(), Kind::probe_fault) == 0);
    while (roof.time_s.back() > 3600.0 - 120.0) roof.time_s.pop_back(), roof.temperature_k.pop_back();
    REQUIRE(count_of(calm.standing(), Kind::probe_fault) == 1);
    CHECK(calm.standing().front().subject == "roof");
    Calm jumped;
    tune::ChannelFinding finding{.bake = "b", .channel = "roof"};
    finding.fault = tune::ProbeFault{tune::ProbeFault::Kind::step, 3000.0, 5.0, {}, 8.0};
    jumped.channels.push_back(finding);
    CHECK(count_of(jumped.standing(), Kind::probe_fault) == 1);
}

TEST_CASE("the booth is off its cycle where heat is late, a ramp stands still, the hold strays or the high limit is near") {
    Calm late;
    late.phases = {{bake::StageKind::purge, 0.0, 3600.0, {}}};
    late.state.phase = bake::StageKind::purge;
    late.heat_due_s = 3600.0 - 170.0;
    CHECK(count_of(late.standing(), Kind::off_cycle) == 0);
    late.heat_due_s = 3600.0 - 190.0;
    CHECK(count_of(late.standing(), Kind::off_cycle) == 1);

    Calm stuck;
    stuck.phases = {{bake::StageKind::ramp, 2000.0, 3600.0, {}}};
    stuck.state.phase = bake::StageKind::ramp;
    stuck.state.setpoint_k = celsius_to_kelvin(70.0);  // the air stands at 65
    CHECK(count_of(stuck.standing(), Kind::off_cycle) == 1);
    stuck.state.setpoint_k = celsius_to_kelvin(68.0);
    CHECK(count_of(stuck.standing(), Kind::off_cycle) == 0);

    Calm strayed;
    strayed.state.setpoint_k = celsius_to_kelvin(60.0);
    CHECK(count_of(strayed.standing(), Kind::off_cycle) == 1);

    Calm hot;
    hot.high_limit_k = celsius_to_kelvin(67.0);
    REQUIRE(count_of(hot.standing(), Kind::off_cycle) == 1);
    CHECK(hot.standing().front().subject == "high limit");
}

TEST_CASE("a face that heats faster than the sheet allows is warned of until the film has closed") {
    Calm fast;
    fast.coating.largest_heating_rate_k_per_s = 2.0 / 60.0;
    Trace& roof = fast.likeliest.traces.back();
    for (std::size_t i = 0; i < roof.size(); ++i)
        roof.temperature_k[i] = celsius_to_kelvin(50.0) - (3600.0 - roof.time_s[i]) * 3.0 / 60.0;
    REQUIRE(count_of(fast.standing(), Kind::heating_too_fast) == 1);
    CHECK(fast.standing().front().says.text() == "roof heats at 3.0 K/min, the sheet allows 2.0 K/min");
    for (double& kelvin : roof.temperature_k) kelvin += 15.0;
    CHECK(count_of(fast.standing(), Kind::heating_too_fast) == 0);
}

TEST_CASE("heat can go off where the word of it is GOOD; cool is said only when all is cool") {
    Calm calm;
    calm.state.off_now = report::LiveChoice{3600.0, 0.951, cure::Word::good, {}, "roof"};
    CHECK(count_of(calm.standing(), Kind::heat_can_go_off) == 1);
    calm.state.off_now->word = cure::Word::check;  // 95 % of what is known, and something is not
    CHECK(count_of(calm.standing(), Kind::heat_can_go_off) == 0);
    Calm cooling;
    cooling.state.phase = bake::StageKind::cool;
    cooling.phases.back().kind = bake::StageKind::cool;
    CHECK(count_of(cooling.standing(), Kind::cool) == 0);
    cooling.state.places.front().now_k = {310.0, 311.0, celsius_to_kelvin(39.9)};
    CHECK(count_of(cooling.standing(), Kind::cool) == 1);
    cooling.state.places.front().now_k.high = celsius_to_kelvin(40.1);
    CHECK(count_of(cooling.standing(), Kind::cool) == 0);
}

TEST_CASE("a warning is raised once, stands, and is cleared when it has not stood for two updates") {
    services::WarningBoard board;
    const auto first = board.take({warning_of(Kind::zone_behind, "roof"), warning_of(Kind::off_cycle)}, 60.0);
    REQUIRE(first.size() == 2);
    CHECK(first.front().since_s == 60.0);
    CHECK(board.take({warning_of(Kind::off_cycle), warning_of(Kind::zone_behind, "roof")}, 120.0).empty());
    REQUIRE(board.standing().size() == 2);
    CHECK(board.standing().front().kind == Kind::off_cycle);  // the more urgent first
    CHECK(board.take({warning_of(Kind::off_cycle)}, 180.0).empty());
    // It stands again: no second time is told.
    CHECK(board.take({warning_of(Kind::off_cycle), warning_of(Kind::zone_behind, "roof")}, 240.0).empty());
    CHECK(board.take({warning_of(Kind::off_cycle)}, 300.0).empty());
    const auto over = board.take({warning_of(Kind::off_cycle)}, 360.0);
    REQUIRE(over.size() == 1);
    CHECK(over.front().subject == "roof");
    CHECK(over.front().since_s == 60.0);
    CHECK(over.front().cleared_s == 360.0);
    CHECK(board.standing().size() == 1);
    // Of another zone it is another warning.
    CHECK(board.take({warning_of(Kind::off_cycle), warning_of(Kind::zone_behind, "sill")}, 420.0).size() == 1);
}

TEST_CASE("what is said to people has titles and their degrees; programs read names and °C") {
    report::LiveState state;
    LiveWarning warning;
    warning.says = Phrase::place("roof").add(" may pass its limit of 67 °C in 4 min");
    state.warnings.push_back(warning);
    state.remarks.push_back(Phrase("CHECK: nobody has said how hot ").add_place("roof").add(" may get"));
    const report::Json words = report::live_words(state, {{"roof", "roof skin"}}, *units_from_name("us"));
    CHECK(words.at("warnings").at(0).at("says") == "roof skin may pass its limit of 153 °F in 4 min");
    CHECK(words.at("remarks").at(0) == "CHECK: nobody has said how hot roof skin may get");
    CHECK(report::live_document(state).at("warnings").at(0).at("says") == "roof may pass its limit of 67 °C in 4 min");
}

TEST_CASE("a minute for heat off that leaves something unknown says CHECK in its first word") {
    report::LiveState state;
    state.is_known = true;
    state.phase = bake::StageKind::hold;
    state.now_s = 3600.0;
    state.heat_off = report::LiveChoice{4200.0, 0.96, cure::Word::good, {}, "roof"};
    CHECK(report::live_screen(state, {}).starts_with("HEAT OFF IN 10 min"));
    state.heat_off->word = cure::Word::check;
    CHECK(report::live_screen(state, {}).starts_with("CHECK: HEAT OFF IN 10 min"));
}
