#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/table.hpp"
#include "route.hpp"

/// Answers in JSON, as docs/page.md describes them.
namespace bakewright::page {

using Json = nlohmann::ordered_json;

inline constexpr report::JsonOptions kOneLine{.indent = -1, .traces = false};
inline constexpr report::JsonOptions kWithTraces{.indent = -1, .traces = true};

/// @param name  the word after "bakewright." of its format
[[nodiscard]] Answer json_answer(std::string_view name, const Json& fields);
/// Fields whose values are JSON texts already, such as the documents of the report area.
[[nodiscard]] Answer joined_answer(std::string_view name, const std::vector<std::pair<std::string, std::string>>& texts);

/// Format "bakewright.problems".
[[nodiscard]] Answer problem_answer(int status, const std::vector<Problem>& problems);
[[nodiscard]] Answer problem_answer(int status, const std::string& message);

/// A table for people: `columns` (`head`, `align`), `rows` (`cells` with `text` and `mark`, `note`).
[[nodiscard]] Json json_of(const report::Table& table);
[[nodiscard]] Json json_of(const std::vector<Problem>& problems);
/// As text; bytes that are not UTF-8 become U+FFFD.
[[nodiscard]] std::string text_of(const Json& json);

/// The traces as they are drawn: few samples, to the thousandth of a kelvin.
[[nodiscard]] TraceSet drawn(const TraceSet& traces);

}  // namespace bakewright::page
