#include <charconv>

#include "answers.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/report/comparison_text.hpp"
#include "bakewright/report/html.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/tables.hpp"
#include "bakewright/report/titles.hpp"
#include "bakewright/services/bake_card.hpp"
#include "bakewright/services/entered.hpp"
#include "bakewright/services/reports.hpp"
#include "body.hpp"
#include "context.hpp"
#include "prepare_task.hpp"

namespace bakewright::page {

namespace {

services::ReportAsked report_asked(const Context& context, const Units& units) {
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
std::vector<cure::HeatSensitiveItem> items_of(const services::StoredBake& bake,
                                              const std::optional<services::StoredBake>& other) {
    return bake.shell || !other ? bake.item_limits() : other->item_limits();
}

/// A bake with its other half. @param how  with what is to be reckoned of how sure its verdicts are
Json show(const std::string& number, const services::ReportAsked& how, const Context& context) {
    book::Book book = context.book(book::Mode::read_only);
    const services::StoredBake bake = services::load_bake(book, services::bake_id(number, "bake"));
    const std::optional<services::StoredBake> other = services::other_half(book, bake);
    report::ReportInput input = services::report_input(how, book, bake, other);
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
    const services::StoredBake bake = services::load_bake(book, services::bake_id(asked.parts[0], "bake"));
    services::ReportAsked how = report_asked(context, units_of(asked));
    how.certainty = services::CertaintyOptions{};
    return report_page(report::html_report(services::report_input(how, book, bake, services::other_half(book, bake))));
}

/// The same of a shell over all its bakes.
Answer written_shell(const Asked& asked, const Context& context) {
    book::Book book = context.book(book::Mode::read_only);
    return report_page(report::html_shell_report(services::shell_report_input({.shell = asked.parts[0],
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
            book::BakeRepository(book).get(services::bake_id(asked.parts[0], "bake")));  // a bake that is none is told now
        const int job = context.jobs.start([&context, number = asked.parts[0], units](const Progress& progress) {
            services::ReportAsked how = report_asked(context, units);
            how.certainty = services::CertaintyOptions{.given = {}, .progress = progress};
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
        const book::BakeId id = services::bake_id(asked.parts[0], "bake");
        book::BakeRepository(book).set_note(id, Body(asked.body).text("note"));
        return json_answer("kept", {{"bake", static_cast<std::int64_t>(id)}});
    });
}

namespace {

/// What is printed with any card: `start`, `title`, `checked`, `aboard`, `written_limit` and `gas_free` (words of the checklist),
/// `units`.
services::CardAsked card_asked(const Body& body, const Context& context) {
    services::CardAsked asked;
    const std::string start = body.text_or("start", "");
    if (!start.empty()) asked.started_at = services::shop_time(start, "start").text;
    asked.title = body.text_or("title", "");
    asked.checklist.answer(body.texts("checked"), report::CheckAnswer::out, "checked");
    asked.checklist.answer(body.texts("aboard"), report::CheckAnswer::aboard, "aboard");
    asked.checklist.answer(body.texts("written_limit"), report::CheckAnswer::written_limit, "written_limit");
    asked.checklist.answer(body.texts("gas_free"), report::CheckAnswer::gas_free, "gas_free");
    asked.program_version = context.options.program_version;
    asked.units = body.units();
    return asked;
}

/// A page of its own to print. It holds no script, and may ask this server nothing. What is refused is told with its reason.
Answer page_of(const services::CardAnswer& answer) {
    if (!answer.card) return problem_answer(409, answer.refusal);
    const report::BakeCard& card = *answer.card;
    return {.type = "text/html; charset=utf-8",
            .text = report::html_card(card),
            .headers = {{"Content-Security-Policy",
                         "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors "
                         "'none'; sandbox allow-modals"}}};
}

/// Of a bake that is being prepared. What is taken out of the shell first stands on it, and how it is called there.
Answer of_prepared(const Body& body, const Context& context) {
    const PrepareTask task = prepare_task(body, context);
    services::CardAsked asked = card_asked(body, context);
    const profile::ShellProfile whole = context.shell(body.text("shell"));
    for (const std::string& name : body.texts("out"))
        for (const bake::Item& item : whole.shell.items)
            if (item.name == name) asked.taken_out.push_back(item.title.empty() ? item.name : item.title);
    const plan::TriedCycle tried = plan::try_cycle(task.task(), task.options, task.setpoint_k, task.hold_s);
    return page_of(services::bake_card(asked, task.task(), tried.prediction, tried.verdict));
}

Answer of_stored(const std::string& number, const Body& body, const Context& context) {
    book::Book book = context.book(book::Mode::read_only);
    const services::StoredBake bake = services::load_bake(book, services::bake_id(number, "bake"));
    if (!bake.coating) throw InputError(Problem{{}, 0, "bake", "was kept without a coating, so that there is no card"});
    const std::optional<services::StoredBake> log =
        bake.record.kind == book::BakeKind::predicted ? services::other_half(book, bake) : std::nullopt;
    return page_of(services::bake_card(card_asked(body, context), bake, *bake.coating, log));
}

/// A link can bear no body: what is asked stands in the address, as the same JSON.
Body task_in(const Asked& asked) { return Body(asked.query_or("task", "{}")); }

}  // namespace

void add_card_routes(Routes& routes, Context& context) {
    routes.add("GET", "/card", [&context](const Asked& asked) { return of_prepared(task_in(asked), context); });
    routes.add("GET", "/card/{}", [&context](const Asked& asked) { return of_stored(asked.parts[0], task_in(asked), context); });
}

}  // namespace bakewright::page
