// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <map>

#include "bakewright/report/assets.hpp"
#include "bakewright/report/hand_text.hpp"
#include "bakewright/report/html.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/shell_text.hpp"
#include "bakewright/report/tables.hpp"
#include "bakewright/report/titles.hpp"
#include "embedded.hpp"
#include "html_parts.hpp"
#include "json_records.hpp"

namespace bakewright::report {
namespace {

std::array<Asset, 3> shell_scripts() {
    return {{pictures_script(), shell_drawing_script(), {embedded::shell_report_script, embedded::shell_report_script_sha256}}};
}

std::string policy(const ShellReportInput& input) {
    std::string scripts;
    if (input.drawing)
        for (const Asset& script : shell_scripts()) scripts += " " + policy_hash(script.sha256_hex);
    return "default-src 'none'; " + (scripts.empty() ? std::string() : "script-src" + scripts + "; ") +
           "style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";
}

/// The worst word of each zone over its coats: coats come worst zone first, so by rank of the word.
Json words_by_zone(const cure::ShellVerdict& verdict) {
    constexpr std::array kBestFirst = {cure::Word::good, cure::Word::not_judged, cure::Word::check, cure::Word::under,
                                       cure::Word::over};
    const auto rank = [&](cure::Word word) { return std::find(kBestFirst.begin(), kBestFirst.end(), word) - kBestFirst.begin(); };
    std::map<std::string, cure::Word> words;
    for (const cure::CoatVerdict& coat : verdict.coats) {
        const auto [at, is_new] = words.emplace(coat.total.zone, coat.total.word);
        if (!is_new && rank(coat.total.word) > rank(at->second)) at->second = coat.total.word;
    }
    Json json = Json::object();
    for (const auto& [zone, word] : words) json[zone] = cure::word_text(word);
    return json;
}

std::string drawing(const ShellReportInput& input) {
    if (!input.drawing) return {};
    const Json data = {{"drawing", fields_of(*input.drawing)}, {"verdicts", words_by_zone(input.verdict)}};
    std::string html =
        "<div class=\"picture-keys\" id=\"shell-key\"></div>\n<div id=\"shell\"></div>\n<script "
        "type=\"application/json\" id=\"shell-data\">" +
        json_for_script(json_text(data, -1)) + "</script>\n";
    return section("shell-heading", "On the shell: the worst of its coats", html);
}

std::string removals(const ShellReportInput& input) {
    return section("out", "Must come out first", bullet_list(removal_sentences(input.verdict, input.units)));
}

std::string windows(const ShellReportInput& input) {
    std::vector<std::string> sentences;
    for (const cure::RecoatWarning& warning : input.verdict.recoats) sentences.push_back(as_sentence(warning.reason));
    for (const cure::CoatHeatWarning& warning : input.verdict.heat_warnings) sentences.push_back(as_sentence(warning.reason));
    return section("windows", "Recoat windows and flash-off", bullet_list(sentences));
}

std::string questions(const ShellReportInput& input) {
    return section("questions", "To be answered first", bullet_list(question_sentences(input.verdict)));
}

std::string by_hand(const ShellReportInput& input) {
    return section("by-hand", "Noted by hand",
                   html_table(hand_table(input.noted, input.units, true), "Held against log, sheet and verdict"));
}

std::string sure(const ShellReportInput& input) {
    return section("sure", "How sure", bullet_list(certainty_sentences(input.verdict, input.units, false)));
}

std::string remarks(const ShellReportInput& input) {
    std::vector<std::string> sentences;
    for (const std::string& remark : input.verdict.remarks) sentences.push_back(as_sentence(remark));
    return section("assumed", "Assumed", bullet_list(sentences));
}

std::string scripts(const ShellReportInput& input) {
    std::string html;
    if (input.drawing)
        for (const Asset& script : shell_scripts()) html += "<script>" + std::string(script.text) + "</script>\n";
    return html;
}

}  // namespace

std::string html_shell_report(const ShellReportInput& by_name) {
    ShellReportInput input = by_name;
    input.verdict = titled(std::move(input.verdict), input.titles);
    if (input.drawing) input.drawing = titled(std::move(*input.drawing), input.titles);
    for (HandRow& row : input.noted) row.note.zone = title_of(row.note.zone, input.titles);
    const cure::ShellVerdict& verdict = input.verdict;
    const std::string title = "History of " + input.shell_title;
    const std::string coats = html_table(coat_table(verdict, input.units), "In the order sprayed", "judged") +
                              html_table(coat_zone_table(verdict, input.units), "Every coat on every zone", "judged");
    return "<!DOCTYPE html>\n<html lang=\"en\">\n" + page_head(title, policy(input)) + "<body>\n<header>\n<h1>" +
           isolated(title) + "</h1>\n" +
           fact_list({{"Written", readable_time(input.written_at)}, {"Worst", std::string(cure::word_text(verdict.worst()))}}) +
           "</header>\n<main>\n" + questions(input) + removals(input) + section("bakes", "Bakes", bullet_list(input.bakes)) +
           drawing(input) +
           section("items", "Heat-sensitive items",
                   html_table(item_history_table(verdict, input.units), "Worst first", "judged")) +
           section("coats", "Coats", coats) + windows(input) + by_hand(input) + sure(input) + remarks(input) + caution_section() +
           "</main>\n" + made_from(input.provenance) + scripts(input) + "</body>\n</html>\n";
}

}  // namespace bakewright::report
