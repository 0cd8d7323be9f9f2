// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/titles.hpp"

namespace bakewright::report {
namespace {

void put(std::string& name, const Titles& titles) { name = title_of(name, titles); }

void put(std::vector<std::string>& names, const Titles& titles) {
    for (std::string& name : names) put(name, titles);
}

void put(Phrase& phrase, const Titles& titles) {
    phrase.rename_places([&](const std::string& name) { return title_of(name, titles); });
}

void put(std::vector<Phrase>& phrases, const Titles& titles) {
    for (Phrase& phrase : phrases) put(phrase, titles);
}

/// What is judged zone by zone, item by item.
void put(std::vector<cure::ZoneVerdict>& zones, const Titles& titles) {
    for (cure::ZoneVerdict& zone : zones) put(zone.zone, titles);
}

void put(std::vector<cure::ItemVerdict>& items, const Titles& titles) {
    for (cure::ItemVerdict& item : items) put(item.item, titles);
}

void put(std::vector<cure::HeatWarning>& warnings, const Titles& titles) {
    for (cure::HeatWarning& warning : warnings) put(warning.where, titles);
}

void put(std::optional<plan::LargestDifference>& difference, const Titles& titles) {
    if (difference) put(difference->pair.metal, titles), put(difference->pair.laminate, titles);
}

void put(plan::Candidate& candidate, const Titles& titles) {
    put(candidate.bad_zones, titles);
    put(candidate.bad_items, titles);
    for (plan::CoatOverBaked& coat : candidate.bad_coats) put(coat.zone, titles);
    put(candidate.difference, titles);
    put(candidate.warnings, titles);
}

void put(plan::Margins& margins, const Titles& titles) {
    for (plan::ZoneMargin& zone : margins.zones) put(zone.zone, titles);
    for (plan::ItemMargin& item : margins.items) put(item.item, titles);
    for (plan::CoatMargin& coat : margins.coats) put(coat.zone, titles);
}

template <class Record>
void put(std::optional<Record>& record, const Titles& titles) {
    if (record) record = titled(std::move(*record), titles);
}

}  // namespace

std::string title_of(const std::string& name, const Titles& titles) {
    const auto at = titles.find(name);
    return at == titles.end() ? name : at->second;
}

TraceSet titled(TraceSet traces, const Titles& titles) {
    for (Trace& trace : traces.traces) put(trace.name, titles);
    return traces;
}

cure::BakeVerdict titled(cure::BakeVerdict verdict, const Titles& titles) {
    put(verdict.zones, titles);
    put(verdict.items, titles);
    put(verdict.warnings, titles);
    put(verdict.remarks, titles);
    return verdict;
}

cure::ShellVerdict titled(cure::ShellVerdict verdict, const Titles& titles) {
    for (cure::CoatVerdict& coat : verdict.coats) put(coat.total.zone, titles);
    for (cure::ItemHistoryVerdict& item : verdict.items) put(item.total.item, titles);
    for (cure::RecoatWarning& recoat : verdict.recoats) put(recoat.zones, titles);
    for (cure::CoatHeatWarning& warning : verdict.heat_warnings) put(warning.warning.where, titles);
    return verdict;
}

tune::Comparison titled(tune::Comparison comparison, const Titles& titles) {
    for (tune::ChannelComparison& channel : comparison.channels) put(channel.predicted, titles), put(channel.logged, titles);
    put(comparison.unmatched_predicted, titles);
    put(comparison.unmatched_logged, titles);
    return comparison;
}

tune::Agreement titled(tune::Agreement agreement, const Titles& titles) {
    for (tune::ChannelAgreement& channel : agreement.channels) put(channel.channel, titles);
    return agreement;
}

cure::BakeCourse titled(cure::BakeCourse course, const Titles& titles) {
    for (cure::ZoneCourse& zone : course.zones) put(zone.zone, titles);
    for (cure::ItemCourse& item : course.items) put(item.item, titles);
    return course;
}

ShellDrawing titled(ShellDrawing drawing, const Titles& titles) {
    for (DrawnView& view : drawing.views)
        for (DrawnZone& zone : view.zones) put(zone.zone, titles), put(zone.strip_of, titles);
    return drawing;
}

namespace {

void put(std::vector<plan::ProbePlace>& places, const Titles& titles) {
    for (plan::ProbePlace& place : places) put(place.zone, titles), put(place.strip_of, titles);
}

}  // namespace

std::vector<plan::ProbePlace> titled(std::vector<plan::ProbePlace> places, const Titles& titles) {
    put(places, titles);
    return places;
}

plan::Plan titled(plan::Plan plan, const Titles& titles) {
    for (plan::Candidate& candidate : plan.candidates) put(candidate, titles);
    if (plan.chosen) put(*plan.chosen, titles);
    for (plan::Choice& choice : plan.choices) put(choice.candidate, titles);
    plan.prediction.traces = titled(std::move(plan.prediction.traces), titles);
    plan.verdict = titled(std::move(plan.verdict), titles);
    put(plan.margins, titles);
    put(plan.difference, titles);
    put(plan.slowest_zone, titles);
    if (plan.likeliest_obstacle) put(*plan.likeliest_obstacle, titles);
    if (plan.probe_places) put(plan.probe_places->places, titles), put(plan.probe_places->next, titles);
    return plan;
}

tune::TuneResult titled(tune::TuneResult result, const Titles& titles) {
    for (tune::TunedNumber& number : result.numbers) put(number.name, titles);
    for (tune::TunedProbe& probe : result.probes) put(probe.channel, titles);
    for (tune::ChannelFinding& suspect : result.suspects) put(suspect.channel, titles), put(suspect.fault->with, titles);
    put(result.weak, titles);
    for (tune::CorrelatedPair& pair : result.correlated) put(pair.first, titles), put(pair.second, titles);
    put(result.warnings, titles);
    return result;
}

ReportInput titled(ReportInput input) {
    const Titles titles = input.titles;
    put(input.predicted, titles);
    put(input.logged, titles);
    put(input.estimated, titles);
    for (JudgedBake& judged : input.verdicts) judged.verdict = titled(std::move(judged.verdict), titles);
    put(input.comparison, titles);
    put(input.agreement, titles);
    put(input.course, titles);
    put(input.drawing, titles);
    for (TraceBand& band : input.bands) put(band.name, titles);
    for (TraceBand& band : input.estimated_bands) put(band.name, titles);
    put(input.history, titles);
    for (bake::SplitZone& split : input.splits) put(split.zone, titles);
    for (HandRow& row : input.noted) put(row.note.zone, titles);
    if (input.probes)
        for (probe::ProbeRecord& probe : input.probes->probes) put(probe.channel, titles);
    return input;
}

}  // namespace bakewright::report
