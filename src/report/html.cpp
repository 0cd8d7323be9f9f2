// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/html.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string>
#include <vector>

#include "bakewright/report/answers.hpp"
#include "bakewright/report/assets.hpp"
#include "bakewright/report/checklist.hpp"
#include "bakewright/report/comparison_text.hpp"
#include "bakewright/report/estimate_text.hpp"
#include "bakewright/report/hand_text.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/shell_text.hpp"
#include "bakewright/report/tables.hpp"
#include "bakewright/report/text.hpp"
#include "bakewright/report/titles.hpp"
#include "chart_data.hpp"
#include "embedded.hpp"
#include "html_parts.hpp"

namespace bakewright::report {

namespace {

/// On paper beside one another.
std::string beside(const std::string& html) { return html.empty() ? html : "<div class=\"pair\">\n" + html + "</div>\n"; }

std::string of_label(std::string_view what, const JudgedBake& judged) {
    return judged.label.empty() ? std::string(what) : fmt::format("{} ({})", what, judged.label);
}

/// By what they are taken of, in the order in which they come.
std::string assumption_list(const std::vector<Assumption>& assumptions) {
    std::string html;
    for (std::size_t i = 0; i < assumptions.size(); ++i) {
        const Assumption& one = assumptions[i];
        if (i == 0 || assumptions[i - 1].subject != one.subject)
            html += (i == 0 ? "" : "</dl>\n") + paragraph(one.subject, "label") + "<dl class=\"taken\">\n";
        html += "<div><dt>" + isolated(one.value) + "</dt><dd>" + isolated(one.source) + "</dd></div>\n";
    }
    return html.empty() ? html : html + "</dl>\n";
}

bool holds(const std::vector<std::string>& list, const std::string& text) {
    return std::find(list.begin(), list.end(), text) != list.end();
}

/// What each verdict rests on: first what all share, then what is one's own.
std::string resting_on(const std::vector<JudgedBake>& verdicts) {
    std::vector<std::vector<std::string>> all;
    for (const JudgedBake& judged : verdicts) all.push_back(verdict_sentences(judged.verdict));
    std::vector<std::string> shared;
    if (!all.empty())
        for (const std::string& sentence : all.front())
            if (std::all_of(all.begin(), all.end(), [&](const auto& own) { return holds(own, sentence); }))
                shared.push_back(sentence);
    std::string html = bullet_list(shared);
    for (std::size_t i = 0; i < all.size(); ++i) {
        std::erase_if(all[i], [&](const std::string& sentence) { return holds(shared, sentence); });
        if (all[i].empty()) continue;
        const std::string own = paragraph(verdicts[i].label, "label") + bullet_list(all[i]);
        html += i == 0 ? own : only_in_full(own);
    }
    return html;
}

std::string error_text(const probe::ProbeRecord& probe, const Units& units) {
    const auto standard_k = probe.standard_uncertainty_k(celsius_to_kelvin(60.0));
    return standard_k ? difference_number(*standard_k, units, 2) : std::string("n/a");
}

std::string calibration_text(const probe::ProbeRecord& probe) {
    if (!probe.calibration) return "none: by its class";
    return probe.calibrated_on + (probe.due_on.empty() ? "" : ", due " + probe.due_on);
}

Table probe_table(const probe::ProbeSet& set, const Units& units) {
    Table table({{.head = "Channel"},
                 {.head = "Probe"},
                 {.head = "Type and class"},
                 {.head = "Attached by"},
                 {.head = "Largest pull toward\nair temperature, %", .align = Align::right},
                 {.head = "Calibrated"},
                 {.head = "Standard uncertainty\n" + difference_symbol(units), .align = Align::right}});
    for (const probe::ProbeRecord& probe : set.probes) {
        std::string type(word_of(probe.type));
        if (probe.tolerance) type += ", " + std::string(word_of(*probe.tolerance));
        table.add({probe.channel, probe.id, type, std::string(word_of(probe.attachment)), fixed(100.0 * probe.air_share, 0),
                   calibration_text(probe), error_text(probe, units)});
    }
    return table;
}

std::string history_section(const ReportInput& input) {
    if (!input.history) return {};
    const cure::ShellVerdict& history = *input.history;
    const std::string html =
        section("history", "Exposure so far",
                html_table(item_history_table(history, input.units), "Items over every bake so far, worst first", "judged") +
                    html_table(coat_table(history, input.units), "Coats so far, in the order sprayed", "judged"));
    // Of one coat after one bake the bake's own tables say the same.
    const bool is_one_coat = std::all_of(history.coats.begin(), history.coats.end(),
                                         [&](const auto& one) { return one.coat == history.coats.front().coat; });
    return history.bake_names.size() > 1 || !is_one_coat ? html : only_in_full(html);
}

std::string probes_section(const ReportInput& input) {
    const std::string found = bullet_list(input.probe_findings);
    if (!input.probes) return found.empty() ? "" : section("probes", "Probes", found);
    return section("probes", "Probes and calibration",
                   html_table(probe_table(*input.probes, input.units), input.probes->title) + found);
}

std::string hand_section(const ReportInput& input) {
    return section("by-hand", "Noted by hand",
                   html_table(hand_table(input.noted, input.units), "Held against log, sheet and verdict"));
}

std::string booth_section(const ReportInput& input) {
    return section("booth", "Burner and booth air", bullet_list(input.booth_run));
}

/// Of a log and its prediction the log's numbers are the bake's; the prediction's stand on paper where all of it is asked for.
std::string first_alone(const std::vector<std::string>& halves) {
    std::string html;
    for (std::size_t i = 0; i < halves.size(); ++i) html += i == 0 ? halves[i] : only_in_full(halves[i]);
    return html;
}

/// The tables and sentences of a bake report, a section each; empty where there is nothing to say.
std::string zones_section(const ReportInput& input) {
    std::string html;
    if (input.logged) html += html_table(zone_table(*input.logged, input.stages, input.units), "Logged, last to arrive first");
    if (input.predicted)
        html += html_table(zone_table(*input.predicted, input.stages, input.units), "Predicted, last to arrive first");
    return section("zones", "Arrival and peaks", beside(html));
}

std::string verdicts_section(const ReportInput& input) {
    std::vector<std::string> halves;
    for (const JudgedBake& judged : input.verdicts) {
        std::string& html = halves.emplace_back();
        html += html_table(verdict_table(judged.verdict, input.units), of_label("By zone, worst first", judged), "judged");
        const std::string warnings = bullet_list(warning_sentences(judged.verdict, input.units));
        if (!warnings.empty()) html += paragraph(of_label("Flash-off and heating", judged), "label") + warnings;
        const std::string certainties = bullet_list(certainty_sentences(judged.verdict, input.units));
        if (!certainties.empty()) html += paragraph(of_label("How sure", judged), "label") + certainties;
        const std::string conversions = bullet_list(conversion_sentences(judged.verdict, input.units));
        if (!conversions.empty())
            html += paragraph(of_label("Degree of cure by a rate law; it changes no word", judged), "label") + conversions;
    }
    return section("verdicts", "Cure", first_alone(halves));
}

std::string items_section(const ReportInput& input) {
    std::vector<std::string> halves;
    for (const JudgedBake& judged : input.verdicts)
        halves.push_back(html_table(item_table(judged.verdict, input.units), of_label("Worst first", judged), "judged"));
    return section("items", "Heat-sensitive items", first_alone(halves));
}

std::string comparison_section(const ReportInput& input) {
    if (!input.comparison) return {};
    std::string tables = html_table(comparison_table(*input.comparison, input.units),
                                    "Differences are predicted minus logged; a positive lag: the log runs behind");
    std::string said = bullet_list(unmatched_sentences(*input.comparison));
    if (input.agreement && !input.agreement->channels.empty()) {
        tables += html_table(agreement_table(*input.agreement, input.units), kAgreementCaption);
        said += bullet_list(agreement_sentences(*input.agreement, input.units));
    }
    return section("comparison", "Predicted against logged", beside(tables) + said);
}

std::string assumed_section(const ReportInput& input) {
    std::string in_full = assumption_list(input.assumptions);
    if (!input.splits.empty())
        in_full += paragraph("Zones split through their thickness", "label") + bullet_list(split_sentences(input.splits));
    return section("assumed", "Assumed", resting_on(input.verdicts) + only_in_full(in_full));
}

/// What two sheets leave out, and how to have it.
std::string left_out(const ReportInput& input) {
    std::string what = "Left out on paper: arrival and peaks";
    if (input.comparison) what += ", prediction against log";
    what += input.verdicts.size() > 1 ? ", the prediction's own numbers" : "";
    return paragraph(what +
                         ", burner and booth air, the source of each assumed number. The file has them: \"Print all of it\", or "
                         "`bakewright report --full`.",
                     "small left-out");
}

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
           (input.prints_all ? "" : "<button type=\"button\" id=\"print-all\" hidden>Print all of it</button>\n") + "</header>\n";
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
        html += paragraph(counts_sentence(judged.verdict), "counts");
        if (const std::string from = known_from_sentence(judged.verdict); !from.empty()) html += paragraph(from, "counts");
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
    if (data.has_estimated) html += "<span><i class=\"line estimated\"></i> estimated: no probe there</span> ";
    if (data.has_predicted) html += "<span><i class=\"line predicted\"></i> predicted</span> ";
    if (data.has_bands) html += "<span><i class=\"line band\"></i> 90 % of the simulated bakes</span> ";
    if (set_point) html += "<span><i class=\"line setpoint\"></i> set point</span> ";
    return html + "<span><i class=\"line limit\"></i> limit</span></p>\n";
}

std::string thinning_note(const ChartData& data, std::size_t most_points) {
    if (data.thinned == 0) return {};
    return paragraph(
        fmt::format("{} long traces are drawn with about {} points each: every short stretch of time keeps its lowest and its "
                    "highest reading. The tables use every sample that was judged.",
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
    return "<!DOCTYPE html>\n<html lang=\"en\">\n" + page_head(input.title, content_security_policy()) +
           (input.prints_all ? "<body class=\"all\">\n" : "<body>\n") + heading(input) + "<main>\n" + answer(input) +
           chart(input, data) + shell(input, data) + verdicts_section(input) +
           beside(section("cycle", "Cycle", cycle) + items_section(input)) + history_section(input) +
           only_in_full(zones_section(input) + comparison_section(input)) + hand_section(input) + probes_section(input) +
           only_in_full(booth_section(input)) + assumed_section(input) + caution_section() + left_out(input) + "</main>\n" +
           made_from(input.provenance) + scripts(data) + "</body>\n</html>\n";
}

}  // namespace bakewright::report
