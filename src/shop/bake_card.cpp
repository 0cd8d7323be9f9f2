#include "bakewright/shop/bake_card.hpp"

#include <fmt/core.h>

#include "bakewright/base/error.hpp"
#include "bakewright/report/titles.hpp"
#include "bakewright/shop/bake_report.hpp"
#include "bakewright/shop/certainty.hpp"
#include "bakewright/shop/entered_text.hpp"

namespace bakewright::shop {
namespace {

constexpr std::size_t kShownOfHash = 12;  // enough to find the document in the book

std::string title_of(const std::string& title, const std::string& id) { return title.empty() ? id : title; }

/// @throws InputError where something aboard forbids a card
report::BakeCard begun(const CardAsked& asked, const bake::Booth& booth, const cure::Coating& coating) {
    if (const report::CheckedThing* thing = asked.checklist.blocking())
        throw InputError(Problem{{}, 0, "--aboard", report::blocked_sentence(*thing)});
    report::BakeCard card;
    card.title = asked.title.empty() ? "Bake: " + title_of(coating.title, coating.id) : entered_text("--title", asked.title);
    card.booth_title = title_of(booth.title, booth.id);
    card.started_at = asked.started_at;
    card.coating = coating;
    card.taken_out = asked.taken_out;
    card.checklist = asked.checklist;
    card.probe_places = asked.probe_places;
    card.units = asked.units;
    return card;
}

/// What stands on it under the names that people use.
void put_titled(report::BakeCard& card, const TraceSet& traces, const cure::BakeVerdict& verdict,
                const profile::ShellProfile& shell) {
    const report::Titles titles = titles_in(shell);
    card.predicted = report::titled(traces, titles);
    card.verdict = report::titled(verdict, titles);
    card.items = shell.item_limits;
    for (cure::HeatSensitiveItem& item : card.items) item.name = report::title_of(item.name, titles);
    for (auto* names : {&card.taken_out, &card.probe_places})
        for (std::string& name : *names) name = report::title_of(name, titles);
}

}  // namespace

report::BakeCard bake_card(const CardAsked& asked, const plan::PlanTask& task, const bake::Prediction& prediction,
                           const cure::BakeVerdict& verdict) {
    report::BakeCard card = begun(asked, task.booth, task.coating);
    card.shell_title = title_of(task.shell.title, task.shell.id);
    card.stages = prediction.stages;
    put_titled(card, prediction.traces, verdict, {task.shell, task.items});
    card.provenance = {
        {"bakewright", asked.program_version}, {"shell", task.shell.id}, {"booth", task.booth.id}, {"coating", task.coating.id}};
    return card;
}

report::BakeCard bake_card(const CardAsked& asked, const StoredBake& bake, const cure::Coating& coating) {
    const auto number = static_cast<std::int64_t>(bake.record.id);
    if (!bake.cycle || !bake.booth || bake.record.kind != book::BakeKind::predicted)
        throw InputError(
            Problem{{}, 0, "--card", fmt::format("bake {} is no prediction with a cycle: a card tells what to set", number)});
    report::BakeCard card = begun(asked, *bake.booth, coating);
    if (asked.title.empty()) card.title = bake.record.title;
    if (bake.shell) card.shell_title = title_of(bake.shell->shell.title, bake.shell->shell.id);
    if (card.started_at.empty()) card.started_at = bake.record.started_at;
    card.stages = bake::resolve(*bake.cycle, *bake.booth);
    put_titled(card, bake.traces, judge(bake, coating), bake.shell.value_or(profile::ShellProfile{}));
    card.provenance = {{"bake", fmt::format("{}, uid {}", number, bake.record.uid)}, {"bakewright", asked.program_version}};
    for (const book::DocumentSummary& document : bake.record.documents)
        card.provenance.push_back({document.kind + " " + document.name, "sha256 " + document.sha256.substr(0, kShownOfHash)});
    return card;
}

}  // namespace bakewright::shop
