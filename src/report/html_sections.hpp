#pragma once

#include <string>
#include <vector>

#include "bakewright/report/html.hpp"

/// The tables and sentences of a bake report, a section each; empty where there is nothing to say.
namespace bakewright::report {

[[nodiscard]] std::string zones_section(const ReportInput& input);
[[nodiscard]] std::string verdicts_section(const ReportInput& input);
[[nodiscard]] std::string items_section(const ReportInput& input);
[[nodiscard]] std::string history_section(const ReportInput& input);
[[nodiscard]] std::string comparison_section(const ReportInput& input);
[[nodiscard]] std::string probes_section(const ReportInput& input);
[[nodiscard]] std::string booth_section(const ReportInput& input);
[[nodiscard]] std::string assumed_section(const ReportInput& input);
[[nodiscard]] std::string caution_section();
[[nodiscard]] std::string made_from(const std::vector<Provenance>& provenance);

/// Everything up to the body. @param policy  of a Content-Security-Policy
[[nodiscard]] std::string page_head(const std::string& title, const std::string& policy);

}  // namespace bakewright::report
