#include "card.hpp"

#include <fmt/core.h>

#include "bakewright/report/bake_card.hpp"
#include "bakewright/shop/files.hpp"
#include "bakewright/shop/shop_time.hpp"
#include "judging.hpp"
#include "version.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

std::string start_of(const Options& options, const std::string& otherwise) {
    return options.has("start") ? shop_time(options.text("start"), "--start").text : otherwise;
}

std::string title_of(const std::string& title, const std::string& id) { return title.empty() ? id : title; }

void refuse_blocked(const report::Checklist& checklist) {
    if (const report::CheckedThing* thing = checklist.blocking()) wrong_option("--aboard", report::blocked_sentence(*thing));
}

}  // namespace

void describe_card(Options& options) {
    options.add()("card", po::value<std::string>()->value_name("FILE"),
                  "write the bake card for the booth door as one HTML page to print; - is standard output")(
        "start", po::value<std::string>()->value_name("TIME"),
        "with a card: when the bake starts, such as \"2027-03-01 16:20\"; its times are then the clock's");
}

std::optional<std::string> card_path(const Options& options) {
    const bool out_is_page = options.has("out") && options.text("out").ends_with(".html");
    if (options.has("card") && out_is_page)
        wrong_option("--card", "stands beside an --out that ends in .html: give one of the two");
    if (options.has("card")) return options.text("card");
    return out_is_page ? std::optional(options.text("out")) : std::nullopt;
}

void write_card(const Options& options, const plan::PlanTask& task, const plan::Plan& plan,
                const std::vector<std::string>& taken_out, const report::Checklist& checklist, const std::string& path) {
    report::BakeCard card;
    card.shell_title = title_of(task.shell.title, task.shell.id);
    card.booth_title = title_of(task.booth.title, task.booth.id);
    card.title = options.text_or("title", "Bake: " + title_of(task.coating.title, task.coating.id));
    card.started_at = start_of(options, {});
    card.coating = task.coating;
    card.stages = plan.prediction.stages;
    card.predicted = plan.prediction.traces;
    card.verdict = plan.verdict;
    card.items = task.items;
    card.taken_out = taken_out;
    card.checklist = checklist;
    for (const plan::ProbePlace& place : plan.probe_places) card.probe_places.push_back(place.zone);
    card.provenance = {
        {"bakewright", std::string(kVersion)}, {"shell", task.shell.id}, {"booth", task.booth.id}, {"coating", task.coating.id}};
    card.units = options.units();
    write_file(path, report::html_card(card));
}

void write_card(const Options& options, const StoredBake& bake, const cure::Coating& coating, const report::Checklist& checklist,
                const std::string& path) {
    refuse_blocked(checklist);
    const auto number = static_cast<std::int64_t>(bake.record.id);
    if (!bake.cycle || !bake.booth || bake.record.kind != book::BakeKind::predicted)
        wrong_option("--card", fmt::format("bake {} is no prediction with a cycle: a card tells what to set", number));
    report::BakeCard card;
    card.title = options.text_or("title", bake.record.title);
    if (bake.shell) card.shell_title = title_of(bake.shell->shell.title, bake.shell->shell.id);
    card.booth_title = title_of(bake.booth->title, bake.booth->id);
    card.started_at = start_of(options, bake.record.started_at);
    card.coating = coating;
    card.stages = bake::resolve(*bake.cycle, *bake.booth);
    card.predicted = bake.traces;
    card.verdict = judge(bake, coating);
    card.items = bake.item_limits();
    card.checklist = checklist;
    card.provenance = {{"bake", fmt::format("{}, uid {}", number, bake.record.uid)}, {"bakewright", std::string(kVersion)}};
    for (const book::DocumentSummary& document : bake.record.documents)
        card.provenance.push_back({document.kind + " " + document.name, "sha256 " + document.sha256.substr(0, 12)});
    card.units = options.units();
    write_file(path, report::html_card(card));
}

}  // namespace bakewright::cli
