// SPDX-License-Identifier: Apache-2.0
#include <cstdlib>

#include "answers.hpp"
#include "bakewright/report/titles.hpp"
#include "bakewright/report/tune_text.hpp"
#include "bakewright/services/reports.hpp"
#include "bakewright/services/tune_records.hpp"
#include "body.hpp"
#include "context.hpp"

namespace bakewright::page {
namespace {

/// What may be tuned; `chosen` where nobody says otherwise.
Json tunables() {
    const tune::TuneOptions usual;
    Json list = Json::array();
    for (const tune::Tunable tunable : tune::all_tunables())
        list.push_back({{"name", tune::tunable_name(tunable)},
                        {"title", report::tunable_words(tunable)},
                        {"chosen", usual.what.contains(tunable)}});
    return list;
}

Json maybe_k(const std::optional<double>& error_k) { return error_k ? Json(*error_k) : Json(nullptr); }

Json json_of(const services::TunedVersion& version) {
    return {{"kind", version.kind},
            {"name", version.name},
            {"title", version.title},
            {"kept_at", version.stored_at},
            {"learned_from", version.learned.from},
            {"numbers", version.learned.numbers.size()},
            {"error_used_k", maybe_k(version.learned.error_used_k)},
            {"error_held_out_k", maybe_k(version.learned.error_held_out_k)}};
}

Answer known(const Context& context) {
    Json versions = Json::array();
    if (std::optional<book::Book> book = context.book_if_any())
        for (const services::TunedVersion& version : services::tuned_versions(*book)) versions.push_back(json_of(version));
    return json_answer("tunable", {{"what", tunables()}, {"versions", std::move(versions)}});
}

std::vector<book::BakeId> bakes_of(book::Book& book, const Body& body, const char* key) {
    std::vector<book::BakeId> bakes;
    for (const std::string& bake : body.references(key)) bakes.push_back(services::bake_id(book, bake, key));
    return bakes;
}

services::TuneRecords records_of(const Body& body, const Context& context) {
    book::Book book = context.book(book::Mode::read_only);
    services::TuneAsked asked{bakes_of(book, body, "bakes"), bakes_of(book, body, "held_out"), {}, {}};
    if (const std::string name = body.text_or("shell", ""); !name.empty()) asked.shell = context.shell(name);
    if (const std::string name = body.text_or("booth", ""); !name.empty()) asked.booth = context.booth(name);
    return services::load_tune_records(book, asked);
}

tune::TuneOptions options_of(const Body& body, const services::TuneRecords& records) {
    tune::TuneOptions asked;
    if (body.has("what")) {
        asked.what.clear();
        for (const std::string& word : body.texts("what")) {
            const auto tunable = tune::tunable_from_name(word);
            if (!tunable) throw InputError(Problem{{}, 0, "what", "'" + word + "' is nothing to tune"});
            asked.what.insert(*tunable);
        }
        if (asked.what.empty()) throw InputError(Problem{{}, 0, "what", "is empty: choose at least one thing to learn"});
    }
    asked.held_out = records.held_out;
    asked.earlier_evidence = records.earlier_evidence;
    asked.drives_by_cycle = body.flag("by_cycle");
    asked.keeps_suspects = body.flag("keep_suspects");
    return asked;
}

Json learned_words(const Tuning& tuning, const Units& units) {
    const tune::TuneResult result = report::titled(tuning.result, services::titles_in(tuning.records.shell));
    return {{"headline", report::tuning_sentence(result, units)},
            {"settled", result.converged},
            {"suspects", report::suspect_sentences(result.suspects, units)},
            {"warnings", texts_of(result.warnings)},
            {"numbers", page::json_of(report::tuned_number_table(result, units))},
            {"errors", page::json_of(report::tuning_error_table(result, units))},
            {"probes", page::json_of(report::tuned_probe_table(result, units))},
            {"untold", report::untold_sentences(result)}};
}

Json shown(int number, const Tuning& tuning, const Units& units) {
    return page_document(
        "tuned",
        {{"tuning", number}, {"result", report::document_of(tuning.result, "", "")}, {"words", learned_words(tuning, units)}});
}

Answer start(const Asked& asked, Context& context) {
    const Body body(asked.body);
    const auto records = std::make_shared<const services::TuneRecords>(records_of(body, context));
    const tune::TuneOptions options = options_of(body, *records);
    const int job = context.jobs.start([&context, records, options, units = body.units()](const Progress& progress) -> Json {
        tune::TuneOptions how = options;
        how.progress = progress;
        Tuning tuning{*records, tune::tune(records->task, how)};
        if (!tuning.result.is_complete) return {};
        const int number = context.tunings.add(tuning);
        return shown(number, tuning, units);
    });
    return json_answer("job", {{"job", job}});
}

Answer keep(const Asked& asked, Context& context) {
    const auto tuning = context.tunings.get(asked.parts[0]);
    const Body body(asked.body);
    const std::string name = body.text_or("name", "");
    if (!name.empty()) static_cast<void>(safe_name(name));
    book::Book book = context.book(book::Mode::read_write);
    const services::TunedPair pair = services::keep_pair(book, tuning->records, tuning->result, name);
    return json_answer("kept", {{"shell", pair.shell.shell.id}, {"booth", pair.booth.id}});
}

}  // namespace

void add_tune_routes(Routes& routes, Context& context) {
    routes.add("GET", "/api/tune", [&context](const Asked&) { return known(context); });
    routes.add("POST", "/api/tune", [&context](const Asked& asked) { return start(asked, context); });
    routes.add("GET", "/api/tune/{}", [&context](const Asked& asked) {
        return answer_of(shown(std::atoi(asked.parts[0].c_str()), *context.tunings.get(asked.parts[0]), units_of(asked)));
    });
    routes.add("POST", "/api/tune/{}/keep", [&context](const Asked& asked) { return keep(asked, context); });
}

}  // namespace bakewright::page
