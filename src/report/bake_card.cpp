// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/bake_card.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/reason.hpp"
#include "bakewright/report/checklist.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/tables.hpp"
#include "bakewright/report/text.hpp"
#include "card_zones.hpp"
#include "embedded.hpp"
#include "html_parts.hpp"

namespace bakewright::report {
namespace {

bool by_clock(const BakeCard& card) { return clock_minutes(card.started_at).has_value(); }

std::string when(const BakeCard& card, double time_s) { return time_on_card(card, time_s); }

std::string basis_words(cure::ScheduleBasis basis) {
    if (basis == cure::ScheduleBasis::part) return "the sheet means PART temperature";
    return basis == cure::ScheduleBasis::booth_air ? "the sheet means BOOTH AIR"
                                                   : "the sheet does not say part or air: ask the maker";
}

std::string schedule_words(const BakeCard& card) {
    std::string text;
    for (const cure::ScheduleRow& row : card.coating.schedule)
        text += (text.empty() ? "" : " or ") + format_duration(row.minimum_s) + " at " +
                format_temperature(row.temperature_k, card.units, 0);
    return text;
}

std::string heading(const BakeCard& card) {
    const std::string start = by_clock(card) ? "starts " + card.started_at.substr(0, 10) + " " + when(card, 0.0)
                                             : "starts ____________ (times below count from then, h:mm)";
    return "<header>\n<h1>" + isolated(card.title) + "</h1>\n<p>" + isolated(card.shell_title) + " \u00b7 " +
           isolated(card.coating.title) + ": " + escape_html(schedule_words(card)) + ", " + basis_words(card.coating.basis) +
           " \u00b7 " + isolated(card.booth_title) + " \u00b7 " + escape_html(start) + "</p>\n</header>\n";
}

std::string set_point(const bake::ResolvedStage& stage, const Units& units) { return format_temperature(stage.end_k, units, 0); }

/// What has to be set: stages that follow one another with the same air are one.
std::vector<bake::ResolvedStage> stages_to_set(const std::vector<bake::ResolvedStage>& stages) {
    std::vector<bake::ResolvedStage> set;
    for (const bake::ResolvedStage& stage : stages) {
        const bool goes_on = !set.empty() && set.back().kind == stage.kind && set.back().end_k == stage.end_k;
        if (goes_on)
            set.back().end_s = stage.end_s;
        else
            set.push_back(stage);
    }
    return set;
}

/// Air that is not heated before anything else was: the booth stands.
std::string_view row_words(const bake::ResolvedStage& stage) {
    return stage.kind == bake::StageKind::cool && stage.begin_s <= 0.0 ? "wait" : stage_words(stage.kind);
}

/// More rows than the usual four are set smaller, so that the card stays one sheet.
std::string_view size_class(std::size_t rows) { return rows > 6 ? " many most" : rows > 4 ? " many" : ""; }

/// Of a cycle without one of its own, before the heat.
std::string purge_row(const BakeCard& card) {
    const std::string_view words = card.booth_purges_by_itself ? "by the booth's controller" : "NOT IN THIS CYCLE: purge first";
    return fmt::format(
        "<tr class=\"purge\"><th scope=\"row\">purge</th><td colspan=\"3\">{}</td><td class=\"blank\"></td>"
        "<td class=\"blank\"></td></tr>\n",
        escape_html(words));
}

std::string cycle(const BakeCard& card) {
    const std::vector<bake::ResolvedStage> stages = stages_to_set(card.stages);
    std::string html = fmt::format("<table class=\"cycle{}\">", size_class(stages.size()));
    html +=
        "\n<thead><tr><th>Stage</th><th>Set point</th><th>For</th><th>Until</th>"
        "<th>Actual</th><th>Initials</th></tr></thead>\n";
    bool is_purged = false;
    for (const bake::ResolvedStage& stage : stages) {
        is_purged = is_purged || stage.kind == bake::StageKind::purge;
        if (!is_purged && stage.end_k > stage.begin_k) {
            html += purge_row(card);
            is_purged = true;
        }
        html += fmt::format(
            "<tr class=\"{}\"><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{}</td><td class=\"blank\"></td>"
            "<td class=\"blank\"></td></tr>\n",
            word_of(stage.kind), row_words(stage), escape_html(set_point(stage, card.units)),
            escape_html(format_duration(stage.end_s - stage.begin_s)), escape_html(when(card, stage.end_s)));
    }
    return html + "</table>\n";
}

/// Which zone is slowest, and where the clock of its schedule starts.
std::string slowest(const BakeCard& card) {
    const cure::ZoneVerdict* zone = slowest_zone(card);
    if (zone == nullptr) return {};
    const std::optional<double> starts_s = clock_starts_s(card);
    const std::string at = format_temperature(zone->reference_temperature_k, card.units, 0);
    std::string text = starts_s
                           ? fmt::format("The clock starts when it is at {}, about {}. It needs {} from there.", at,
                                         when(card, *starts_s), format_duration(zone->reference_minimum_s))
                           : fmt::format("Not expected to reach {}. Below the sheet's temperature: ask the maker first.", at);
    return "<p class=\"slowest\">Slowest: <b>" + isolated(zone->zone) + "</b>. " + escape_html(text) + "</p>\n";
}

std::string must_be_out(const BakeCard& card) {
    std::string html = "<section><h2>Must be out of the shell</h2>\n<table class=\"out\">\n";
    for (const std::string& name : card.taken_out)
        html += "<tr><th scope=\"row\">" + isolated(name) + "</th><td class=\"open\">TAKE OUT \u2610</td></tr>\n";
    const auto things = checked_things();
    for (std::size_t i = 0; i < things.size(); ++i) {
        const CheckAnswer answer = card.checklist.answer_of(i);
        const bool open = answer == CheckAnswer::not_checked || answer == CheckAnswer::aboard;
        html += fmt::format("<tr><th scope=\"row\">{}</th><td{}>{}{}</td></tr>\n", escape_html(things[i].title),
                            open ? " class=\"open\"" : "", escape_html(answer_text(answer)), open ? " \u2610" : " \u2611");
    }
    return html + "</table></section>\n";
}

std::string checks(const BakeCard& card) {
    std::string html =
        "<section><h2>Check</h2>\n<table class=\"checks\">\n<thead><tr><th>At</th><th>What</th><th>Expected</th>"
        "<th>Found</th></tr></thead>\n";
    for (const CardCheck& check : card_checks(card))
        html += "<tr><th scope=\"row\">" + escape_html(when(card, check.at_s)) + "</th><td>" + isolated(check.what) +
                "</td><td>" + isolated(check.expected) + "</td><td class=\"blank\"></td></tr>\n";
    return html + "</table></section>\n";
}

std::string numbered(std::string_view title, const std::vector<std::string>& lines) {
    std::string html = fmt::format("<section><h2>{}</h2>\n<ol>\n", title);
    for (const std::string& line : lines) html += "<li>" + isolated(line) + "</li>\n";
    return html + "</ol></section>\n";
}

std::string stops(const BakeCard& card) {
    return "<section><h2>Stop the heat and call when</h2>\n" + bullet_list(card_stops(card)) +
           "<p>Call: ______________________________</p></section>\n";
}

std::string caution_lines() {
    std::string html = "<section class=\"cautions\"><h2>Cautions</h2>\n<p>";
    for (const Caution& caution : cautions())
        html += "<b>" + escape_html(caution.subject) + ":</b> " + escape_html(caution.text) + " ";
    return html + "</p></section>\n";
}

std::string foot(const BakeCard& card) {
    std::string text;
    for (const Provenance& provenance : card.provenance)
        text += (text.empty() ? "" : " \u00b7 ") + provenance.subject + " " + provenance.value;
    return "<footer><p class=\"signed\">Loaded by ________ Checked by ________ Heat on ________ Heat off ________ "
           "Released by ________</p>\n<p class=\"small\">Planned, not measured. " +
           isolated(text) + "</p></footer>\n";
}

/// GOOD is small; CHECK is as large as the set point.
std::string worst_word(const BakeCard& card) {
    const std::string sentence = worst_place_sentence(card.verdict, card.units);
    std::vector<std::string> questions = question_sentences(card.verdict);
    if (card.verdict.worst() == cure::Word::good && questions.empty()) return paragraph("Predicted " + sentence, "predicted");
    std::string html = "<p class=\"check\">CHECK</p>\n" + paragraph(sentence, "reason");
    for (const std::string& question : questions) html += paragraph(question, "reason");
    return html;
}

std::string not_checked(const BakeCard& card) {
    const std::string sentence = not_checked_sentence(card.checklist);
    return sentence.empty() ? std::string() : paragraph(sentence, "unchecked");
}

/// What would cure a zone that is UNDER: time where it gets to a row of the sheet, else heat.
std::string mend_under(const cure::ZoneVerdict& zone, const Units& units) {
    std::optional<double> missing_s;
    for (const cure::RowReading& row : zone.rows)
        if (row.longest_stay_s > 0.0) missing_s = std::min(missing_s.value_or(row.missing_s), row.missing_s);
    if (missing_s && *missing_s > 0.0)
        return fmt::format("Hold {} longer at this set point", format_duration(std::ceil(*missing_s / 60.0) * 60.0));
    return fmt::format(
        "Set it hotter: {} gets to {}, the sheet's coolest row is at {}", zone.zone,
        format_temperature(zone.peak_temperature_k, units, 0),
        format_temperature(zone.rows.empty() ? zone.reference_temperature_k : zone.rows.front().row.temperature_k, units, 0));
}

}  // namespace

std::string time_on_card(const BakeCard& card, double time_s) {
    return by_clock(card) ? clock_text(card.started_at, time_s) : elapsed_text(time_s);
}

std::string card_refusal(const cure::BakeVerdict& verdict, const Units& units) {
    const cure::Word word = verdict.worst();
    if (word != cure::Word::under && word != cure::Word::over) return {};
    const std::string reason = "There is no card for this bake. " + worst_place_sentence(verdict, units);
    if (word == cure::Word::over)
        return reason +
               " Set it cooler or hold it shorter, or take out or shield what gets too hot; `bakewright plan` finds a cycle.";
    const auto under = std::ranges::find(verdict.zones, cure::Word::under, &cure::ZoneVerdict::word);
    return fmt::format("{} {}; `bakewright plan` finds a cycle.", reason, mend_under(*under, units));
}

std::string html_card(const BakeCard& card) {
    ensure(card.checklist.blocking().empty(), "with something still in that must be out there is no card");
    ensure(card_refusal(card.verdict, card.units).empty(), "a bake that is UNDER or OVER has no card");
    return fmt::format(
               "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta "
               "http-equiv=\"Content-Security-Policy\" "
               "content=\"default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n<meta "
               "name=\"viewport\" content=\"width=device-width, "
               "initial-scale=1\">\n<title>{}</title>\n<style>{}</style>\n</head>\n"
               "<body>\n",
               escape_html(one_line("Bake card: " + card.title)), embedded::card_style) +
           heading(card) + not_checked(card) + worst_word(card) + cycle(card) + slowest(card) +
           paragraph(hot_surface_sentence(card) + " " + as_sentence(cure::after_bake_text(card.coating)), "hot") +
           "<div class=\"columns\">\n<div>\n" + must_be_out(card) + numbered("Probes go to", card_probes(card)) +
           "</div>\n<div>\n" + checks(card) + stops(card) + "</div>\n</div>\n" + caution_lines() + foot(card) +
           "</body>\n</html>\n";
}

}  // namespace bakewright::report
