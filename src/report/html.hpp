// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/cycle.hpp"
#include "bakewright/bake/predict.hpp"
#include "bakewright/base/format.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/course.hpp"
#include "bakewright/cure/history.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/probe/probe_record.hpp"
#include "bakewright/report/hand_text.hpp"
#include "bakewright/report/shell_drawing.hpp"
#include "bakewright/tune/compare.hpp"

namespace bakewright::report {

/// A verdict and what it was made from, such as "logged" or "predicted".
struct JudgedBake {
    std::string label;
    cure::BakeVerdict verdict;
};

/// Something that was assumed, and where it comes from.
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

/// Within which the model expects a trace: 90 % of the members of an ensemble lie between low and high.
struct TraceBand {
    std::string name;                           ///< of the predicted trace
    std::vector<double> time_s, low_k, high_k;  ///< of one length, time rising
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
    std::optional<tune::Agreement> agreement;  ///< of the compared channels, within what probe and model may be off

    std::optional<cure::BakeCourse> course;  ///< of the first verdict's bake: the lanes under the chart
    std::optional<ShellDrawing> drawing;     ///< of the shell, lettered with the first verdict

    std::map<std::string, std::string> titles;  ///< what people call zones and items, by name; shown for it

    std::optional<TraceSet> estimated;        ///< zones and items that the log does not show, from its other probes and the model
    std::vector<TraceBand> estimated_bands;   ///< of these
    std::optional<TraceSet> judged_on;        ///< every course that the log's verdict rests on, where it was estimated
    std::vector<std::string> probe_findings;  ///< a sentence a probe
    std::vector<TraceBand> bands;             ///< of the prediction
    std::string bands_origin;                 ///< what they rest on, for people
    std::optional<cure::ShellVerdict> history;  ///< of the shell, this bake and all before it: exposure so far
    std::optional<probe::ProbeSet> probes;      ///< records of the log's probes
    std::vector<std::string> booth_run;         ///< sentences on burner and air; see booth_run_sentences()

    std::vector<HandRow> noted;  ///< by hand, on either half
    bool prints_all = false;     ///< on paper too; else the usual two sheets, and all of it on a screen

    std::vector<bake::SplitZone> splits;
    std::vector<Assumption> assumptions;
    std::vector<Provenance> provenance;
    Units units;

    std::size_t most_points = 2000;  ///< drawn of one trace, at least 4; see thin.hpp
};

/// The report as one HTML file that asks nothing of any network: style, chart library and data stand in it, and its
/// Content-Security-Policy forbids everything else. Prints in black on white. The same input gives the same bytes.
[[nodiscard]] std::string html_report(const ReportInput& by_name);

/// A shell over all its bakes, in the same manner.
struct ShellReportInput {
    std::string shell_title;
    std::string written_at;
    cure::ShellVerdict verdict;
    std::vector<std::string> bakes;             ///< one line a bake, in the order of time
    std::vector<HandRow> noted;                 ///< by hand, on any of its bakes
    std::optional<ShellDrawing> drawing;        ///< lettered with the worst word of each zone over its coats
    std::map<std::string, std::string> titles;  ///< as of ReportInput
    std::vector<Provenance> provenance;
    Units units;
};
[[nodiscard]] std::string html_shell_report(const ShellReportInput& by_name);

}  // namespace bakewright::report
