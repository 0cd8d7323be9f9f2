#include "plan_sequence.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "bakewright/base/error.hpp"
#include "bakewright/plan/sequence.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/sequence_text.hpp"
#include "bakewright/shop/plan_history.hpp"
#include "named_records.hpp"
#include "output.hpp"
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

}  // namespace

int plan_sequence(const Options& options, const report::Checklist& list) {
    if (options.has("coating")) wrong_option("--coating", "stands beside --coats: give one of the two");
    const auto shell = shell_of(options);
    const auto booth = booth_of(options);
    std::optional<PlanHistory> history;
    if (options.has("history")) {
        book::Book book = book::Book::open(options.book_path(), book::Mode::read_only);
        history.emplace(book, options.text("history"), shell.record.item_limits);
    }
    const cure::ShellHistory before = history ? history->history() : cure::ShellHistory{};
    const std::vector<plan::SequenceCoat> coats = coats_of(options, before);
    plan::PlanOptions asked = planning_options(options, booth.record);
    ProgressLine progress("planning");
    asked.progress = progress.listener();
    if (coats.empty()) wrong_option("--coats", "names no coating");
    const plan::PlanTask task{shell.record.shell, booth.record, coats.front().coating, shell.record.item_limits};
    const plan::SequencePlan plan = plan::plan_sequence(task, asked, coats, before);
    if (!plan.complete) throw FileError("planning was interrupted; nothing was written");
    const report::TextOptions text = text_options(options);
    if (options.json())
        print(report::to_json_text(plan));
    else
        print(report::sequence_text(plan, text) + "\n" + report::checklist_text(list, text) + "\n" + report::cautions_text(text));
    return static_cast<int>(plan.feasible ? ExitStatus::fine : ExitStatus::answer_is_no);
}

}  // namespace bakewright::cli
