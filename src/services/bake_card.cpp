// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/bake_card.hpp"

#include <fmt/core.h>

#include "bakewright/base/error.hpp"
#include "bakewright/report/titles.hpp"
#include "bakewright/services/entered.hpp"
#include "bakewright/services/reports.hpp"
#include "bakewright/services/track_record.hpp"

namespace bakewright::services {
namespace {

constexpr std::size_t kShownOfHash = 12;  // enough to find the document in the book

std::string title_of(const std::string& title, const std::string& id) { return title.empty() ? id : title; }

/// What nobody may bake with, or bakes that are not as they should be.
std::string refusal_of(const CardAsked& asked, const cure::BakeVerdict& verdict) {
    if (const std::vector<report::CheckedThing> things = asked.checklist.blocking(); !things.empty())
        return report::blocked_sentence(things);
    return report::card_refusal(verdict, asked.units);
}

CardAnswer answer_with(report::BakeCard card, const CardAsked& asked) {
    std::string refusal = refusal_of(asked, card.verdict);
    if (!refusal.empty()) return {std::nullopt, std::move(refusal)};
    return {std::move(card), {}};
}

report::BakeCard begun(const CardAsked& asked, const bake::Booth& booth, const cure::Coating& coating) {
    report::BakeCard card;
    card.title = asked.title.empty() ? "Bake: " + title_of(coating.title, coating.id) : entered_text("--title", asked.title);
    card.booth_title = title_of(booth.title, booth.id);
    card.started_at = asked.started_at;
    card.coating = coating;
    card.taken_out = asked.taken_out;
    card.checklist = asked.checklist;
    card.units = asked.units;
    card.booth_purges_by_itself = booth.purges_by_itself;
    return card;
}

std::vector<plan::ProbePlace> places_of(const bake::Shell& shell, const bake::Booth& booth, const bake::Cycle& cycle,
                                        const cure::Coating& coating, const std::vector<cure::HeatSensitiveItem>& items) {
    plan::PlaceOptions options;
    options.predict.start_temperature_k = booth.ambient_k;
    return plan::probe_places({shell, booth, cycle, &coating, items}, options).places;
}

/// What stands on it under the names that people use.
void put_titled(report::BakeCard& card, const TraceSet& traces, const cure::BakeVerdict& verdict,
                const profile::ShellProfile& shell, std::vector<cure::HeatSensitiveItem> items) {
    const report::Titles titles = titles_in(shell);
    card.predicted = report::titled(traces, titles);
    card.verdict = report::titled(verdict, titles);
    card.items = std::move(items);
    for (cure::HeatSensitiveItem& item : card.items) item.name = report::title_of(item.name, titles);
    for (std::string& name : card.taken_out) name = report::title_of(name, titles);
    card.probe_places = report::titled(std::move(card.probe_places), titles);
}

}  // namespace

CardAnswer bake_card(const CardAsked& asked, const plan::PlanTask& task, const bake::Cycle& cycle,
                     const bake::Prediction& prediction, const cure::BakeVerdict& verdict) {
    report::BakeCard card = begun(asked, task.booth, task.coating);
    card.shell_title = title_of(task.shell.title, task.shell.id);
    card.stages = prediction.stages;
    card.probe_places =
        asked.probe_places ? *asked.probe_places : places_of(task.shell, task.booth, cycle, task.coating, task.items);
    put_titled(card, prediction.traces, verdict, {task.shell, task.items}, task.items);
    card.provenance = {
        {"bakewright", asked.program_version}, {"shell", task.shell.id}, {"booth", task.booth.id}, {"coating", task.coating.id}};
    return answer_with(std::move(card), asked);
}

CardAnswer bake_card(const CardAsked& asked, const StoredBake& bake, const cure::Coating& coating,
                     const std::optional<StoredBake>& log, const CertaintyOptions& how) {
    const auto number = static_cast<std::int64_t>(bake.record.id);
    if (bake.record.kind == book::BakeKind::logged || log)
        return {std::nullopt,
                fmt::format("There is no card for bake {}: it has been baked{}. A card is for the next bake: `bakewright "
                            "plan` or `bakewright predict` it.",
                            number, log ? fmt::format(", its log is bake {}", static_cast<std::int64_t>(log->record.id)) : "")};
    if (!bake.cycle || !bake.booth || bake.record.kind != book::BakeKind::predicted)
        throw InputError(
            Problem{{}, 0, "--card", fmt::format("bake {} is not a prediction with a cycle: a card tells what to set", number)});
    report::BakeCard card = begun(asked, *bake.booth, coating);
    if (asked.title.empty()) card.title = bake.record.title;
    if (bake.shell) card.shell_title = title_of(bake.shell->shell.title, bake.shell->shell.id);
    if (card.started_at.empty()) card.started_at = bake.record.started_at;
    card.stages = bake::resolve(*bake.cycle, *bake.booth);
    const cure::BakeVerdict verdict = judged(bake, coating, how).verdict;
    bake::Booth booth = *bake.booth;
    if (how.book != nullptr) booth.record = booth_record(*how.book, booth.id, bake.record.id);
    if (bake.shell) card.probe_places = places_of(bake.shell->shell, booth, *bake.cycle, coating, bake.item_limits());
    put_titled(card, bake.traces, verdict, bake.shell.value_or(profile::ShellProfile{}), bake.item_limits());
    card.provenance = {{"bake", fmt::format("{}, uid {}", number, bake.record.uid)}, {"bakewright", asked.program_version}};
    for (const book::DocumentSummary& document : bake.record.documents)
        card.provenance.push_back({document.kind + " " + document.name, "sha256 " + document.sha256.substr(0, kShownOfHash)});
    return answer_with(std::move(card), asked);
}

}  // namespace bakewright::services
