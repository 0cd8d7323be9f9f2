// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "answers.hpp"
#include "bakewright/cure/course.hpp"
#include "bakewright/plan/ensemble.hpp"
#include "bakewright/plan/feasible_map.hpp"
#include "bakewright/plan/finish.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/plan/remedies.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/map_text.hpp"
#include "bakewright/report/plan_text.hpp"
#include "bakewright/report/shell_drawing.hpp"
#include "bakewright/report/tables.hpp"
#include "bakewright/services/reports.hpp"
#include "bakewright/services/shell_history.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "prepare_task.hpp"

namespace bakewright::page {
namespace {

Json margins_of(const plan::Margins& margins) {
    return {{"smallest_k", margins.smallest_k()}, {"smallest_of", margins.smallest_of()}};
}

/// Earlier coats that this bake over-bakes, or may.
std::vector<std::string> over_baked(const plan::TriedCycle& tried, const report::Titles& titles) {
    std::vector<std::string> sentences;
    for (const plan::CoatOverBaked& coat : tried.coats)
        sentences.push_back("The coat '" + coat.coat + "' on " + report::title_of(coat.zone, titles) + " would be " +
                            std::string(cure::word_text(coat.word)) + " by what it had before and this bake.");
    return sentences;
}

cure::BakeCourse course_of(const PrepareTask& asked, const TraceSet& traces, const cure::BakeVerdict* verdict) {
    return cure::bake_course(traces, asked.coating, asked.items, asked.shell.shell.coated_place_names(), {}, verdict);
}

Answer prepared(const PrepareTask& asked) {
    const plan::TriedCycle tried = plan::try_cycle(asked.task(), asked.options, asked.setpoint_k, asked.hold_s);
    const report::Titles titles = services::titles_in(asked.shell);
    bake::Prediction drawn_prediction = tried.prediction;
    drawn_prediction.traces = drawn(tried.prediction.traces);
    return json_answer(
        "prepared",
        {{"ramp_k_per_s", tried.ramp_k_per_s},
         {"is_cooled", tried.is_cooled},
         {"handling_k", asked.options.handling_k},
         {"prediction", report::document_of(drawn_prediction, true)},
         {"verdict", report::document_of(tried.verdict)},
         {"words", verdict_words(tried.verdict, titles, asked.units)},
         {"course", report::document_of(course_of(asked, tried.prediction.traces, &tried.verdict))},
         {"drawing", report::document_of(report::draw_shell(asked.shell.shell))},
         {"titles", Json(titles)},
         {"cycle", json_of(report::cycle_table(tried.prediction.stages, asked.units, {}, asked.booth.purges_by_itself))},
         {"margins", margins_of(tried.margins)},
         {"coats_over_baked", Json(over_baked(tried, titles))},
         {"lines", chart_lines(asked.coating, asked.items)}});
}

/// The same bake with the words by their chance: the model made anew many times over.
Json certain(const PrepareTask& asked, const Progress& progress) {
    plan::TriedCycle tried = plan::try_cycle(asked.task(), asked.options, asked.setpoint_k, asked.hold_s);
    plan::EnsemblePredictOptions how;
    how.predict = asked.options.predict;
    how.progress = progress;
    const plan::PlanTask task = asked.task();
    const auto ensemble = plan::predict_ensemble(task.shell, task.booth, tried.cycle, task.coating, task.items, how,
                                                 {task.so_far, task.before, asked.options.largest_difference_k});
    if (!ensemble.is_complete) return {};
    plan::add_certainty(tried.verdict, ensemble, plan::ensemble_origin(ensemble));
    return page_document("certainty", {{"bands", report::document_of(services::bands_of(ensemble))},
                                       {"verdict", report::document_of(tried.verdict)},
                                       {"course", report::document_of(course_of(asked, tried.prediction.traces, &tried.verdict))},
                                       {"words", verdict_words(tried.verdict, services::titles_in(asked.shell), asked.units)}});
}

Json mapped(const PrepareTask& asked, const Progress& progress) {
    plan::PlanOptions how = asked.options;
    how.progress = progress;
    how.confidence = plan::Confidence{};
    const plan::FeasibleMap map = plan::feasible_map(asked.task(), how, {});
    if (!map.complete) return {};
    return report::document_of(map);
}

/// Why no cycle does, under the names that people use; empty where one does.
std::string conflict(const plan::Plan& plan, const PrepareTask& asked) {
    if (plan.feasible) return {};
    return report::conflict_sentences(report::titled(plan, services::titles_in(asked.shell)), asked.units);
}

/// The cycle that the planner would choose.
Json searched(const PrepareTask& asked, const Progress& progress) {
    plan::PlanOptions how = asked.options;
    how.progress = progress;
    how.confidence = plan::Confidence{};
    const plan::PlanWithout found = asked.keep.empty() ? plan::PlanWithout{plan::plan_cycle(asked.task(), how), {}, {}, {}}
                                                       : plan::plan_keeping(asked.task(), how, asked.keep);
    if (!found.plan.complete) return {};
    return page_document(
        "search",
        {{"plan", report::document_of(found.plan)}, {"conflict", conflict(found.plan, asked)}, {"out", Json(found.out)}});
}

Answer kept(const PrepareTask& asked, const Body& body, const Context& context) {
    const plan::TriedCycle tried = plan::try_cycle(asked.task(), asked.options, asked.setpoint_k, asked.hold_s);
    bake::PredictOptions as_solved = asked.options.predict;
    as_solved.output_interval_s = std::min(as_solved.output_interval_s, 10.0);
    as_solved.after_s = kSecondPerHour;
    book::Book book = context.book(book::Mode::create);
    const book::BakeId id = services::keep_prediction(book, {.title = body.text_or("title", tried.cycle.title),
                                                             .program_version = context.options.program_version,
                                                             .started_at = {},
                                                             .shell = asked.shell,
                                                             .booth = asked.booth,
                                                             .cycle = &tried.cycle,
                                                             .coating = &asked.coating,
                                                             .asked = as_solved,
                                                             .traces = tried.prediction.traces});
    return json_answer("kept", {{"bake", static_cast<std::int64_t>(id)}});
}

bool has_history(const Context& context, const std::string& name, const profile::ShellProfile& shell) {
    std::optional<book::Book> book = context.book_if_any();
    return book && services::history_name(*book, name, shell.shell.learned);
}

/// What shell, booth and coating leave to be set.
Answer bounds(const Asked& asked, const Context& context) {
    const profile::Library& library = context.library;
    const profile::ShellProfile shell = context.shell(asked.query_or("shell"));
    const bake::Booth booth = context.booth(asked.query_or("booth"));
    const cure::Coating coating =
        profile::load_coating(library.find_name(profile::Kind::coating, asked.query_or("coating")), library).record;
    plan::PlanOptions usual;
    usual.purge_s = plan::purge_time_s(booth);
    Json items = Json::array();
    for (const bake::Item& item : shell.shell.items)
        items.push_back({{"name", item.name}, {"title", item.title.empty() ? item.name : item.title}});
    return json_answer("bounds",
                       {{"lowest_setpoint_k", plan::PlanOptions{}.lowest_setpoint_k},
                        {"highest_setpoint_k", booth.highest_setpoint_k},
                        {"largest_ramp_k_per_s", booth.largest_ramp_k_per_s},
                        {"ambient_k", booth.ambient_k},
                        {"flash_off_minimum_s", coating.flash_off_minimum_s ? Json(*coating.flash_off_minimum_s) : Json(nullptr)},
                        {"flash_off_s", plan::planned_flash_off_s(coating, usual)},
                        {"purge_s", usual.purge_s},
                        {"purges_by_itself", booth.purges_by_itself},
                        {"has_history", has_history(context, asked.query_or("shell"), shell)},
                        {"items", std::move(items)}});
}

using LongWork = Json (*)(const PrepareTask&, const Progress&);

/// Starts work on a bake that is asked for and answers with its number.
void add_job(Routes& routes, Context& context, const char* path, LongWork work) {
    routes.add("POST", path, [&context, work](const Asked& asked) {
        auto task = std::make_shared<const PrepareTask>(prepare_task(Body(asked.body), context));
        const int number = context.jobs.start([task, work](const Progress& progress) { return work(*task, progress); });
        return json_answer("job", {{"job", number}});
    });
}

}  // namespace

void add_prepare_routes(Routes& routes, Context& context) {
    routes.add("GET", "/api/prepare", [&context](const Asked& asked) { return bounds(asked, context); });
    routes.add("POST", "/api/prepare",
               [&context](const Asked& asked) { return prepared(prepare_task(Body(asked.body), context)); });
    routes.add("POST", "/api/prepare/keep", [&context](const Asked& asked) {
        const Body body(asked.body);
        return kept(prepare_task(body, context), body, context);
    });
    add_job(routes, context, "/api/prepare/certainty", certain);
    add_job(routes, context, "/api/prepare/map", mapped);
    add_job(routes, context, "/api/prepare/search", searched);
}

}  // namespace bakewright::page
