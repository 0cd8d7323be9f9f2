// SPDX-License-Identifier: Apache-2.0
#include "static_files.hpp"

#include <string_view>

#include "bakewright/report/assets.hpp"
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
    add(routes, "/chart.js", kScript, embedded::chart_js);
    add(routes, "/map.js", kScript, embedded::map_js);
    add(routes, "/checklist.js", kScript, embedded::checklist_js);
    add(routes, "/today.js", kScript, embedded::today_js);
    add(routes, "/prepare.js", kScript, embedded::prepare_js);
    add(routes, "/bakes.js", kScript, embedded::bakes_js);
    add(routes, "/log.js", kScript, embedded::log_js);
    add(routes, "/history.js", kScript, embedded::history_js);
    add(routes, "/tune.js", kScript, embedded::tune_js);
    add(routes, "/profile_questions.js", kScript, embedded::profile_questions_js);
    add(routes, "/profiles.js", kScript, embedded::profiles_js);
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

void add_opening_files(Routes& routes) {
    add(routes, "/open", kHtml, embedded::open_html);
    add(routes, "/open.js", kScript, embedded::open_js);
    add(routes, "/open.css", kStyle, embedded::open_css);
}

}  // namespace bakewright::page
