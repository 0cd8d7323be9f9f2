// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

/// Texts built into the program by tools/cmake/EmbedFile.cmake, with their SHA-256 in hexadecimal digits.
namespace bakewright::report::embedded {

extern const std::string_view dygraphs_script, dygraphs_script_sha256;
extern const std::string_view dygraphs_style, dygraphs_style_sha256;
extern const std::string_view dygraphs_notice, dygraphs_notice_sha256;
extern const std::string_view chart_script, chart_script_sha256;
extern const std::string_view chart_names_script, chart_names_script_sha256;
extern const std::string_view chart_legend_script, chart_legend_script_sha256;
extern const std::string_view chart_paper_script, chart_paper_script_sha256;
extern const std::string_view pictures_script, pictures_script_sha256;
extern const std::string_view lanes_script, lanes_script_sha256;
extern const std::string_view shell_drawing_script, shell_drawing_script_sha256;
extern const std::string_view pictures_style, pictures_style_sha256;
extern const std::string_view report_pictures_script, report_pictures_script_sha256;
extern const std::string_view shell_report_script, shell_report_script_sha256;
extern const std::string_view card_style, card_style_sha256;
extern const std::string_view report_style, report_style_sha256;

}  // namespace bakewright::report::embedded

namespace bakewright::report {

/// "'sha256-…'" as a Content-Security-Policy names a script, from the hash in hexadecimal digits (base64, RFC 4648 section 4).
[[nodiscard]] std::string policy_hash(std::string_view sha256_hex);

}  // namespace bakewright::report
