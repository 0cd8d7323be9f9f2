// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/json.hpp"

#include "bakewright/cure/reason.hpp"
#include "bakewright/report/bake_card.hpp"
#include "bakewright/report/estimate_text.hpp"
#include "bakewright/report/html.hpp"
#include "bakewright/report/shell_text.hpp"
#include "bakewright/report/tables.hpp"
#include "card_zones.hpp"
#include "json_records.hpp"

namespace bakewright::report {

namespace {

Json traces_or_null(const std::optional<TraceSet>& traces, const std::vector<bake::ResolvedStage>& stages, bool with_samples) {
    if (!traces) return nullptr;
    Json json = {{"started_at", traces->started_at}, {"zones", json_summaries(*traces, stages)}};
    if (with_samples) json["traces"] = json_list(traces->traces);
    return json;
}

Json verdicts(const std::vector<JudgedBake>& judged) {
    Json list = Json::array();
    for (const JudgedBake& bake : judged) {
        Json json = {{"label", bake.label}};
        json.update(fields_of(bake.verdict));
        list.push_back(std::move(json));
    }
    return list;
}

Json bands(const std::vector<TraceBand>& bands) {
    Json list = Json::array();
    for (const TraceBand& band : bands)
        list.push_back({{"name", band.name}, {"time_s", band.time_s}, {"low_k", band.low_k}, {"high_k", band.high_k}});
    return list;
}

}  // namespace

Json document_of(const TraceSet& traces) { return document("bakewright.traces", fields_of(traces)); }

Json document_of(const bake::Prediction& prediction, bool with_samples) {
    return document("bakewright.prediction", fields_of(prediction, with_samples));
}

Json document_of(const cure::BakeVerdict& verdict) { return document_of(verdict, nullptr); }

Json document_of(const cure::BakeVerdict& verdict, const tune::Estimate* estimate) {
    Json fields = fields_of(verdict);
    fields["estimate"] = estimate != nullptr ? json_of(*estimate) : Json(nullptr);
    return document("bakewright.verdict", std::move(fields));
}

Json document_of(const tune::Comparison& comparison) { return document("bakewright.comparison", fields_of(comparison)); }

Json document_of(const std::vector<TraceBand>& traces) { return document("bakewright.bands", {{"bands", bands(traces)}}); }

Json document_of(const ReportInput& input, bool with_samples) {
    const Json fields = {{"title", input.title},
                         {"started_at", input.started_at},
                         {"written_at", input.written_at},
                         {"shell_title", input.shell_title},
                         {"booth_title", input.booth_title},
                         {"coating_title", input.coating_title},
                         {"cycle_title", input.cycle_title},
                         {"remark", input.remark},
                         {"stages", json_list(input.stages)},
                         {"predicted", traces_or_null(input.predicted, input.stages, with_samples)},
                         {"logged", traces_or_null(input.logged, input.stages, with_samples)},
                         {"estimated", traces_or_null(input.estimated, input.stages, with_samples)},
                         {"estimated_bands", bands(input.estimated_bands)},
                         {"probe_findings", input.probe_findings},
                         {"verdicts", verdicts(input.verdicts)},
                         {"comparison", input.comparison ? fields_of(*input.comparison) : Json(nullptr)},
                         {"agreement", input.agreement ? json_of(*input.agreement) : Json(nullptr)},
                         {"course", input.course ? fields_of(*input.course) : Json(nullptr)},
                         {"drawing", input.drawing ? fields_of(*input.drawing) : Json(nullptr)},
                         {"titles", input.titles},
                         {"bands", bands(input.bands)},
                         {"bands_origin", input.bands_origin},
                         {"history", input.history ? document_of(*input.history) : Json(nullptr)},
                         {"booth_run", input.booth_run},
                         {"noted_by_hand", json_list(input.noted)},
                         {"splits", json_list(input.splits)},
                         {"assumptions", json_list(input.assumptions)},
                         {"provenance", json_list(input.provenance)}};
    return document("bakewright.report", fields);
}

namespace {

Json span_json(const cure::WordSpan& span) {
    return {{"from_s", span.from_s}, {"until_s", span.until_s}, {"word", cure::word_text(span.word)}};
}

Json used_json(const cure::UsedShare& used) { return {{"time_s", used.time_s}, {"share", used.share}}; }

Json zone_course_json(const cure::ZoneCourse& zone) {
    return {{"zone", zone.zone},
            {"role", trace_role_name(zone.role)},
            {"word", cure::word_text(zone.word)},
            {"spans", json_list(zone.spans, span_json)},
            {"cured_from_s", number_or_null(zone.cured_from_s)},
            {"past_maximum_from_s", number_or_null(zone.past_maximum_from_s)},
            {"dose", zone.dose}};
}

}  // namespace

Json json_of(const std::optional<cure::ExposureLimit>& limit) {
    if (!limit) return nullptr;
    return {{"temperature_k", limit->temperature_k},
            {"allowed_s", limit->allowed_s},
            {"scope", limit->scope == cure::ExposureScope::lifetime ? "lifetime" : "bake"}};
}

namespace {

Json item_course_json(const cure::ItemCourse& item) {
    return {{"item", item.item},
            {"word", cure::word_text(item.word)},
            {"share_used", json_list(item.used, used_json)},
            {"passed_at_s", number_or_null(item.passed_at_s)},
            {"nearest_limit", json_of(item.nearest)}};
}

Json drawn_zone_json(const DrawnZone& zone) {
    return {{"zone", zone.zone}, {"title", zone.title}, {"coated", zone.coated}, {"strip_of", zone.strip_of},
            {"left", zone.left}, {"top", zone.top},     {"width", zone.width},   {"height", zone.height}};
}

Json drawn_view_json(const DrawnView& view) {
    return {{"view", view.name},
            {"title", view.title},
            {"width_m", view.width_m},
            {"height_m", view.height_m},
            {"zones", json_list(view.zones, drawn_zone_json)}};
}

}  // namespace

Json fields_of(const cure::BakeCourse& course) {
    return {{"from_s", course.from_s},
            {"until_s", course.until_s},
            {"zones", json_list(course.zones, zone_course_json)},
            {"items", json_list(course.items, item_course_json)}};
}

Json fields_of(const ShellDrawing& drawing) { return {{"views", json_list(drawing.views, drawn_view_json)}}; }

Json document_of(const cure::BakeCourse& course) { return document("bakewright.course", fields_of(course)); }

Json document_of(const ShellDrawing& drawing) { return document("bakewright.shell-drawing", fields_of(drawing)); }

Json document_of(const BakeCard& card) {
    Json checks = Json::array();
    for (const CardCheck& check : card_checks(card))
        checks.push_back({{"at_s", check.at_s}, {"what", check.what}, {"expected", check.expected}});
    const cure::ZoneVerdict* slowest = slowest_zone(card);
    const Json fields = {{"title", card.title},
                         {"shell_title", card.shell_title},
                         {"booth_title", card.booth_title},
                         {"coating_title", card.coating.title},
                         {"started_at", card.started_at},
                         {"word", std::string(cure::word_text(card.verdict.worst()))},
                         {"reason", worst_place_sentence(card.verdict, card.units)},
                         {"questions", question_sentences(card.verdict)},
                         {"stages", json_list(card.stages)},
                         {"booth_purges_by_itself", card.booth_purges_by_itself},
                         {"slowest_zone", slowest == nullptr ? Json(nullptr) : Json(slowest->zone)},
                         {"hot_surfaces", hot_surface_sentence(card)},
                         {"after_bake", as_sentence(cure::after_bake_text(card.coating))},
                         {"taken_out", card.taken_out},
                         {"probes", card_probes(card)},
                         {"checks", std::move(checks)},
                         {"stops", card_stops(card)},
                         {"provenance", json_list(card.provenance)}};
    Json made = document("bakewright.card", std::move(fields));
    put_checklist(made, card.checklist);
    return made;
}

}  // namespace bakewright::report
