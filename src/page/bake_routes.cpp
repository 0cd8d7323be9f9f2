#include <charconv>

#include "answers.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/report/agreement_text.hpp"
#include "bakewright/report/html.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/json_commands.hpp"
#include "bakewright/report/tables.hpp"
#include "bakewright/report/titles.hpp"
#include "bakewright/shop/bake_report.hpp"
#include "bakewright/shop/shell_report.hpp"
#include "body.hpp"
#include "context.hpp"

namespace bakewright::page {
namespace {

shop::ReportAsked report_asked(const Context& context, const Units& units) {
    return {.title = {},
            .written_at = book::utc_now(),
            .program_version = context.options.program_version,
            .units = units,
            .coating = {},
            .certainty = {}};
}

/// Whether each channel of the log is one with its prediction; null where that was not reckoned.
Json agreement_words(const report::ReportInput& input) {
    if (!input.agreement || input.agreement->channels.empty()) return nullptr;
    const tune::Agreement agreement = report::titled(*input.agreement, input.titles);
    return {{"caption", report::kAgreementCaption},
            {"channels", json_of(report::agreement_table(agreement, input.units))},
            {"said", report::agreement_sentences(agreement, input.units)}};
}

Json words_of(const report::ReportInput& input) {
    Json verdicts = Json::array();
    for (const report::JudgedBake& judged : input.verdicts) {
        Json words = {{"label", judged.label}};
        words.update(verdict_words(judged.verdict, input.titles, input.units));
        verdicts.push_back(std::move(words));
    }
    Json words = {{"verdicts", std::move(verdicts)},
                  {"cycle", json_of(report::cycle_table(input.stages, input.units, input.started_at))},
                  {"comparison", nullptr},
                  {"agreement", agreement_words(input)}};
    if (!input.comparison) return words;
    const tune::Comparison comparison = report::titled(*input.comparison, input.titles);
    words["comparison"] = json_of(report::comparison_table(comparison, input.units));
    words["unmatched"] = report::unmatched_sentences(comparison);
    return words;
}

/// Of the bake's shell, or of its other half's.
std::vector<cure::HeatSensitiveItem> items_of(const shop::StoredBake& bake, const std::optional<shop::StoredBake>& other) {
    return bake.shell || !other ? bake.item_limits() : other->item_limits();
}

/// A bake with its other half. @param how  with what is to be reckoned of how sure its verdicts are
Json show(const std::string& number, const shop::ReportAsked& how, const Context& context) {
    book::Book book = context.book(book::Mode::read_only);
    const shop::StoredBake bake = shop::load_bake(book, shop::bake_id(number, "bake"));
    const std::optional<shop::StoredBake> other = shop::other_half(book, bake);
    report::ReportInput input = shop::report_input(how, book, bake, other);
    Json words = words_of(input);
    Json lines = chart_lines(input.coating, items_of(bake, other));
    if (input.predicted) input.predicted = drawn(*input.predicted);
    if (input.logged) input.logged = drawn(*input.logged);
    return page_document("bake-view", {{"bake", static_cast<std::int64_t>(bake.record.id)},
                                       {"kind", Json(book::bake_kind_name(bake.record.kind))},
                                       {"report", report::document_of(input, true)},
                                       {"words", std::move(words)},
                                       {"lines", std::move(lines)}});
}

/// A report as its own page. It holds scripts of its own: a sandbox keeps them from asking this server anything.
Answer report_page(std::string html) {
    return {.type = "text/html; charset=utf-8",
            .text = std::move(html),
            .headers = {{"Content-Security-Policy",
                         "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; base-uri 'none'; "
                         "form-action 'none'; frame-ancestors 'none'; sandbox allow-scripts allow-modals"}}};
}

Answer written(const Asked& asked, const Context& context) {
    book::Book book = context.book(book::Mode::read_only);
    const shop::StoredBake bake = shop::load_bake(book, shop::bake_id(asked.parts[0], "bake"));
    shop::ReportAsked how = report_asked(context, units_of(asked));
    how.certainty = shop::CertaintyOptions{};
    return report_page(report::html_report(shop::report_input(how, book, bake, shop::other_half(book, bake))));
}

/// The same of a shell over all its bakes.
Answer written_shell(const Asked& asked, const Context& context) {
    book::Book book = context.book(book::Mode::read_only);
    return report_page(report::html_shell_report(shop::shell_report_input({.shell = asked.parts[0],
                                                                           .written_at = book::utc_now(),
                                                                           .program_version = context.options.program_version,
                                                                           .units = units_of(asked),
                                                                           .certainty = {}},
                                                                          book)));
}

}  // namespace

void add_bake_routes(Routes& routes, Context& context) {
    routes.add("GET", "/api/bakes", [&context](const Asked&) -> Answer {
        std::vector<book::BakeSummary> bakes;
        if (std::optional<book::Book> book = context.book_if_any()) bakes = book::BakeRepository(*book).list({.limit = 500});
        return answer_of(report::document_of(bakes));
    });
    routes.add("GET", "/api/bakes/{}", [&context](const Asked& asked) {
        return answer_of(show(asked.parts[0], report_asked(context, units_of(asked)), context));
    });
    routes.add("POST", "/api/bakes/{}/certainty", [&context](const Asked& asked) {
        const Units units = Body(asked.body).units();
        book::Book book = context.book(book::Mode::read_only);
        static_cast<void>(
            book::BakeRepository(book).get(shop::bake_id(asked.parts[0], "bake")));  // a bake that is none is told now
        const int job = context.jobs.start([&context, number = asked.parts[0], units](const Progress& progress) {
            shop::ReportAsked how = report_asked(context, units);
            how.certainty = shop::CertaintyOptions{.given = {}, .progress = progress};
            return show(number, how, context);
        });
        return json_answer("job", {{"job", job}});
    });
    const RouteRule slow{.pace = Pace::slow};
    routes.add(
        "GET", "/report/{}", [&context](const Asked& asked) { return written(asked, context); }, slow);
    routes.add(
        "GET", "/report/shell/{}", [&context](const Asked& asked) { return written_shell(asked, context); }, slow);
    routes.add("POST", "/api/bakes/{}/note", [&context](const Asked& asked) {
        book::Book book = context.book(book::Mode::read_write);
        const book::BakeId id = shop::bake_id(asked.parts[0], "bake");
        book::BakeRepository(book).set_note(id, Body(asked.body).text("note"));
        return json_answer("kept", {{"bake", static_cast<std::int64_t>(id)}});
    });
}

}  // namespace bakewright::page
