// SPDX-License-Identifier: Apache-2.0
#include "bakewright/plan/plan.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <initializer_list>
#include <optional>

#include "bakewright/base/error.hpp"
#include "bakewright/plan/feasible_map.hpp"
#include "bakewright/plan/remedies.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/profile/write.hpp"
#include "bakewright/report/answers.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/map_text.hpp"
#include "bakewright/services/files.hpp"
#include "bakewright/services/shell_history.hpp"
#include "card.hpp"
#include "command.hpp"
#include "options.hpp"
#include "output.hpp"
#include "plan_output.hpp"
#include "plan_variants.hpp"
#include "planning_options.hpp"

namespace bakewright::cli {
namespace {

/// The feasible map in place of a plan.
int show_map(const Options& options, const plan::PlanTask& task, const plan::PlanOptions& asked, const report::Checklist& list) {
    plan::MapOptions how;
    how.hold_step_s = options.quantity("map-step", Dimension::time).value_or(how.hold_step_s);
    const plan::FeasibleMap map = plan::feasible_map(task, asked, how);
    if (!map.complete) throw FileError("mapping was interrupted; nothing was written");
    const report::TextOptions text = text_options(options);
    if (options.has("csv")) write_file(options.text("csv"), report::map_csv(map, text.units));
    const bool csv_is_printed = options.has("csv") && options.text("csv") == "-";
    if (options.json())
        print_json(report::document_of(map), list);
    else if (!csv_is_printed)
        print(report::map_answer(map, list, text), options);
    const bool any_does = std::any_of(map.rows.begin(), map.rows.end(), [](const plan::MapRow& row) { return row.any_does(); });
    return static_cast<int>(any_does && map.checks.empty() ? ExitStatus::fine : ExitStatus::answer_is_no);
}

std::optional<services::PlanHistory> history_for(const Options& options, const std::vector<cure::HeatSensitiveItem>& items) {
    if (!options.has("history")) return std::nullopt;
    book::Book book = options.open_book(book::Mode::read_only);
    return services::PlanHistory(book, options.text("history"), items);
}

/// Everything still in; with --keep without what must come out.
plan::PlanWithout plan_with(const Options& options, const plan::PlanTask& task, const plan::PlanOptions& asked) {
    if (options.has("keep")) return plan::plan_keeping(task, asked, names_in(options.texts("keep")));
    return {plan::plan_cycle(task, asked), {}, task.shell, task.items};
}

/// What one way of planning cannot take is said, not ignored.
void refuse_beside(const Options& options, const char* way, std::initializer_list<const char*> others) {
    for (const char* other : others)
        if (options.has(other)) wrong_option(fmt::format("--{}", other), fmt::format("cannot stand beside --{}", way));
}

/// With some things still in there is no plan at all. Says so.
bool is_blocked(const Options& options, const report::Checklist& list) {
    const std::vector<report::CheckedThing> things = list.blocking();
    if (things.empty()) return false;
    if (options.json())
        print_json(report::document_of(plan::Plan{}, {}), list);
    else
        print(report::paragraph_text(report::blocked_sentence(things), text_options(options)) + "\n" +
              report::checklist_text(list, text_options(options)));
    return true;
}

}  // namespace

int run_plan(const std::vector<std::string>& words) {
    Options options(
        "plan --shell NAME --booth NAME --coating NAME [options]",
        "Finds the cycle that cures every coated zone, keeps every item under its limit and keeps the sheet's flash-off and "
        "heating "
        "rate: the shortest, the one with the least heat or the one with the widest margin. Where there is none it says what is "
        "in the way and what would fix it; exit status 1.");
    options.takes_job_at_hand();
    describe_planning(options);
    describe_checklist(options);
    describe_card(options);
    options.parts(report::kPlanParts);
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    const report::Checklist list = checklist(options);
    if (is_blocked(options, list)) return static_cast<int>(ExitStatus::answer_is_no);
    if (options.has("test-panel")) {
        refuse_beside(options, "test-panel", {"card", "coats", "finish", "history", "keep", "map"});
        return plan_panel(options, list);
    }
    if (options.has("coats")) {
        refuse_beside(options, "coats", {"finish", "keep", "map"});
        return plan_sequence(options, list);
    }
    if (options.has("finish")) {
        refuse_beside(options, "finish", {"keep", "map"});
        return plan_finish(options, list);
    }
    const profile::Library library = options.library();
    const auto shell = shell_of(options);
    const auto booth = booth_of(options);
    const auto coating = profile::load_coating(options.text("coating"), library);
    plan::PlanOptions asked = planning_options(options, booth.record);
    ProgressLine progress("planning");
    asked.progress = progress.listener();
    const std::vector<cure::HeatSensitiveItem> items = shell.record.heat_sensitive();
    const std::optional<services::PlanHistory> history = history_for(options, items);
    const plan::PlanTask task{shell.record.shell, booth.record, coating.record, items, history ? &history->so_far() : nullptr};
    if (options.has("map")) return show_map(options, task, asked, list);
    plan::PlanWithout found = plan_with(options, task, asked);
    if (!found.plan.complete) throw FileError("planning was interrupted; nothing was written");
    const plan::PlanTask baked{found.shell, task.booth, task.coating, found.items, task.so_far};
    const std::optional<std::string> card = card_path(options);
    const std::optional<std::string> out = cycle_path(options);
    if (found.plan.feasible && out) write_cycle(found.plan, task, *out);
    if (found.plan.feasible && card) write_card(options, baked, found.plan, found.out, list, *card);
    if (card == "-") return plan_status(found.plan);
    std::optional<cure::ShellVerdict> after;
    if (history && found.plan.feasible)
        after = history->after(
            {found.plan.prediction.traces, task.coating, task.shell.coated_place_names(), services::names_of(found.items)});
    show_plan(options, found.plan,
              {remedies_for(baked, asked, found.plan), after ? &*after : nullptr, found.out, booth.record.purges_by_itself,
               plan::likeliest_cycle(baked, asked, found.plan)},
              list);
    return plan_status(found.plan);
}

}  // namespace bakewright::cli
