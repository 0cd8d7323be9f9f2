// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "bakewright/report/table.hpp"

/// Pieces of HTML. Everything handed in is text and is escaped here, but for parameters named html.
namespace bakewright::report {

struct Provenance;

/// "2026-03-04 16:20:00": the T of ISO 8601 is for programs.
[[nodiscard]] std::string readable_time(std::string time);
/// User text that keeps its own direction and cannot turn its neighbours'.
[[nodiscard]] std::string isolated(std::string_view text);
[[nodiscard]] std::string section(std::string_view id, std::string_view title, std::string_view html);
[[nodiscard]] std::string paragraph(std::string_view text, std::string_view css_class = {});
[[nodiscard]] std::string bullet_list(const std::vector<std::string>& sentences);
/// Subject and value in pairs; those without a value are left out.
[[nodiscard]] std::string fact_list(const std::vector<std::pair<std::string, std::string>>& facts);
/// @param css_class  of the table; may be empty
[[nodiscard]] std::string html_table(const Table& table, std::string_view caption, std::string_view css_class = {});

/// Everything up to the body. @param policy  of a Content-Security-Policy
[[nodiscard]] std::string page_head(const std::string& title, const std::string& policy);
[[nodiscard]] std::string caution_section();
[[nodiscard]] std::string made_from(const std::vector<Provenance>& provenance);

}  // namespace bakewright::report
