#include "bakewright/report/json.hpp"

#include "bakewright/report/html.hpp"
#include "bakewright/report/shell_text.hpp"
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

Json document_of(const cure::BakeVerdict& verdict) { return document("bakewright.verdict", fields_of(verdict)); }

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
                         {"splits", json_list(input.splits)},
                         {"assumptions", json_list(input.assumptions)},
                         {"provenance", json_list(input.provenance)}};
    return document("bakewright.report", fields);
}

}  // namespace bakewright::report
