// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
#include <string>

#include "bakewright/base/trace.hpp"
#include "bakewright/cure/history.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/report/html.hpp"
#include "bakewright/tune/compare.hpp"
#include "bakewright/tune/tune.hpp"

namespace bakewright::report {

/// What people call zones and items, by their names. No two names may have one title.
using Titles = std::map<std::string, std::string>;

/// The title of a name; the name where it has none.
[[nodiscard]] std::string title_of(const std::string& name, const Titles& titles);

/// The same with titles in place of names, to be shown to people; programs and commands know the names.
[[nodiscard]] TraceSet titled(TraceSet traces, const Titles& titles);
[[nodiscard]] cure::BakeVerdict titled(cure::BakeVerdict verdict, const Titles& titles);
[[nodiscard]] cure::ShellVerdict titled(cure::ShellVerdict verdict, const Titles& titles);
[[nodiscard]] cure::BakeCourse titled(cure::BakeCourse course, const Titles& titles);
[[nodiscard]] ShellDrawing titled(ShellDrawing drawing, const Titles& titles);
[[nodiscard]] tune::Comparison titled(tune::Comparison comparison, const Titles& titles);
[[nodiscard]] tune::Agreement titled(tune::Agreement agreement, const Titles& titles);
[[nodiscard]] std::vector<plan::ProbePlace> titled(std::vector<plan::ProbePlace> places, const Titles& titles);
[[nodiscard]] plan::Plan titled(plan::Plan plan, const Titles& titles);
/// Numbers, pairs and what could not be told are named by titles too.
[[nodiscard]] tune::TuneResult titled(tune::TuneResult result, const Titles& titles);
/// With its own titles.
[[nodiscard]] ReportInput titled(ReportInput input);

}  // namespace bakewright::report
