#include "plan_sequence.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "bakewright/base/error.hpp"
#include "bakewright/plan/sequence.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/sequence_text.hpp"
#include "bakewright/shop/plan_history.hpp"
#include "card.hpp"
#include "named_records.hpp"
#include "output.hpp"
#include "plan_output.hpp"
#include "planning_options.hpp"
#include "ranges.hpp"

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
    std::optional<PlanHistory> history;
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
        print(report::with_checklist(report::to_json_text(plan), list));
    else
        print(report::between_cautions(report::sequence_text(plan, text), list, text));
    const bool is_good =
        std::ranges::all_of(plan.bakes, [](const plan::SequenceBake& bake) { return plan_status(bake.plan) == 0; });
    return static_cast<int>(plan.feasible && is_good ? ExitStatus::fine : ExitStatus::answer_is_no);
}

}  // namespace bakewright::cli
