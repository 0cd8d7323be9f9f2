// SPDX-License-Identifier: Apache-2.0
#include <charconv>

#include "answers.hpp"
#include "bakewright/book/identity_repository.hpp"
#include "bakewright/book/shell_history_repository.hpp"
#include "bakewright/cure/judge_history.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/shell_text.hpp"
#include "bakewright/report/tables.hpp"
#include "bakewright/report/titles.hpp"
#include "bakewright/services/certainty.hpp"
#include "bakewright/services/entered.hpp"
#include "bakewright/services/estimated.hpp"
#include "bakewright/services/reports.hpp"
#include "bakewright/services/shell_history.hpp"
#include "body.hpp"
#include "context.hpp"

namespace bakewright::page {
namespace {

std::int64_t number_of(const std::string& text, const char* what) {
    std::int64_t number = 0;
    const auto [end, status] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (status != std::errc{} || end != text.data() + text.size() || number < 1)
        throw InputError(Problem{{}, 0, what, "'" + text + "' is not a number"});
    return number;
}

Json history_words(const cure::ShellVerdict& by_name, const report::Titles& titles, const Units& units) {
    const cure::ShellVerdict verdict = report::titled(by_name, titles);
    Json bakes = Json(verdict.bake_names);
    return {{"worst", cure::word_text(verdict.worst())},
            {"removals", report::removal_sentences(verdict, units)},
            {"certainty", report::certainty_sentences(verdict, units, false)},
            {"questions", verdict.questions},
            {"remarks", verdict.remarks},
            {"bakes", std::move(bakes)},
            {"coats", json_of(report::coat_table(verdict, units))},
            {"items", json_of(report::item_history_table(verdict, units))}};
}

/// The numbers of the vehicle whose history it is; null where there is none.
Json vehicle_json(book::Book& book, const std::string& shell) {
    const auto vehicle = book::IdentityRepository(book).vehicle(shell);
    if (!vehicle) return nullptr;
    return {{"uid", vehicle->uid}, {"job_number", vehicle->job_number}, {"maker_number", vehicle->maker_number}};
}

/// Coats and bakes as entered; the verdict over all of them, how sure it is left out: that is asked for as a job.
Answer show(const Asked& asked, const Context& context) {
    const std::string& shell = asked.parts[0];
    std::optional<book::Book> book = context.book_if_any();
    if (!book)
        return json_answer("shell-history",
                           {{"shell", shell}, {"coats", nullptr}, {"bakes", nullptr}, {"vehicle", nullptr}, {"words", nullptr}});
    book::ShellHistoryRepository history(*book);
    Json verdict = nullptr, words = nullptr;
    services::LoadedHistory loaded = services::load_history(*book, shell);
    services::estimate_logs(loaded, {.given = {}, .progress = {}, .book = &*book});
    if (!loaded.history.coats.empty() || !loaded.history.bakes.empty()) {
        const cure::ShellVerdict judged = services::judge(loaded);
        verdict = report::document_of(judged);
        words = history_words(judged, services::titles_in(loaded), units_of(asked));
    }
    return json_answer("shell-history", {{"shell", shell},
                                         {"coats", report::document_of(history.coats(shell))},
                                         {"bakes", report::document_of(history.bakes(shell))},
                                         {"titles", Json(services::titles_in(loaded))},
                                         {"vehicle", vehicle_json(*book, shell)},
                                         {"verdict", verdict},
                                         {"words", words}});
}

Json certain(const std::string& shell, const Units& units, const Context& context, const Progress& progress) {
    book::Book book = context.book(book::Mode::read_only);
    services::LoadedHistory loaded = services::load_history(book, shell);
    const services::CertaintyOptions how{.given = {}, .progress = progress, .book = &book};
    services::estimate_logs(loaded, how);
    cure::ShellVerdict judged = services::judge(loaded);
    services::add_certainty(judged, loaded, how);
    return page_document("shell-certainty", {{"verdict", report::document_of(judged)},
                                             {"words", history_words(judged, services::titles_in(loaded), units)}});
}

Answer add_coat(const Asked& asked, const Context& context) {
    const Body body(asked.body);
    const profile::Library& library = context.library;
    const cure::Coating coating =
        profile::load_coating(library.find_name(profile::Kind::coating, body.text("coating")), library).record;
    book::NewCoat coat;
    coat.shell = asked.parts[0];
    coat.name = body.text_or("name", coating.title);
    coat.applied_at = services::shop_time(body.text("at"), "at").text;
    coat.over = body.text_or("over", "");
    coat.zones = body.texts("zones");
    coat.note = body.text_or("note", "");
    coat = services::checked_coat(coat, context.shell(asked.parts[0]).shell);
    book::Book book = context.book(book::Mode::create);
    return json_answer("kept", {{"coat", static_cast<std::int64_t>(services::enter_coat(book, coat, coating))}});
}

Answer add_bake(const Asked& asked, const Context& context) {
    const Body body(asked.body);
    book::Book book = context.book(book::Mode::read_write);
    const book::BakeId bake = services::bake_id(book, body.reference("bake"), "bake");
    const book::HistoryEntry entry =
        services::entry_from(book, {asked.parts[0], bake, body.text_or("at", ""), body.texts("zones"), body.texts("out")});
    services::enter_bake(book, entry);
    return json_answer("kept", {{"bake", static_cast<std::int64_t>(entry.bake)}, {"began_at", entry.began_at}});
}

Answer shells(const Context& context) {
    std::vector<std::string> names;
    if (std::optional<book::Book> book = context.book_if_any()) names = book::ShellHistoryRepository(*book).shells();
    return json_answer("shells", {{"shells", names}});
}

}  // namespace

void add_history_routes(Routes& routes, Context& context) {
    routes.add("GET", "/api/history", [&context](const Asked&) { return shells(context); });
    routes.add("GET", "/api/history/{}", [&context](const Asked& asked) { return show(asked, context); });
    routes.add("POST", "/api/history/{}/certainty", [&context](const Asked& asked) {
        const int job = context.jobs.start([&context, shell = asked.parts[0], units = Body(asked.body).units()](
                                               const Progress& progress) { return certain(shell, units, context, progress); });
        return json_answer("job", {{"job", job}});
    });
    routes.add("POST", "/api/history/{}/coats", [&context](const Asked& asked) { return add_coat(asked, context); });
    routes.add("POST", "/api/history/{}/bakes", [&context](const Asked& asked) { return add_bake(asked, context); });
    routes.add("DELETE", "/api/history/{}/bakes/{}", [&context](const Asked& asked) {
        book::Book book = context.book(book::Mode::read_write);
        const book::BakeId bake = services::bake_id(book, asked.parts[1], "bake");
        book::ShellHistoryRepository(book).remove_bake(asked.parts[0], bake);
        return json_answer("removed", {{"bake", static_cast<std::int64_t>(bake)}});
    });
    routes.add("POST", "/api/history/{}/vehicle", [&context](const Asked& asked) {
        const Body body(asked.body);
        book::Book book = context.book(book::Mode::read_write);
        const book::Vehicle vehicle =
            services::enter_vehicle_numbers(book, asked.parts[0], body.text("job_number"), body.text("maker_number"));
        return json_answer("kept", {{"vehicle", vehicle.uid}});
    });
    routes.add("POST", "/api/coats/{}/sanded", [&context](const Asked& asked) {
        book::Book book = context.book(book::Mode::read_write);
        const std::string at = services::shop_time(Body(asked.body).text("at"), "at").text;
        const book::StoredCoat coat =
            services::enter_sanded(book, static_cast<book::CoatId>(number_of(asked.parts[0], "coat")), at);
        return json_answer("kept", {{"coat", static_cast<std::int64_t>(coat.id)}, {"sanded_at", at}});
    });
}

}  // namespace bakewright::page
