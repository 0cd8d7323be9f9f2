// SPDX-License-Identifier: Apache-2.0
#include "answers.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/booth_fit_text.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/services/booth_log.hpp"
#include "bakewright/services/estimated.hpp"
#include "bakewright/services/import_log.hpp"
#include "bakewright/services/reports.hpp"
#include "bakewright/services/saved_readings.hpp"
#include "body.hpp"
#include "context.hpp"

namespace bakewright::page {
namespace {

/// What a column may be: the shell's zones, cavities and items, and the booth's air and surfaces.
Json targets(const std::optional<profile::ShellProfile>& shell) {
    Json list = Json::array({"booth air"});
    for (const std::string_view surface : words_of(bake::BoothSurface{})) list.push_back(surface);
    if (!shell) return list;
    for (const bake::Zone& zone : shell->shell.zones) list.push_back(zone.name);
    for (const bake::Cavity& cavity : shell->shell.cavities) list.push_back(cavity.name);
    for (const bake::Item& item : shell->shell.items) list.push_back(item.name);
    return list;
}

template <class Record>
std::optional<Record> maybe(const Body& body, const char* key, profile::Kind kind, const profile::Library& library,
                            profile::Located<Record> (*load)(std::string_view, const profile::Library&)) {
    const std::string name = body.text_or(key, "");
    if (name.empty()) return std::nullopt;
    return load(library.find_name(kind, name), library).record;
}

/// A second logger's file of the same bake: `and` its number, `shift_s` what is added to its times, `and_air` its air.
void add_second(services::ImportTask& task, const Body& body, Context& context) {
    if (!body.has("and")) return;
    const auto file = context.uploads.get(std::to_string(static_cast<int>(body.number("and", 1.0, 1e9))));
    task.second = services::LogFile{file->name, file->name, file->bytes};
    task.merge.shift_s = body.maybe_number("shift_s", -1e7, 1e7);
    task.merge.first_air = task.reading.text_or("air", "");
    task.merge.second_air = body.text_or("and_air", "");
}

/// What was given, with what the book keeps under the name of `saved_reading`.
services::GivenOptions reading_of(const Body& body, const Context& context) {
    const services::GivenOptions given(body.pairs("reading"));
    const std::string name = body.text_or("saved_reading", "");
    if (name.empty()) return given;
    book::Book book = context.book(book::Mode::read_only);
    return services::with_saved(given, services::saved_reading(book, name));
}

services::ImportTask import_task(const std::string& number, const Body& body, Context& context) {
    const profile::Library& library = context.library;
    const auto file = context.uploads.get(number);
    services::ImportTask task;
    task.file = {file->name, file->name, file->bytes};
    task.reading = reading_of(body, context);
    add_second(task, body, context);
    if (const std::string name = body.text_or("shell", ""); !name.empty()) task.shell = context.shell(name);
    if (const std::string name = body.text_or("booth", ""); !name.empty()) task.booth = context.booth(name);
    task.coating = maybe(body, "coating", profile::Kind::coating, library, profile::load_coating);
    task.probes = maybe(body, "probes", profile::Kind::probes, library, profile::load_probes);
    if (body.has("of")) {
        book::Book book = context.book(book::Mode::read_only);
        task.of = services::bake_id(book, body.reference("of"), "of");
    }
    task.title = body.text_or("title", "");
    task.program_version = context.options.program_version;
    return task;
}

Answer read(const Asked& asked, Context& context) {
    const Body body(asked.body);
    const services::ImportTask task = import_task(asked.parts[0], body, context);
    const services::ImportedLog imported = services::read_log(task);
    const report::TextOptions style{body.units(), {.width = 100}};
    const std::map<std::string, std::string> titles =
        task.shell ? services::titles_in(*task.shell) : std::map<std::string, std::string>{};
    return json_answer("log-read", {{"log", services::log_document(imported)},
                                    {"words", Json(services::log_words(imported, style))},
                                    {"targets", targets(task.shell)},
                                    {"titles", Json(titles)},
                                    {"traces", report::document_of(drawn(imported.traces))}});
}

Answer keep(const Asked& asked, Context& context) {
    const Body body(asked.body);
    services::ImportTask task = import_task(asked.parts[0], body, context);
    services::ImportedLog imported = services::read_log(task);
    const std::string name = body.text_or("save_reading", "");
    book::Book book = context.book(book::Mode::create);
    const auto again = services::to_read_again(book, task, imported, body.flag("again"));
    if (again && services::complete_from(task, book, *again)) imported = services::read_log(task);
    book::Transaction transaction(book);
    services::KeptLog kept;
    Json former = nullptr;
    if (again) {
        kept = {*again, true};
        former = static_cast<std::int64_t>(
            services::keep_again(book, task, imported, *again, body.text_or("by", "the page"), body.text_or("why", "")));
    } else {
        kept = services::keep_log(book, task, imported);
    }
    if (!name.empty()) services::save_reading(book, name, task.reading);
    transaction.commit();
    if (!kept.was_known || again) services::keep_evidence_of(book, services::load_bake(book, kept.bake));
    return json_answer("kept",
                       {{"bake", static_cast<std::int64_t>(kept.bake)}, {"was_known", kept.was_known}, {"former", former}});
}

Answer readings(const Context& context) {
    Json list = Json::array();
    if (std::optional<book::Book> book = context.book_if_any())
        for (const profile::SavedReading& reading : services::saved_readings(*book)) {
            Json options = Json::array();
            for (const auto& [name, value] : reading.options) options.push_back(Json::array({name, value}));
            list.push_back({{"name", reading.name}, {"options", std::move(options)}});
        }
    return json_answer("readings", {{"readings", std::move(list)}});
}

/// What a log of the empty booth tells, put into the text of its profile; nothing is saved.
Answer of_empty_booth(const Asked& asked, Context& context) {
    const Body body(asked.body);
    const auto file = context.uploads.get(asked.parts[0]);
    services::BoothLogTask task;
    task.file = {file->name, file->name, file->bytes};
    task.reading = services::GivenOptions(body.pairs("reading"));
    task.setpoint_k = body.maybe_number("setpoint_k", 200.0, 600.0);
    task.heat_on_s = body.maybe_number("heat_on_s", -1e7, 1e7);
    task.heat_off_s = body.maybe_number("heat_off_s", -1e7, 1e7);
    task.fans_change = body.flag("fans_change");
    const std::string name = safe_name(body.text_or("name", "booth"));
    const services::FittedBoothText made = services::fitted_booth(body.long_text("text"), name, task);
    return answer_of(report::document_of(made.fit, name, "", made.text));
}

}  // namespace

void add_log_routes(Routes& routes, Context& context) {
    routes.add(
        "POST", "/api/logs",
        [&context](const Asked& asked) {
            const int number = context.uploads.add(asked.query_or("name"), asked.body);
            return json_answer("upload", {{"log", number}});
        },
        RouteRule{.body_type = "application/octet-stream", .largest_body_bytes = context.options.largest_upload_bytes});
    routes.add("GET", "/api/readings", [&context](const Asked&) { return readings(context); });
    RouteRule slow = json_rule();
    slow.pace = Pace::slow;
    routes.add(
        "POST", "/api/logs/{}/read", [&context](const Asked& asked) { return read(asked, context); }, slow);
    routes.add(
        "POST", "/api/logs/{}/empty-booth", [&context](const Asked& asked) { return of_empty_booth(asked, context); }, slow);
    routes.add(
        "POST", "/api/logs/{}/keep", [&context](const Asked& asked) { return keep(asked, context); }, slow);
}

}  // namespace bakewright::page
