#pragma once

#include <string>
#include <vector>

#include "bakewright/bake/predict.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/cure/course.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/report/shell_drawing.hpp"
#include "bakewright/tune/compare.hpp"

namespace bakewright::report {

struct ReportInput;
struct TraceBand;

/// The records for programs, as docs/json.md describes them: SI values under unit-suffixed keys, keys always in the same order, a
/// value that is not finite or absent as null, numbers with as many digits as read back to the same double. Bytes of names that
/// are not UTF-8 become U+FFFD.
struct JsonOptions {
    int indent = 2;       ///< spaces; below 0 everything in one line
    bool traces = false;  ///< of a prediction: its samples too, not only their summary
};

[[nodiscard]] std::string to_json_text(const TraceSet& traces, const JsonOptions& options = {});
[[nodiscard]] std::string to_json_text(const bake::Prediction& prediction, const JsonOptions& options = {});
[[nodiscard]] std::string to_json_text(const cure::BakeVerdict& verdict, const JsonOptions& options = {});
[[nodiscard]] std::string to_json_text(const cure::BakeCourse& course, const JsonOptions& options = {});
[[nodiscard]] std::string to_json_text(const ShellDrawing& drawing, const JsonOptions& options = {});
[[nodiscard]] std::string to_json_text(const tune::Comparison& comparison, const JsonOptions& options = {});
[[nodiscard]] std::string to_json_text(const std::vector<TraceBand>& traces, const JsonOptions& options = {});
/// Everything in a report in one document; the samples of its traces where options.traces is set.
[[nodiscard]] std::string to_json_text(const ReportInput& input, const JsonOptions& options = {});

}  // namespace bakewright::report
