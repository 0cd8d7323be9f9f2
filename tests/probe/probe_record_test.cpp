// SPDX-License-Identifier: Apache-2.0
// Records of probes. All probes, certificates and logs are invented.
#include "bakewright/probe/probe_record.hpp"

#include <doctest/doctest.h>

#include "log_text.hpp"

using namespace probe_test;
using namespace bakewright::probe;
using bakewright::celsius_to_kelvin;
using bakewright::TraceRole;
using bakewright::TraceSet;
using bakewright::value_of_word;
using bakewright::word_of;

namespace {

ProbeRecord roof() {
    ProbeRecord probe;
    probe.channel = "Roof";
    probe.type = ThermocoupleType::t;
    probe.air_share = usual_air_share(Attachment::taped);
    probe.calibration = Calibration{{{celsius_to_kelvin(0.0), 0.2}, {celsius_to_kelvin(100.0), -0.4}}, 0.3, 2.0};
    probe.calibrated_on = "2026-03-02";
    probe.due_on = "2027-03-02";
    return probe;
}

/// Air and a roof or item that reads 50 °C in it, at three times: hotter air, equal, colder.
TraceSet bake_of(TraceRole role) {
    TraceSet traces;
    const auto k = [](double c) { return celsius_to_kelvin(c); };
    traces.traces.push_back({"Air", TraceRole::booth_air, {0, 10, 20}, {k(60), k(50), k(30)}, {}});
    traces.traces.push_back({"Roof", role, {0, 10, 20}, {k(50), k(50), k(50)}, {}});
    return traces;
}

std::string all(const std::vector<bakewright::Problem>& problems) {
    std::string text;
    for (const auto& problem : problems) text += problem.text() + "\n";
    return text;
}

}  // namespace

TEST_CASE("the usual air shares are those of a bead behind a gap of air") {
    // share = h s / (lambda + h s), h = 10 W/m2K, lambda = 0.026 W/mK (dry air near 300 K; from memory). Tolerance 0.005: they
    // are given to a hundredth.
    const auto share = [](double gap_m) { return 10.0 * gap_m / (0.026 + 10.0 * gap_m); };
    CHECK(std::abs(usual_air_share(Attachment::welded) - share(0.02e-3)) <= 0.005);
    CHECK(std::abs(usual_air_share(Attachment::taped) - share(0.1e-3)) <= 0.005);
    CHECK(std::abs(usual_air_share(Attachment::magnet) - share(0.5e-3)) <= 0.005);
    CHECK(usual_air_share(Attachment::in_air) == 0.0);
    for (const Attachment attachment : {Attachment::in_air, Attachment::embedded, Attachment::welded, Attachment::taped,
                                        Attachment::clipped, Attachment::magnet})
        CHECK(value_of_word<Attachment>(word_of(attachment)) == attachment);
}

TEST_CASE("a calibration corrects its channel, and says when it is overdue") {
    TraceSet traces = bake_of(TraceRole::zone);
    const ProbeUse use = apply_probes(traces, {"set", "set", {roof()}}, "2027-03-03T20:00:00");
    CHECK(std::abs(traces.traces[1].temperature_k[0] - celsius_to_kelvin(49.9)) <= 1e-9);  // halfway from 0.2 to -0.4 K
    CHECK(traces.traces[0].temperature_k[0] == celsius_to_kelvin(60.0));
    CHECK(use.corrected == std::vector<std::string>{"Roof"});
    REQUIRE(use.remarks.size() == 2);
    CHECK(contains(use.remarks[0], "was due again on 2027-03-02 and is overdue"));
    CHECK(contains(use.remarks[1], "channel 'Air' has no probe record"));
    traces = bake_of(TraceRole::zone);
    CHECK(apply_probes(traces, {"set", "set", {roof()}}, "2027-03-02").remarks.size() == 1);
    CHECK(contains(apply_probes(traces, {"set", "set", {roof()}}, "").remarks.at(0), "the log has no date"));
    traces.traces.pop_back();
    CHECK(contains(apply_probes(traces, {"set", "set", {roof()}}, "2026-11-24").remarks.at(0), "belongs to no channel"));
}

TEST_CASE("a surface probe is unsafe for the cure while the air is hotter, for an item while it is colder") {
    // Share 0.04: (50 - 0.04 * 60) / 0.96 = 49.5833 °C, (50 - 0.04 * 30) / 0.96 = 50.8333 °C.
    const ProbeSet set{"set", "set", {roof()}};
    const TraceSet zone = unsafe_readings(bake_of(TraceRole::zone), set), item = unsafe_readings(bake_of(TraceRole::item), set);
    const auto c = [](const TraceSet& traces, std::size_t i) {
        return traces.traces[1].temperature_k[i] - bakewright::kCelsiusZeroK;
    };
    CHECK(std::abs(c(zone, 0) - 49.583333) <= 1e-6);
    CHECK(std::abs(c(zone, 1) - 50.0) <= 1e-9);
    CHECK(std::abs(c(zone, 2) - 50.0) <= 1e-9);
    CHECK(std::abs(c(item, 0) - 50.0) <= 1e-9);
    CHECK(std::abs(c(item, 2) - 50.833333) <= 1e-6);
    TraceSet airless = bake_of(TraceRole::zone);
    airless.traces[0].role = TraceRole::unmapped;
    CHECK(std::abs(c(unsafe_readings(airless, set), 0) - 50.0) <= 1e-9);
}

TEST_CASE("the uncertainty is the calibration's, else the tolerance's") {
    ProbeRecord probe = roof();
    CHECK(std::abs(*probe.standard_uncertainty_k(celsius_to_kelvin(60.0)) - 0.15) <= 1e-12);
    probe.calibration.reset();
    CHECK_FALSE(probe.standard_uncertainty_k(celsius_to_kelvin(60.0)));
    probe.tolerance = ToleranceClass::iec_1;  // type T, class 1: 0.5 K (IEC 60584-1:2013)
    CHECK(std::abs(*probe.standard_uncertainty_k(celsius_to_kelvin(60.0)) - 0.5 / std::sqrt(3.0)) <= 1e-12);
}

TEST_CASE("mistakes in a record are told by key") {
    CHECK(problems_in({"set", "set", {roof()}}).empty());
    ProbeSet set{"set", "set", {roof(), roof(), ProbeRecord{}}};
    set.probes[0].air_share = 0.7;
    set.probes[0].calibration->points[1].correction_k = 40.0;
    set.probes[0].calibration->expanded_uncertainty_k = -1.0;
    set.probes[1].calibrated_on = "2026-02-30";
    set.probes[1].due_on = "2025-01-01";
    const std::string text = all(problems_in(set));
    for (const std::string_view part :
         {"probe[0].air_share", "probe[0].calibration.points[1].correction", "probe[0].calibration.uncertainty",
          "probe[1].channel", "probe[1].calibration.date", "probe[2].channel", "neither tolerance nor"})
        CHECK(contains(text, part));
    set = {"set", "set", {roof()}};
    set.probes[0].due_on = "2026-01-01";
    CHECK(contains(all(problems_in(set)), "before the calibration"));
    std::swap(set.probes[0].calibration->points[0], set.probes[0].calibration->points[1]);
    CHECK(contains(all(problems_in(set)), "have to rise"));
}
