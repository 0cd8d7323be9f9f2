// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/bake/predict.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/cure/course.hpp"
#include "bakewright/cure/history.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/plan/feasible_map.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/report/html.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/shell_drawing.hpp"
#include "bakewright/report/tables.hpp"
#include "bakewright/tune/compare.hpp"

namespace bakewright::report {

/// The records as JSON values, in the shapes of docs/json.md, without the head that a document carries.
[[nodiscard]] Json json_of(const Trace& trace);
[[nodiscard]] Json json_of(const bake::ResolvedStage& stage);
[[nodiscard]] Json json_of(const bake::SplitZone& split);
[[nodiscard]] Json json_of(const bake::RunSummary& summary);
[[nodiscard]] Json json_of(const cure::ZoneVerdict& zone);
[[nodiscard]] Json json_of(const cure::ItemVerdict& item);
[[nodiscard]] Json json_of(const tune::ChannelComparison& channel);
[[nodiscard]] Json json_of(const tune::Agreement& agreement);
[[nodiscard]] Json json_of(const Assumption& assumption);
[[nodiscard]] Json json_of(const Provenance& provenance);
[[nodiscard]] Json json_of(const HandRow& row);

[[nodiscard]] Json json_of(const std::optional<cure::ExposureLimit>& limit);
[[nodiscard]] Json json_of(const plan::Energy& energy);
[[nodiscard]] Json json_of(const std::optional<plan::LargestDifference>& difference);
[[nodiscard]] Json json_of(const plan::Margins& margins);
[[nodiscard]] Json json_of(const cure::RowReading& reading);
[[nodiscard]] Json json_of(const cure::LimitReading& reading);
[[nodiscard]] Json json_of(const cure::Gaps& gaps);
[[nodiscard]] Json json_of(const cure::ConversionReading& reading);
[[nodiscard]] Json json_of(const cure::Certainty& certainty);
[[nodiscard]] Json json_of(const cure::HeatWarning& warning);
[[nodiscard]] Json json_of(const bake::HeatAccount& heat);
[[nodiscard]] Json json_of(const std::optional<bake::BoothRun>& run);
[[nodiscard]] Json json_of(const ZoneSummary& zone, std::optional<double> arrival_k);
[[nodiscard]] Json json_of(const std::optional<plan::Obstacle>& obstacle);
[[nodiscard]] Json json_of(const cure::Band& band);

/// Fields of a whole record, to follow a document's head.
[[nodiscard]] Json fields_of(const TraceSet& traces);
[[nodiscard]] Json fields_of(const bake::Prediction& prediction, bool with_traces);
[[nodiscard]] Json stages_of(const bake::Cycle& cycle);
[[nodiscard]] Json fields_of(const cure::BakeVerdict& verdict);
[[nodiscard]] Json fields_of(const tune::Comparison& comparison);
[[nodiscard]] Json fields_of(const cure::BakeCourse& course);
[[nodiscard]] Json fields_of(const ShellDrawing& drawing);

template <typename Record>
[[nodiscard]] Json json_list(const std::vector<Record>& records) {
    Json list = Json::array();
    for (const Record& record : records) list.push_back(json_of(record));
    return list;
}
/// The same with a function that makes one of them.
template <typename Record>
[[nodiscard]] Json json_list(const std::vector<Record>& records, Json (*make)(const Record&)) {
    Json list = Json::array();
    for (const Record& record : records) list.push_back(make(record));
    return list;
}
[[nodiscard]] Json json_summaries(const TraceSet& traces, const std::vector<bake::ResolvedStage>& stages);

/// Numbers that are not finite are null in JSON; an absent one too.
[[nodiscard]] Json number_or_null(const std::optional<double>& value);

/// What coats and items have left, as an object: coats, items.
[[nodiscard]] Json remaining_json(const cure::ShellVerdict& verdict);

}  // namespace bakewright::report
