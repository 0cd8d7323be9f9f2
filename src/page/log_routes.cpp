#include "answers.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/json_commands.hpp"
#include "bakewright/report/log_text.hpp"
#include "bakewright/shop/import_log.hpp"
#include "body.hpp"
#include "context.hpp"

namespace bakewright::page {
namespace {

constexpr report::JsonOptions kOneLine{.indent = -1, .traces = false};

/// What a column may be: the shell's zones, cavities and items, and the booth's air and walls.
Json targets(const std::optional<profile::ShellProfile>& shell) {
    Json list = Json::array({"booth air", "booth wall"});
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

shop::ImportTask import_task(const Body& body, const Uploads::File& file, const Context& context) {
    const profile::Library& library = context.library;
    shop::ImportTask task;
    task.file = {file.name, file.name, file.bytes};
    task.reading = shop::GivenOptions(body.pairs("reading"));
    task.shell = maybe(body, "shell", profile::Kind::shell, library, profile::load_shell);
    task.booth = maybe(body, "booth", profile::Kind::booth, library, profile::load_booth);
    task.coating = maybe(body, "coating", profile::Kind::coating, library, profile::load_coating);
    task.probes = maybe(body, "probes", profile::Kind::probes, library, profile::load_probes);
    if (const auto bake = body.maybe_number("of", 1.0, 9e15))
        task.of = static_cast<book::BakeId>(static_cast<std::int64_t>(*bake));
    task.title = body.text_or("title", "");
    task.program_version = context.options.program_version;
    return task;
}

Answer read(const Asked& asked, Context& context) {
    const auto file = context.uploads.get(asked.parts[0]);
    const Body body(asked.body);
    const shop::ImportTask task = import_task(body, *file, context);
    const shop::ImportedLog imported = shop::read_log(task);
    std::string document = report::to_json_text(imported.files[0].log.reading, imported.mapped, kOneLine);
    if (imported.probes) document = report::with_probes(document, *imported.probes, imported.probe_use);
    const report::TextOptions style{body.units(), {.width = 100}};
    return joined_answer("log-read",
                         {{"log", document},
                          {"words", text_of(Json(report::log_text(imported.files[0].log.reading, imported.mapped, style)))},
                          {"targets", text_of(targets(task.shell))},
                          {"traces", report::to_json_text(drawn(imported.traces), kOneLine)}});
}

Answer keep(const Asked& asked, Context& context) {
    const auto file = context.uploads.get(asked.parts[0]);
    const shop::ImportTask task = import_task(Body(asked.body), *file, context);
    const shop::ImportedLog imported = shop::read_log(task);
    book::Book book = context.book(book::Mode::create);
    const shop::KeptLog kept = shop::keep_log(book, task, imported);
    return json_answer("kept", {{"bake", static_cast<std::int64_t>(kept.bake)}, {"was_known", kept.was_known}});
}

}  // namespace

void add_log_routes(Routes& routes, Context& context) {
    routes.add("POST", "/api/logs", [&context](const Asked& asked) {
        const int number = context.uploads.add(asked.query_or("name"), asked.body);
        return json_answer("upload", {{"log", number}});
    });
    routes.add("POST", "/api/logs/{}/read", [&context](const Asked& asked) { return read(asked, context); });
    routes.add("POST", "/api/logs/{}/keep", [&context](const Asked& asked) { return keep(asked, context); });
}

}  // namespace bakewright::page
