#include "bakewright/report/html.hpp"

#include <fmt/format.h>

#include "bakewright/report/cautions.hpp"
#include "bakewright/report/elapsed.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/tables.hpp"
#include "chart_data.hpp"
#include "embedded.hpp"
#include "html_parts.hpp"

namespace bakewright::report {
namespace {

/// Nothing may be fetched; only the scripts that stand in the page run. Styles need 'unsafe-inline' because the chart library
/// sets some on its elements.
std::string content_security_policy() {
    return fmt::format("default-src 'none'; script-src {} {} {}; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'",
                       policy_hash(embedded::dygraphs_script_sha256), policy_hash(embedded::chart_paper_script_sha256),
                       policy_hash(embedded::chart_script_sha256));
}

std::string head(const ReportInput& input) {
    return fmt::format(
        "<head>\n<meta charset=\"utf-8\">\n<meta http-equiv=\"Content-Security-Policy\" content=\"{}\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<meta name=\"referrer\" "
        "content=\"no-referrer\">\n"
        "<title>{}</title>\n<style>{}\n{}</style>\n</head>\n",
        content_security_policy(), escape_html(one_line(input.title)), embedded::dygraphs_style, embedded::report_style);
}

/// "2026-03-04 16:20:00": the T of ISO 8601 is for programs.
std::string readable_time(std::string time) {
    if (clock_minutes(time)) time[10] = ' ';
    return time;
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

std::string of_label(std::string_view what, const JudgedBake& judged) {
    return judged.label.empty() ? std::string(what) : fmt::format("{} ({})", what, judged.label);
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

std::string chart(const ReportInput& input, const ChartData& data) {
    if (data.empty()) return {};
    const std::string html = fmt::format(
        "<figure>\n<div class=\"above\">{}<button type=\"button\" id=\"whole\" hidden>Whole bake</button></div>\n"
        "<div id=\"frame\"><div id=\"chart\" role=\"img\" aria-label=\"Temperatures over time; the same numbers are in the "
        "tables\"></div></div>\n"
        "<p class=\"small\" id=\"axis\">Time since the start [h:mm]{}; temperature [{}]. "
        "<span class=\"screen\">Drag across the chart to look closer, double-click for the whole bake.</span></p>\n{}"
        "<div id=\"legend\"></div>\n<noscript><p>The chart is drawn by a script in this file. Without it, the tables say the "
        "same.</p></noscript>\n</figure>\n",
        chart_key(data, !input.stages.empty()), clock_minutes(started_at(input)) ? " and time of day" : "",
        temperature_symbol(input.units), thinning_note(data, input.most_points));
    return section("temperatures", "Temperatures", html);
}

std::string zones(const ReportInput& input) {
    std::string html;
    if (input.logged) html += html_table(zone_table(*input.logged, input.stages, input.units), "Logged, last to arrive first");
    if (input.predicted)
        html += html_table(zone_table(*input.predicted, input.stages, input.units), "Predicted, last to arrive first");
    return section("zones", "Arrival and peaks", html);
}

std::string verdicts(const ReportInput& input) {
    std::string html;
    for (const JudgedBake& judged : input.verdicts) {
        html += html_table(verdict_table(judged.verdict, input.units), of_label("By zone, worst first", judged), "judged");
        const std::string warnings = bullet_list(warning_sentences(judged.verdict, input.units));
        if (!warnings.empty()) html += paragraph(of_label("Flash-off and heating", judged), "label") + warnings;
        const std::string certainties = bullet_list(certainty_sentences(judged.verdict, input.units));
        if (!certainties.empty()) html += paragraph(of_label("How sure", judged), "label") + certainties;
        const std::string conversions = bullet_list(conversion_sentences(judged.verdict, input.units));
        if (!conversions.empty())
            html += paragraph(of_label("Degree of cure by a rate law; it changes no word", judged), "label") + conversions;
    }
    return section("verdicts", "Cure", html);
}

std::string items(const ReportInput& input) {
    std::string html;
    for (const JudgedBake& judged : input.verdicts)
        html += html_table(item_table(judged.verdict, input.units), of_label("Worst first", judged), "judged");
    return section("items", "Heat-sensitive items", html);
}

std::string comparison(const ReportInput& input) {
    if (!input.comparison) return {};
    return section("comparison", "Predicted against logged",
                   html_table(comparison_table(*input.comparison, input.units),
                              "Differences are predicted minus logged; a positive lag: the log runs behind") +
                       bullet_list(unmatched_sentences(*input.comparison)));
}

Table assumption_table(const std::vector<Assumption>& assumptions) {
    Table table({{.head = "What"}, {.head = "Taken as"}, {.head = "From"}});
    for (const Assumption& assumption : assumptions) table.add({assumption.subject, assumption.value, assumption.source});
    return table;
}

std::string assumed(const ReportInput& input) {
    std::string html = html_table(assumption_table(input.assumptions), {});
    for (const JudgedBake& judged : input.verdicts)
        html += paragraph(judged.label, "label") + bullet_list(verdict_sentences(judged.verdict));
    if (!input.splits.empty())
        html += paragraph("Zones split through their thickness", "label") + bullet_list(split_sentences(input.splits));
    return section("assumed", "Taken for granted", html);
}

std::string caution_section() {
    std::string html = "<dl class=\"cautions\">\n";
    for (const Caution& caution : cautions())
        html += "<div><dt>" + escape_html(caution.subject) + "</dt><dd>" + escape_html(caution.text) + "</dd></div>\n";
    return section("cautions", "Cautions", html + "</dl>\n");
}

std::string reproduced_from(const ReportInput& input) {
    std::vector<std::pair<std::string, std::string>> facts;
    for (const Provenance& provenance : input.provenance) facts.emplace_back(provenance.subject, provenance.value);
    const std::string html = fact_list(facts);
    return html.empty() ? html : "<footer class=\"small\">\n<h2>Made from</h2>\n" + html + "</footer>\n";
}

std::string scripts(const ChartData& data) {
    if (data.empty()) return {};
    return fmt::format(
        "<!--\n{}\n-->\n<script type=\"application/json\" "
        "id=\"bake-data\">{}</script>\n<script>{}</script>\n<script>{}</script>\n<script>{}</script>\n",
        embedded::dygraphs_notice, json_for_script(data.json), embedded::dygraphs_script, embedded::chart_paper_script,
        embedded::chart_script);
}

}  // namespace

std::string html_report(const ReportInput& input) {
    const ChartData data = chart_data(input);
    const std::string cycle = html_table(cycle_table(input.stages, input.units, started_at(input)), input.cycle_title);
    return "<!DOCTYPE html>\n<html lang=\"en\">\n" + head(input) + "<body>\n" + heading(input) + "<main>\n" + answer(input) +
           section("cycle", "Cycle", cycle) + chart(input, data) + verdicts(input) + items(input) + zones(input) +
           comparison(input) + assumed(input) + caution_section() + "</main>\n" + reproduced_from(input) + scripts(data) +
           "</body>\n</html>\n";
}

}  // namespace bakewright::report
