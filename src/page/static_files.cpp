// SPDX-License-Identifier: Apache-2.0
#include "static_files.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <string_view>
#include <utility>

#include "answers.hpp"
#include "bakewright/report/assets.hpp"
#include "bakewright/services/files.hpp"
#include "embedded.hpp"

namespace bakewright::page {
namespace {

constexpr const char* kHtml = "text/html; charset=utf-8";
constexpr const char* kStyle = "text/css; charset=utf-8";
constexpr const char* kScript = "text/javascript; charset=utf-8";

void add(Routes& routes, const char* path, const char* type, std::string_view text) {
    routes.add(
        "GET", path, [type, text](const Asked&) { return Answer{.type = type, .text = std::string(text)}; },
        RouteRule{.pace = Pace::quick});
}

}  // namespace

void add_static_files(Routes& routes) {
    add(routes, "/", kHtml, embedded::index_html);
    add(routes, "/page.css", kStyle, embedded::page_css);
    add(routes, "/units.js", kScript, embedded::units_js);
    add(routes, "/dom.js", kScript, embedded::dom_js);
    add(routes, "/chart_parts.js", kScript, embedded::chart_parts_js);
    add(routes, "/chart.js", kScript, embedded::chart_js);
    add(routes, "/map.js", kScript, embedded::map_js);
    add(routes, "/checklist.js", kScript, embedded::checklist_js);
    add(routes, "/today.js", kScript, embedded::today_js);
    add(routes, "/mover.js", kScript, embedded::mover_js);
    add(routes, "/prepare_more.js", kScript, embedded::prepare_more_js);
    add(routes, "/prepare_questions.js", kScript, embedded::prepare_questions_js);
    add(routes, "/prepare.js", kScript, embedded::prepare_js);
    add(routes, "/bakes.js", kScript, embedded::bakes_js);
    add(routes, "/log.js", kScript, embedded::log_js);
    add(routes, "/live.js", kScript, embedded::live_js);
    add(routes, "/live.css", kStyle, embedded::live_css);
    add(routes, "/history.js", kScript, embedded::history_js);
    add(routes, "/tune.js", kScript, embedded::tune_js);
    add(routes, "/profile_questions.js", kScript, embedded::profile_questions_js);
    add(routes, "/profile_bake.js", kScript, embedded::profile_bake_js);
    add(routes, "/profile_edits.js", kScript, embedded::profile_edits_js);
    add(routes, "/booth_log.js", kScript, embedded::booth_log_js);
    add(routes, "/part_mover.js", kScript, embedded::part_mover_js);
    add(routes, "/profile_names.js", kScript, embedded::profile_names_js);
    add(routes, "/part_form.js", kScript, embedded::part_form_js);
    add(routes, "/shell_editor.js", kScript, embedded::shell_editor_js);
    add(routes, "/profiles.js", kScript, embedded::profiles_js);
    add(routes, "/profiles.css", kStyle, embedded::profiles_css);
    add(routes, "/page.js", kScript, embedded::page_js);
    add(routes, "/pictures.js", kScript, report::pictures_script().text);
    add(routes, "/lanes.js", kScript, report::lanes_script().text);
    add(routes, "/shell_drawing.js", kScript, report::shell_drawing_script().text);
    add(routes, "/pictures_view.js", kScript, embedded::pictures_view_js);
    add(routes, "/pictures.css", kStyle, report::pictures_style().text);
    add(routes, "/dygraph.js", kScript, report::dygraphs_script().text);
    add(routes, "/dygraph.css", kStyle, report::dygraphs_style().text);
    add(routes, "/dygraph.txt", "text/plain; charset=utf-8", report::dygraphs_notice().text);
}

namespace {

namespace fs = std::filesystem;

/// What the documentation's site is made of, by the ending of a file's name; nothing else is handed out.
constexpr std::array<std::pair<std::string_view, const char*>, 8> kHelpTypes{{{".html", kHtml},
                                                                              {".css", kStyle},
                                                                              {".js", kScript},
                                                                              {".json", "application/json"},
                                                                              {".txt", "text/plain; charset=utf-8"},
                                                                              {".png", "image/png"},
                                                                              {".svg", "image/svg+xml"},
                                                                              {".md", "text/plain; charset=utf-8"}}};
constexpr std::size_t kLargestHelpBytes = std::size_t{16} << 20;

/// A name as the site's files have them: no dots in front, nothing that leads elsewhere.
bool is_plain_name(const std::string& part) {
    return !part.empty() && part.front() != '.' && std::ranges::all_of(part, [](unsigned char letter) {
        return std::isalnum(letter) != 0 || letter == '.' || letter == '_' || letter == '-';
    });
}

Answer help_file(const std::string& folder, const std::vector<std::string>& parts) {
    fs::path path = folder;
    std::error_code error;
    if (folder.empty() || !fs::is_directory(path, error))
        return problem_answer(404, "the documentation is not installed with this program; its pages are in docs/ of the source");
    const auto type = std::ranges::find_if(kHelpTypes, [&](const auto& one) { return parts.back().ends_with(one.first); });
    if (type == kHelpTypes.end() || !std::ranges::all_of(parts, is_plain_name))
        return problem_answer(404, "there is nothing under this address");
    for (const std::string& part : parts) path /= part;
    if (!fs::is_regular_file(path, error)) return problem_answer(404, "there is nothing under this address");
    return {.type = type->second, .text = services::read_file(path, kLargestHelpBytes)};
}

}  // namespace

void add_help_files(Routes& routes, const std::string& folder) {
    std::string pattern = "/help";
    for (int depth = 1; depth <= 4; ++depth) {  // as deep as the site is
        pattern += "/{}";
        routes.add("GET", pattern, [&folder](const Asked& asked) { return help_file(folder, asked.parts); });
    }
}

void add_opening_files(Routes& routes) {
    add(routes, "/open", kHtml, embedded::open_html);
    add(routes, "/open.js", kScript, embedded::open_js);
    add(routes, "/open.css", kStyle, embedded::open_css);
}

}  // namespace bakewright::page
