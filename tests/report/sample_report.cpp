// SPDX-License-Identifier: Apache-2.0
#include "report/sample_report.hpp"

#include <cmath>
#include <limits>

#include "bakewright/cure/reason.hpp"

namespace sample {
namespace {

using namespace bakewright;

struct Part {
    const char* name;
    TraceRole role;
    double plateau_c;
    double time_constant_s;
};

// Invented, in the range of a heated booth.
constexpr Part kParts[] = {
    {"booth air", TraceRole::booth_air, 64.0, 300.0},     {"booth wall", TraceRole::booth_wall, 58.0, 420.0},
    {"roof skin", TraceRole::zone, 61.0, 560.0},          {"left upper side", TraceRole::zone, 60.4, 620.0},
    {"right upper side", TraceRole::zone, 60.2, 640.0},   {"left lower side", TraceRole::zone, 58.8, 700.0},
    {"right lower side", TraceRole::zone, 58.6, 720.0},   {"front cap", TraceRole::zone, 60.0, 900.0},
    {"rear cap", TraceRole::zone, 59.6, 950.0},           {"left sill", TraceRole::zone, 56.0, 1900.0},
    {"wheel arch panels", TraceRole::zone, 57.0, 1100.0}, {"test panel", TraceRole::test_panel, 62.4, 210.0},
    {"saloon air", TraceRole::cavity_air, 47.0, 3000.0},  {"reading-corner seats", TraceRole::item, 45.0, 3600.0},
};

cure::ZoneVerdict zone(const char* name, cure::Word word, double low_min, double high_min, double stay_min, double peak_c) {
    const cure::ScheduleRow row{.temperature_k = celsius_to_kelvin(60.0), .minimum_s = 35.0 * 60.0, .maximum_s = {}};
    cure::ZoneVerdict verdict;
    verdict.zone = name;
    verdict.word = word;
    if (word == cure::Word::not_judged) verdict.why_not = cure::NotJudged::no_trace;
    verdict.rows = {{.row = row,
                     .longest_stay_s = stay_min * 60.0,
                     .total_s = stay_min * 60.0,
                     .missing_s = std::max(0.0, 35.0 - stay_min) * 60.0}};
    verdict.equivalent_time_s = {.at_low = high_min * 60.0, .at_value = 30.0 * (low_min + high_min), .at_high = low_min * 60.0};
    verdict.dose = {.at_low = high_min / 35.0, .at_value = (low_min + high_min) / 70.0, .at_high = low_min / 35.0};
    verdict.reference_temperature_k = row.temperature_k;
    verdict.reference_minimum_s = row.minimum_s;
    verdict.peak_temperature_k = celsius_to_kelvin(peak_c);
    verdict.peak_at_s = 5400.0;
    verdict.steepest_rate_k_per_s = 3.1 / 60.0;
    verdict.reason = cure::reason_text(verdict, {});
    return verdict;
}

cure::ItemVerdict seats() {
    cure::ItemVerdict item;
    item.item = "reading-corner seats";
    item.word = cure::Word::check;
    item.margin_k = 3.0;
    item.limits = {
        {.limit = {.temperature_k = celsius_to_kelvin(50.0), .allowed_s = 0.0, .scope = cure::ExposureScope::bake}, .near = true},
        {.limit = {.temperature_k = celsius_to_kelvin(40.0), .allowed_s = 7200.0, .scope = cure::ExposureScope::lifetime},
         .exposed_s = 1080.0}};
    item.peak_temperature_k = celsius_to_kelvin(47.3);
    item.peak_at_s = 5400.0;
    item.reason = cure::reason_text(item, {});
    return item;
}

cure::HeatSensitiveItem seats_with_limits() {
    cure::HeatSensitiveItem item{.name = "reading-corner seats", .title = {}, .limits = {}, .sources = {}};
    for (const cure::LimitReading& reading : seats().limits) item.limits.push_back(reading.limit);
    return item;
}

}  // namespace

Trace rising_trace(const std::string& name, TraceRole role, double plateau_c, double time_constant_s, double interval_s,
                   double end_s) {
    Trace trace{.name = name, .role = role, .time_s = {}, .temperature_k = {}, .quality = {}};
    for (int i = 0; i * interval_s <= end_s; ++i) {
        trace.time_s.push_back(i * interval_s);
        trace.temperature_k.push_back(
            celsius_to_kelvin(plateau_c - (plateau_c - 20.0) * std::exp(-i * interval_s / time_constant_s)));
    }
    return trace;
}

TraceSet predicted() {
    TraceSet set;
    for (const Part& part : kParts)
        set.traces.push_back(rising_trace(part.name, part.role, part.plateau_c, part.time_constant_s));
    return set;
}

TraceSet logged() {
    TraceSet set;
    set.started_at = "2026-03-04T16:20:00";
    for (const Part& part : kParts) {
        if (part.role == TraceRole::booth_wall || part.role == TraceRole::cavity_air) continue;
        Trace trace = rising_trace(part.name, part.role, part.plateau_c - 1.2, part.time_constant_s * 1.12, 7.0);
        for (std::size_t i = 0; i < trace.size(); ++i) trace.temperature_k[i] += 0.25 * std::sin(0.05 * trace.time_s[i]);
        set.traces.push_back(std::move(trace));
    }
    Trace& roof = set.traces[1];
    for (std::size_t i = 300; i < 330; ++i) roof.temperature_k[i] = std::numeric_limits<double>::quiet_NaN();
    set.traces[2].quality.assign(set.traces[2].size(), SampleQuality::good);
    set.traces[2].quality[100] = SampleQuality::spike;
    set.traces[2].temperature_k[100] += 80.0;
    return set;
}

std::vector<bake::ResolvedStage> stages() {
    const auto k = [](double c) { return celsius_to_kelvin(c); };
    return {{.kind = bake::StageKind::flash_off, .begin_s = 0.0, .end_s = 600.0, .begin_k = k(20), .end_k = k(20), .index = 0},
            {.kind = bake::StageKind::ramp, .begin_s = 600.0, .end_s = 1800.0, .begin_k = k(20), .end_k = k(65), .index = 1},
            {.kind = bake::StageKind::hold, .begin_s = 1800.0, .end_s = 4500.0, .begin_k = k(65), .end_k = k(65), .index = 2},
            {.kind = bake::StageKind::cool, .begin_s = 4500.0, .end_s = 5400.0, .begin_k = k(65), .end_k = k(30), .index = 3}};
}

cure::Coating coating() {
    cure::Coating clear;
    clear.id = "clear_two_component";
    clear.title = "Two-component clear, high solids";
    clear.basis = cure::ScheduleBasis::part;
    clear.schedule = {{.temperature_k = celsius_to_kelvin(60.0), .minimum_s = 2100.0, .maximum_s = {}}};
    clear.absolute_maximum_k = celsius_to_kelvin(70.0);
    return clear;
}

cure::BakeVerdict verdict() {
    cure::BakeVerdict verdict;
    verdict.coating_title = "Two-component clear, high solids";
    verdict.basis = cure::ScheduleBasis::part;
    verdict.activation_energy_origin = "default band";
    verdict.zones = {zone("roof skin", cure::Word::good, 44, 52, 41, 61.0), zone("left sill", cure::Word::under, 11, 19, 0, 55.4),
                     zone("front cap", cure::Word::check, 33, 38, 31, 60.3), zone("door", cure::Word::not_judged, 0, 0, 0, 0.0)};
    verdict.items = {seats()};
    verdict.warnings = {{.kind = cure::HeatWarningKind::heated_too_fast,
                         .where = "roof skin",
                         .at_s = 660.0,
                         .found = 4.1 / 60.0,
                         .accepted = 2.0 / 60.0,
                         .reason = {}}};
    verdict.remarks = {"earlier coats are baked again; their share is not in these numbers"};
    return verdict;
}

tune::Comparison comparison() {
    tune::Comparison comparison;
    tune::ChannelComparison sill;
    sill.predicted = sill.logged = "left sill";
    sill.role = TraceRole::zone;
    sill.to_s = 5400.0;
    sill.samples = 772;
    sill.bias_k = 2.31;
    sill.rms_k = 2.64;
    sill.largest_k = 3.9;
    sill.largest_at_s = 1620.0;
    sill.lag_s = 96.0;
    sill.rms_after_shift_k = 0.7;
    tune::ChannelComparison roof = sill;
    roof.predicted = roof.logged = "roof skin";
    roof.rms_k = 1.4;
    roof.bias_k = -1.1;
    roof.largest_k = -2.2;
    roof.lag_s.reset();
    comparison.channels = {sill, roof};
    comparison.unmatched_predicted = {"booth wall", "saloon air"};
    return comparison;
}

tune::Agreement agreement() {
    tune::Agreement agreement;
    tune::ChannelAgreement sill;
    sill.channel = "left sill";
    sill.role = TraceRole::zone;
    sill.samples = 772;
    sill.inside = 601;
    sill.probe_k = 2.5;
    sill.attachment_k = 0.4;
    sill.below_k = 1.2;
    sill.above_k = 1.7;
    sill.interpolation_k = 0.12;
    sill.largest_excess_k = 1.3;
    sill.largest_excess_at_s = 1620.0;
    tune::ChannelAgreement roof = sill;
    roof.channel = "roof skin";
    roof.inside = 771;
    roof.largest_excess_k = -0.2;
    agreement.channels = {sill, roof};
    agreement.probes_origin = "invented probes";
    agreement.model_origin = "an invented ensemble";
    return agreement;
}

bake::Prediction prediction() {
    bake::Prediction prediction;
    prediction.traces = predicted();
    prediction.stages = stages();
    prediction.summary.ran = true;
    prediction.summary.stepper = "dopri5";
    prediction.summary.nodes = 31;
    prediction.summary.splits = {
        {.zone = "front cap", .nodes = 4, .biot = 0.31, .reason = "Fiberglass conducts heat too slowly for one node."}};
    return prediction;
}

bake::Shell shell() {
    bake::Shell shell;
    for (const Part& part : kParts) {
        if (part.role != TraceRole::zone && part.role != TraceRole::test_panel) continue;
        bake::Zone zone;
        zone.name = part.name;
        zone.role = part.role == TraceRole::test_panel ? bake::ZoneRole::test_panel : bake::ZoneRole::shell;
        zone.area_m2 = 4.0;
        zone.height_m = 0.5 + 0.1 * static_cast<double>(shell.zones.size());
        if (zone.name == "roof skin") zone.orientation = bake::Orientation::faces_up;
        shell.zones.push_back(zone);
    }
    return shell;
}

report::ReportInput report() {
    report::ReportInput input;
    input.title = "Library van, first clear group";
    input.written_at = "2026-03-04 19:02";
    input.shell_title = "Larch County mobile library van";
    input.booth_title = "Long booth, insulated walls";
    input.coating_title = "Two-component clear, high solids";
    input.cycle_title = "65 °C for 45 min";
    input.predicted = predicted();
    input.logged = logged();
    input.stages = stages();
    input.coating = coating();
    input.verdicts = {{.label = "logged", .verdict = verdict()}};
    input.comparison = comparison();
    input.agreement = agreement();
    input.course = cure::bake_course(*input.logged, coating(), {seats_with_limits()});
    input.drawing = report::draw_shell(shell());
    input.splits = prediction().summary.splits;
    input.assumptions = {{.subject = "activation energy", .value = "55 kJ/mol (30 to 75)", .source = "default band"},
                         {.subject = "floor", .value = "45 °C", .source = "common practice"}};
    input.provenance = {{.subject = "bakewright", .value = "0.1.0"},
                        {.subject = "shell", .value = "library_van, SHA-256 0f3a…"},
                        {.subject = "log", .value = "van-2026-03-04.csv, SHA-256 77c1…"}};
    return input;
}

}  // namespace sample
