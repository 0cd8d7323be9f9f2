#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/predict.hpp"
#include "bakewright/base/format.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/tune/compare.hpp"

namespace bakewright::report {

/// A verdict and what it was made from, such as "logged" or "predicted".
struct JudgedBake {
    std::string label;
    cure::BakeVerdict verdict;
};

/// Something that was taken for granted, and where it comes from.
struct Assumption {
    std::string subject;  ///< such as "activation energy"
    std::string value;    ///< with its unit
    std::string source;   ///< or "common practice"
};

/// What makes a report reproducible: a program, a profile or a log, with its version or hash.
struct Provenance {
    std::string subject;
    std::string value;
};

/// Everything a report shows. What is empty or absent is left out of it. Nothing is asked of the clock: times are given.
struct ReportInput {
    std::string title;
    std::string started_at;  ///< ISO 8601; empty where unknown, then those of the traces count
    std::string written_at;  ///< when the report was asked for; may be empty
    std::string shell_title;
    std::string booth_title;
    std::string coating_title;
    std::string cycle_title;
    std::string remark;  ///< the painter's own words

    std::optional<TraceSet> predicted;
    std::optional<TraceSet> logged;
    std::vector<bake::ResolvedStage> stages;
    std::optional<cure::Coating> coating;  ///< for the window in the chart; where absent, the rows of the verdicts are drawn

    std::vector<JudgedBake> verdicts;  ///< the one that counts first: the logged bake before its prediction
    std::optional<tune::Comparison> comparison;

    std::vector<bake::SplitZone> splits;
    std::vector<Assumption> assumptions;
    std::vector<Provenance> provenance;
    Units units;

    std::size_t most_points = 2000;  ///< drawn of one trace, at least 4; see thin.hpp
};

/// The report as one HTML file that asks nothing of any network: style, chart library and data stand in it, and its
/// Content-Security-Policy forbids everything else. Prints in black on white. The same input gives the same bytes.
[[nodiscard]] std::string html_report(const ReportInput& input);

}  // namespace bakewright::report
