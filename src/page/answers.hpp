// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/base/format.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/verdict.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/table.hpp"
#include "bakewright/report/titles.hpp"
#include "request.hpp"

/// Answers in JSON, as docs/page.md describes them.
namespace bakewright::page {

using report::Json;

[[nodiscard]] Answer answer_of(const Json& document);
/// @param name  the word after "bakewright." of its format
[[nodiscard]] Json page_document(std::string_view name, Json fields);
[[nodiscard]] Answer json_answer(std::string_view name, Json fields);

/// Format "bakewright.problems".
[[nodiscard]] Answer problem_answer(int status, const std::vector<Problem>& problems);
[[nodiscard]] Answer problem_answer(int status, const std::string& message);
/// The work's own document, or one of what it threw: 400 for InputError, 500 for the rest.
struct Outcome {
    int status = 200;
    Json document;
};
[[nodiscard]] Outcome outcome_of(const std::function<Json()>& work);
/// The same of what a handler answers.
[[nodiscard]] Answer guarded(const std::function<Answer()>& handler);

/// The units a request asks for; metric where it does not.
[[nodiscard]] Units units_of(const Asked& asked);

/// A table for people: `columns` (`head`, `align`), `rows` (`cells` with `text` and `mark`, `note`).
[[nodiscard]] Json json_of(const report::Table& table);
[[nodiscard]] Json json_of(const std::vector<Problem>& problems);

/// A verdict, zones and items by their titles, in the sentences and tables that reports have: `worst`, `warnings`, `questions`,
/// `certainty`, `assumed`, `zones`, `items`.
[[nodiscard]] Json verdict_words(const cure::BakeVerdict& by_name, const report::Titles& titles, const Units& units);

/// The straight lines of a chart: rows of the coating's schedule (`kind` `cure`, `temperature_k`, `minimum_s`), its absolute
/// maximum (`maximum`) and the limits of items (`item`, `name`, `allowed_s`).
[[nodiscard]] Json chart_lines(const std::optional<cure::Coating>& coating, const std::vector<cure::HeatSensitiveItem>& items);

/// The traces as they are drawn: few samples, to the thousandth of a kelvin.
[[nodiscard]] TraceSet drawn(const TraceSet& traces);

}  // namespace bakewright::page
