// SPDX-License-Identifier: Apache-2.0
#include <charconv>

#include "answers.hpp"
#include "bakewright/base/words.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/report/comparison_text.hpp"
#include "bakewright/report/hand_text.hpp"
#include "bakewright/report/html.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/tables.hpp"
#include "bakewright/report/titles.hpp"
#include "bakewright/services/bake_card.hpp"
#include "bakewright/services/certainty.hpp"
#include "bakewright/services/entered.hpp"
#include "bakewright/services/hand_notes.hpp"
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
                  {"agreement", agreement_words(input)},
                  {"noted", json_of(report::hand_table(report::titled(input).noted, input.units))}};
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

/// How notes by hand are taken, by kind.
Json methods_of() {
    Json methods = Json::object();
    for (const auto kind : {book::HandNoteKind::temperature, book::HandNoteKind::cure_test, book::HandNoteKind::film_build})
        methods[std::string(word_of(kind))] = services::hand_methods(kind);
    return methods;
}

/// A bake with its other half. @param how  with what is to be reckoned of how sure its verdicts are
Json show(const std::string& number, const services::ReportAsked& how, const Context& context) {
    book::Book book = context.book(book::Mode::read_only);
    const services::StoredBake bake = services::load_bake(book, services::bake_id(book, number, "bake"));
    const std::optional<services::StoredBake> other = services::other_half(book, bake);
    report::ReportInput input = services::report_input(how, book, bake, other);
    Json words = words_of(input);
    Json lines = chart_lines(input.coating, items_of(bake, other));
    if (input.predicted) input.predicted = drawn(*input.predicted);
    if (input.logged) input.logged = drawn(*input.logged);
    if (input.estimated) input.estimated = drawn(*input.estimated);
    return page_document("bake-view", {{"bake", static_cast<std::int64_t>(bake.record.id)},
                                       {"kind", Json(book::bake_kind_name(bake.record.kind))},
                                       {"report", report::document_of(input, true)},
                                       {"words", std::move(words)},
                                       {"zones", services::notable_zones(bake)},
                                       {"methods", methods_of()},
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
    const services::StoredBake bake = services::load_bake(book, services::bake_id(book, asked.parts[0], "bake"));
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

/// The worst word of each bake, as judging it says; null where it was kept without a coating or cannot be read.
Json words_of_bakes(const std::vector<std::string>& numbers, const Context& context, const Progress& progress) {
    book::Book book = context.book(book::Mode::read_only);
    Json words = Json::array();
    for (std::size_t i = 0; i < numbers.size(); ++i) {
        if (progress && !progress(static_cast<double>(i) / static_cast<double>(numbers.size()))) return {};
        const book::BakeId id = services::bake_id(book, numbers[i], "bakes");
        Json word = nullptr;
        try {
            const services::StoredBake bake = services::load_bake(book, id);
            const services::CertaintyOptions how{.given = {}, .progress = {}, .book = &book};
            if (bake.coating) word = cure::word_text(services::judged(bake, *bake.coating, how).verdict.worst());
        } catch (const BookError&) {  // a damaged bake has no word; the view of it says why
        }
        words.push_back({{"bake", static_cast<std::int64_t>(id)}, {"worst", std::move(word)}});
    }
    return page_document("bake-words", {{"words", std::move(words)}});
}

/// `kind`, `zone`, `how` and what the kind asks for: `temperature_k`, `at_s`, `uncertainty_k`; `found`, `after_bake_s`;
/// `film_build_m`.
Answer keep_by_hand(const Asked& asked, const Context& context) {
    const Body body(asked.body);
    const std::string word = body.text("kind");
    const auto kind = value_of_word<book::HandNoteKind>(word);
    if (!kind) throw InputError(Problem{{}, 0, "kind", "'" + word + "' is not temperature, cure_test or film_build"});
    constexpr double kAny = 1e9;
    book::Book book = context.book(book::Mode::read_write);
    book::NewHandNote note;
    note.bake = services::bake_id(book, asked.parts[0], "bake");
    note.kind = *kind;
    note.zone = body.text("zone");
    note.method = body.text_or("how", "");
    note.noted_by = body.text_or("by", "");
    note.note = body.text_or("note", "");
    if (kind == book::HandNoteKind::temperature) {
        note.value = body.number("temperature_k", 0.0, kAny);
        note.time_s = body.number("at_s", -kAny, kAny);
        note.uncertainty = body.maybe_number("uncertainty_k", 0.0, kAny);
    } else if (kind == book::HandNoteKind::cure_test) {
        note.found = value_of_word<book::CureTestResult>(body.text("found"));
        note.time_s = body.number("after_bake_s", 0.0, kAny);
    } else {
        note.value = body.number("film_build_m", 0.0, kAny);
    }
    return json_answer("kept", {{"note", services::enter_hand_note(book, std::move(note))}});
}

}  // namespace

void add_bake_routes(Routes& routes, Context& context) {
    routes.add("GET", "/api/bakes", [&context](const Asked& asked) -> Answer {
        std::vector<book::BakeSummary> bakes;
        if (std::optional<book::Book> book = context.book_if_any())
            bakes = book::BakeRepository(*book).list({.limit = 500, .words = asked.query_or("search")});
        return answer_of(report::document_of(bakes));
    });
    routes.add("POST", "/api/bakes/words", [&context](const Asked& asked) {
        std::vector<std::string> numbers = Body(asked.body).references("bakes");
        const int job = context.jobs.start([&context, numbers = std::move(numbers)](const Progress& progress) {
            return words_of_bakes(numbers, context, progress);
        });
        return json_answer("job", {{"job", job}});
    });
    routes.add("GET", "/api/bakes/{}", [&context](const Asked& asked) {
        return answer_of(show(asked.parts[0], report_asked(context, units_of(asked)), context));
    });
    routes.add("POST", "/api/bakes/{}/certainty", [&context](const Asked& asked) {
        const Units units = Body(asked.body).units();
        book::Book book = context.book(book::Mode::read_only);
        static_cast<void>(
            book::BakeRepository(book).get(services::bake_id(book, asked.parts[0], "bake")));  // a bake that is none is told now
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
    routes.add("POST", "/api/bakes/{}/hand", [&context](const Asked& asked) { return keep_by_hand(asked, context); });
    routes.add("DELETE", "/api/hand/{}", [&context](const Asked& asked) {
        book::Book book = context.book(book::Mode::read_write);
        return json_answer("removed", {{"note", book::HandNoteRepository(book).remove(asked.parts[0]).uid}});
    });
    routes.add("GET", "/api/hand/soft", [&context](const Asked&) {
        std::vector<report::SoftCount> counts;
        if (std::optional<book::Book> book = context.book_if_any()) counts = services::soft_counts(*book);
        Json document = report::document_of(counts);
        document["words"] = {{"counts", json_of(report::soft_table(counts))}};
        return answer_of(document);
    });
    routes.add("POST", "/api/bakes/{}/note", [&context](const Asked& asked) {
        book::Book book = context.book(book::Mode::read_write);
        const book::BakeId id = services::bake_id(book, asked.parts[0], "bake");
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
    return page_of(services::bake_card(asked, task.task(), tried.cycle, tried.prediction, tried.verdict));
}

Answer of_stored(const std::string& number, const Body& body, const Context& context) {
    book::Book book = context.book(book::Mode::read_only);
    const services::StoredBake bake = services::load_bake(book, services::bake_id(book, number, "bake"));
    if (!bake.coating) throw InputError(Problem{{}, 0, "bake", "was kept without a coating, so that there is no card"});
    const std::optional<services::StoredBake> log =
        bake.record.kind == book::BakeKind::predicted ? services::other_half(book, bake) : std::nullopt;
    return page_of(
        services::bake_card(card_asked(body, context), bake, *bake.coating, log, {.given = {}, .progress = {}, .book = &book}));
}

/// A link can bear no body: what is asked stands in the address, as the same JSON.
Body task_in(const Asked& asked) { return Body(asked.query_or("task", "{}")); }

}  // namespace

void add_card_routes(Routes& routes, Context& context) {
    routes.add("GET", "/card", [&context](const Asked& asked) { return of_prepared(task_in(asked), context); });
    routes.add("GET", "/card/{}", [&context](const Asked& asked) { return of_stored(asked.parts[0], task_in(asked), context); });
}

}  // namespace bakewright::page
