// SPDX-License-Identifier: Apache-2.0
#include "plan_variants.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "bakewright/base/error.hpp"
#include "bakewright/plan/finish.hpp"
#include "bakewright/plan/sequence.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/profile/write.hpp"
#include "bakewright/report/answer.hpp"
#include "bakewright/report/plan_variants.hpp"
#include "bakewright/services/files.hpp"
#include "bakewright/services/shell_history.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "card.hpp"
#include "judge.hpp"
#include "options.hpp"
#include "output.hpp"
#include "plan_output.hpp"
#include "planning_options.hpp"

namespace bakewright::cli {

namespace {

/// The title, numbered where a coating comes more than once or stands in the history.
std::string name_of(const std::string& title, const std::vector<plan::SequenceCoat>& before, const cure::ShellHistory& history) {
    const auto taken = [&](const std::string& name) {
        const auto same = [&](const auto& coat) { return coat.name == name; };
        return std::any_of(before.begin(), before.end(), same) || std::any_of(history.coats.begin(), history.coats.end(), same);
    };
    std::string name = title;
    for (int number = 2; taken(name); ++number) name = fmt::format("{}, coat {}", title, number);
    return name;
}

std::vector<plan::SequenceCoat> coats_of(const Options& options, const cure::ShellHistory& history) {
    std::vector<plan::SequenceCoat> coats;
    for (const std::string& name : names_in(options.texts("coats"))) {
        cure::Coating coating = profile::load_coating(name, options.library()).record;
        std::string title = name_of(coating.title.empty() ? coating.id : coating.title, coats, history);
        coats.push_back({std::move(title), std::move(coating)});
    }
    return coats;
}

/// A file a bake: "card.html" becomes "card_1.html", "card_2.html".
std::string numbered(const std::string& path, std::size_t number) {
    const std::size_t slash = path.find_last_of('/'), dot = path.find_last_of('.');
    const bool has_end = dot != std::string::npos && (slash == std::string::npos || dot > slash + 1) && dot > 0;
    const std::size_t at = has_end ? dot : path.size();
    return fmt::format("{}_{}{}", path.substr(0, at), number, path.substr(at));
}

/// Cycle and card of each bake, where they are asked for.
void write_bakes(const Options& options, const plan::PlanTask& task, plan::SequencePlan& plan,
                 const std::vector<plan::SequenceCoat>& coats, const report::Checklist& list) {
    const std::optional<std::string> card = card_path(options), out = cycle_path(options);
    for (std::size_t i = 0; i < plan.bakes.size(); ++i) {
        plan::SequenceBake& bake = plan.bakes[i];
        if (!bake.plan.feasible) return;
        if (out) write_cycle(bake.plan, task, numbered(*out, i + 1));
        if (card)
            write_card(options, {task.shell, task.booth, coats[i].coating, task.items}, bake.plan, {}, list,
                       numbered(*card, i + 1));
    }
}

}  // namespace

int plan_sequence(const Options& options, const report::Checklist& list) {
    for (const char* name : {"card", "out"})
        if (options.text_or(name, "") == "-")
            wrong_option(fmt::format("--{}", name), "cannot be - beside --coats: each bake has a file of its own");
    if (options.has("coating")) wrong_option("--coating", "stands beside --coats: give one of the two");
    const auto shell = shell_of(options);
    const auto booth = booth_of(options);
    const std::vector<cure::HeatSensitiveItem> items = shell.record.heat_sensitive();
    std::optional<services::PlanHistory> history;
    if (options.has("history")) {
        book::Book book = options.open_book(book::Mode::read_only);
        history.emplace(book, options.text("history"), items);
    }
    const cure::ShellHistory before = history ? history->history() : cure::ShellHistory{};
    const std::vector<plan::SequenceCoat> coats = coats_of(options, before);
    plan::PlanOptions asked = planning_options(options, booth.record);
    ProgressLine progress("planning");
    asked.progress = progress.listener();
    if (coats.empty()) wrong_option("--coats", "names no coating");
    const plan::PlanTask task{shell.record.shell, booth.record, coats.front().coating, items};
    plan::SequencePlan plan = plan::plan_sequence(task, asked, coats, before);
    if (!plan.complete) throw FileError("planning was interrupted; nothing was written");
    write_bakes(options, task, plan, coats, list);
    const report::TextOptions text = text_options(options);
    if (options.json())
        print_json(report::document_of(plan), list);
    else
        print(report::Answer(text).say(report::not_checked_sentence(list)).put(report::sequence_text(plan, text)).cautions(&list),
              options);
    const bool is_good =
        std::ranges::all_of(plan.bakes, [](const plan::SequenceBake& bake) { return plan_status(bake.plan) == 0; });
    return static_cast<int>(plan.feasible && is_good ? ExitStatus::fine : ExitStatus::answer_is_no);
}

namespace {

profile::ShellProfile shell_for(const Options& options, const services::StoredBake& bake) {
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
    const services::StoredBake stored = services::load_bake(book, services::bake_id(book, options.text("finish"), "--finish"));
    const profile::ShellProfile shell = shell_for(options, stored);
    const bake::Booth booth = booth_for(options, stored, "name it");
    const cure::Coating coating = coating_for(options, stored);
    const plan::BrokenBake broken =
        plan::broken_bake(shell.shell, booth, stored.traces, planning_options(options, booth).predict);
    std::optional<services::PlanHistory> history;
    const std::vector<cure::HeatSensitiveItem> items = shell.heat_sensitive();
    if (options.has("history")) history.emplace(book, options.text("history"), items, stored.record.id);
    const plan::PlanTask task{shell.shell, booth, coating, items, history ? &history->so_far() : nullptr, &broken.so_far};
    plan::PlanOptions asked = rest_options(options, booth, broken);
    const std::vector<cure::ZoneVerdict> open = plan::not_yet_cured(task);
    const report::TextOptions text = text_options(options);
    const std::vector<std::string> foreword = report::broken_sentences(broken, open, asked);
    if (open.empty()) {
        if (options.json())
            print_json(report::document_of(broken));
        else
            print(report::Answer(text).say_all(foreword).cautions(nullptr), options);
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
    if (history && plan.feasible)
        after = history->after({whole, coating, shell.shell.coated_place_names(), services::names_of(items)});
    show_plan(options, plan, {remedies_for(task, asked, plan), after ? &*after : nullptr, {}, booth.purges_by_itself, {}}, list,
              foreword, report::broken_zones_text(broken, open, text));
    return plan_status(plan);
}

namespace {

plan::PanelFor which_zone(const std::string& name) {
    for (const plan::PanelFor which : {plan::PanelFor::worst, plan::PanelFor::mean, plan::PanelFor::best})
        if (report::panel_for_name(which) == name) return which;
    wrong_option("--test-panel", fmt::format("'{}' is not worst, mean or best", name));
}

/// The panel is baked at the bake's own set point where the user says none.
void take_setpoint(plan::PlanOptions& asked, const Options& options, const services::StoredBake& bake) {
    if (options.has("set-point") || options.has("highest") || !bake.cycle) return;
    double hottest_k = 0.0;
    for (const bake::Stage& stage : bake.cycle->stages) hottest_k = std::max(hottest_k, stage.setpoint_k.value_or(0.0));
    if (hottest_k > asked.lowest_setpoint_k) asked.highest_setpoint_k = hottest_k;
}

}  // namespace

int plan_panel(const Options& options, const report::Checklist& list) {
    const plan::PanelFor which = which_zone(options.text("test-panel"));
    if (!options.has("bake")) wrong_option("--bake", "is missing: the number of the shell's bake that the panel shall stand for");
    book::Book book = options.open_book(book::Mode::read_only);
    const services::StoredBake stored = services::load_bake(book, services::bake_id(book, options.text("bake"), "--bake"));
    const cure::Coating coating = coating_for(options, stored);
    const plan::ZoneDose target = plan::dose_for_panel(judge(stored, coating), which);
    const auto panel = profile::load_shell(options.text_or("shell", "test_panel"), options.library());
    const bake::Booth booth = booth_for(options, stored, "name it, or the bench oven the panel is baked in");
    plan::PlanOptions asked = planning_options(options, booth);
    take_setpoint(asked, options, stored);
    const std::vector<cure::HeatSensitiveItem> items = panel.record.heat_sensitive();
    const plan::PlanTask task{panel.record.shell, booth, coating, items};
    const plan::PanelPlan plan = plan::plan_test_panel(task, asked, target.dose.at_value);
    if (plan.found && options.has("out")) write_file(options.text("out"), profile::to_toml(plan.cycle));
    if (options.json())
        print_json(report::document_of(plan, target, which), list);
    else
        print(report::Answer(text_options(options))
                  .say(report::not_checked_sentence(list))
                  .put(report::panel_text(plan, target, which, text_options(options)))
                  .cautions(&list),
              options);
    return static_cast<int>(plan.found ? ExitStatus::fine : ExitStatus::answer_is_no);
}

}  // namespace bakewright::cli
