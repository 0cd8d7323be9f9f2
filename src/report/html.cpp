#include "bakewright/report/html.hpp"

#include <fmt/format.h>

#include <array>

#include "bakewright/report/assets.hpp"
#include "bakewright/report/elapsed.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/tables.hpp"
#include "bakewright/report/titles.hpp"
#include "chart_data.hpp"
#include "embedded.hpp"
#include "html_parts.hpp"
#include "html_sections.hpp"

namespace bakewright::report {
namespace {

/// The scripts of a report, in the order in which they stand in it.
std::array<Asset, 9> report_scripts() {
    return {{dygraphs_script(),
             {embedded::chart_paper_script, embedded::chart_paper_script_sha256},
             {embedded::chart_names_script, embedded::chart_names_script_sha256},
             {embedded::chart_legend_script, embedded::chart_legend_script_sha256},
             pictures_script(),
             lanes_script(),
             shell_drawing_script(),
             {embedded::chart_script, embedded::chart_script_sha256},
             {embedded::report_pictures_script, embedded::report_pictures_script_sha256}}};
}

/// Nothing may be fetched; only the scripts that stand in the page run. Styles need 'unsafe-inline' because the chart library
/// sets some on its elements.
std::string content_security_policy() {
    std::string hashes;
    for (const Asset& script : report_scripts()) hashes += " " + policy_hash(script.sha256_hex);
    return fmt::format("default-src 'none'; script-src{}; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'",
                       hashes);
}

std::string heading(const ReportInput& input) {
    const std::vector<std::pair<std::string, std::string>> facts = {
        {"Shell", input.shell_title},
        {"Coating", input.coating_title},
        {"Booth", input.booth_title},
        {"Cycle", input.cycle_title},
        {"Started", readable_time(started_at(input))},
        {"Written", readable_time(input.written_at)},
    };
    return "<header>\n<h1>" + isolated(input.title) + "</h1>\n" + fact_list(facts) + paragraph(input.remark, "remark") +
           "</header>\n";
}

std::string answer_line(std::string_view label, const std::string& sentence) {
    const std::size_t colon = sentence.find(':');
    const std::string word = sentence.substr(0, colon);
    const char* mark = word == "GOOD" ? "calm" : (word == "UNDER" || word == "OVER" ? "alarm" : "strong");
    return fmt::format("<p class=\"answer\"><span class=\"word {}\">{}</span> <span>{}{}</span></p>\n", mark, escape_html(word),
                       label.empty() ? std::string() : "<b>" + isolated(label) + ":</b> ", isolated(sentence.substr(colon + 2)));
}

/// The worst place of each verdict, in words, before anything else; then what may have spoilt the film before it cured.
std::string answer(const ReportInput& input) {
    std::string html;
    for (const JudgedBake& judged : input.verdicts) {
        html += answer_line(judged.label, worst_place_sentence(judged.verdict, input.units));
        for (const std::string& question : question_sentences(judged.verdict))
            html += answer_line(judged.label, "CHECK: " + question);
        const std::vector<std::string> warnings = warning_sentences(judged.verdict, input.units);
        if (!warnings.empty()) html += answer_line(judged.label, "CHECK: " + warnings.front());
    }
    return html.empty() ? html : "<div class=\"answers\" role=\"note\" aria-label=\"Worst place first\">\n" + html + "</div>\n";
}

std::string chart_key(const ChartData& data, bool set_point) {
    std::string html = "<p class=\"key\">";
    if (data.has_logged) html += "<span><i class=\"line logged\"></i> logged</span> ";
    if (data.has_predicted) html += "<span><i class=\"line predicted\"></i> predicted</span> ";
    if (data.has_bands) html += "<span><i class=\"line band\"></i> predicted, 90 % of the model's members</span> ";
    if (set_point) html += "<span><i class=\"line setpoint\"></i> set point</span> ";
    return html + "<span><i class=\"line limit\"></i> limit</span></p>\n";
}

std::string thinning_note(const ChartData& data, std::size_t most_points) {
    if (data.thinned == 0) return {};
    return paragraph(
        fmt::format("{} long traces are drawn with about {} points each: every short stretch of time keeps its lowest and its "
                    "highest reading. The tables use every sample.",
                    data.thinned, most_points),
        "small");
}

/// A picture that a script draws into an empty element.
std::string drawn_by_script(std::string_view id) {
    return fmt::format("<div class=\"picture-keys\" id=\"{0}-key\"></div>\n<div id=\"{0}\"></div>\n", id);
}

std::string lanes(const ReportInput& input) {
    if (!input.course) return {};
    const std::string label = input.verdicts.empty() ? std::string() : input.verdicts.front().label;
    return paragraph(label.empty() ? "Cure over time, slowest zone first" : "Cure over time (" + label + "), slowest zone first",
                     "label") +
           drawn_by_script("lanes");
}

std::string shell(const ReportInput& input, const ChartData& data) {
    if (!input.drawing || data.empty()) return {};
    return section("shell-heading", "On the shell", drawn_by_script("shell"));
}

std::string chart(const ReportInput& input, const ChartData& data) {
    if (data.empty()) return {};
    const std::string html = fmt::format(
        "<figure>\n<div class=\"above\">{}<button type=\"button\" id=\"whole\" hidden>Whole bake</button></div>\n"
        "<div id=\"frame\"><div id=\"chart\" role=\"img\" aria-label=\"Temperatures over time; the same numbers are in the "
        "tables\"></div></div>\n"
        "<p class=\"small\" id=\"axis\">Time since the start [h:mm]{}; temperature [{}]. "
        "<span class=\"screen\">Drag across the chart to look closer, double-click for the whole bake.</span></p>\n{}"
        "{}<div id=\"legend\"></div>\n<noscript><p>The chart is drawn by a script in this file. Without it, the tables say the "
        "same.</p></noscript>\n</figure>\n",
        chart_key(data, !input.stages.empty()), clock_minutes(started_at(input)) ? " and time of day" : "",
        temperature_symbol(input.units), thinning_note(data, input.most_points), lanes(input));
    return section("temperatures", "Temperatures", html);
}

std::string scripts(const ChartData& data) {
    if (data.empty()) return {};
    std::string html = fmt::format("<!--\n{}\n-->\n<script type=\"application/json\" id=\"bake-data\">{}</script>\n",
                                   embedded::dygraphs_notice, json_for_script(data.json));
    for (const Asset& script : report_scripts()) html += fmt::format("<script>{}</script>\n", script.text);
    return html;
}

}  // namespace

std::string html_report(const ReportInput& by_name) {
    const ReportInput input = titled(by_name);
    const ChartData data = chart_data(input);
    const std::string cycle = html_table(cycle_table(input.stages, input.units, started_at(input)), input.cycle_title);
    return "<!DOCTYPE html>\n<html lang=\"en\">\n" + page_head(input.title, content_security_policy()) + "<body>\n" +
           heading(input) + "<main>\n" + answer(input) + section("cycle", "Cycle", cycle) + chart(input, data) +
           shell(input, data) + verdicts_section(input) + items_section(input) + history_section(input) + zones_section(input) +
           comparison_section(input) + probes_section(input) + booth_section(input) + assumed_section(input) + caution_section() +
           "</main>\n" + made_from(input.provenance) + scripts(data) + "</body>\n</html>\n";
}

}  // namespace bakewright::report
