#include "plan_finish.hpp"

#include <fmt/core.h>

#include "bakewright/base/error.hpp"
#include "bakewright/plan/finish.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/finish_text.hpp"
#include "bakewright/shop/plan_history.hpp"
#include "bakewright/shop/stored_bake.hpp"
#include "card.hpp"
#include "judging.hpp"
#include "named_records.hpp"
#include "output.hpp"
#include "plan_output.hpp"
#include "planning_options.hpp"

namespace bakewright::cli {
namespace {

profile::ShellProfile shell_for(const Options& options, const StoredBake& bake) {
    if (options.has("shell")) return shell_of(options).record;
    if (bake.shell) return *bake.shell;
    wrong_option("--shell", "is missing: the bake was kept without a shell");
}

/// A wait, a purge and no flash-off: that was in the bake that was cut.
plan::PlanOptions rest_options(const Options& options, const bake::Booth& booth, const plan::BrokenBake& broken) {
    plan::PlanOptions asked = planning_options(options, booth);
    asked.wait_s = options.quantity("waited", Dimension::time).value_or(0.0);

    asked.flash_off_s = asked.flash_off_s.value_or(0.0);
    asked.predict.node_start_k = broken.node_k;
    return asked;
}

}  // namespace

int plan_finish(const Options& options, const report::Checklist& list) {
    book::Book book = options.open_book(book::Mode::read_only);
    const StoredBake stored = load_bake(book, bake_id(options.text("finish"), "--finish"));
    const profile::ShellProfile shell = shell_for(options, stored);
    const bake::Booth booth = booth_for(options, stored, "name it");
    const cure::Coating coating = coating_for(options, stored);
    const plan::BrokenBake broken =
        plan::broken_bake(shell.shell, booth, stored.traces, planning_options(options, booth).predict);
    std::optional<PlanHistory> history;
    const std::vector<cure::HeatSensitiveItem> items = shell.heat_sensitive();
    if (options.has("history")) history.emplace(book, options.text("history"), items, stored.record.id);
    const plan::PlanTask task{shell.shell, booth, coating, items, history ? &history->so_far() : nullptr, &broken.so_far};
    plan::PlanOptions asked = rest_options(options, booth, broken);
    const std::vector<cure::ZoneVerdict> open = plan::not_yet_cured(task);
    const report::TextOptions text = text_options(options);
    const std::string foreword = report::broken_text(broken, open, asked, text) + "\n";
    if (open.empty()) {
        if (options.json())
            print(report::finished_json(broken));
        else
            print(foreword + report::cautions_text(text));
        return static_cast<int>(ExitStatus::fine);
    }
    ProgressLine progress("planning");
    asked.progress = progress.listener();
    plan::Plan plan = plan::plan_cycle(task, asked);
    if (!plan.complete) throw FileError("planning was interrupted; nothing was written");
    const std::optional<std::string> card = card_path(options), out = cycle_path(options);
    if (plan.feasible && out) write_cycle(plan, task, *out);
    if (plan.feasible && card) write_card(options, task, plan, {}, list, *card);
    if (card == "-") return plan_status(plan);
    const TraceSet whole = plan::gone_on(task.before, plan.prediction.traces);
    std::optional<cure::ShellVerdict> after;
    if (history && plan.feasible) after = history->after({whole, coating, shell.shell.coated_zone_names(), names_of(items)});
    show_plan(options, plan, {remedies_for(task, asked, plan), after ? &*after : nullptr, {}, booth.purges_by_itself}, list,
              foreword);
    return plan_status(plan);
}

}  // namespace bakewright::cli
