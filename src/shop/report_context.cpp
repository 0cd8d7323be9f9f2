#include "report_context.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <map>

#include "bakewright/bake/predict.hpp"
#include "bakewright/book/journal.hpp"
#include "bakewright/report/booth_run.hpp"
#include "bakewright/shop/bake_report.hpp"
#include "bakewright/shop/predict_record.hpp"
#include "bakewright/shop/shell_history.hpp"

namespace bakewright::shop {
namespace {

std::vector<book::BakeId> ids(const ReportHalves& halves) {
    std::vector<book::BakeId> found;
    for (const StoredBake* half : {halves.log, halves.prediction})
        if (half != nullptr) found.push_back(half->record.id);
    return found;
}

/// The history one of the halves stands in; of several shells the first by name.
std::optional<LoadedHistory> history_of(book::Book& book, const ReportHalves& halves) {
    for (const book::BakeId id : ids(halves)) {
        const std::vector<std::string> shells = book::ShellHistoryRepository(book).shells_with(id);
        if (!shells.empty()) return load_history(book, shells.front());
    }
    return std::nullopt;
}

bool is_this_bake(const cure::HistoryBake& bake, const ReportHalves& halves) {
    const std::vector<book::BakeId> these = ids(halves);
    return std::any_of(these.begin(), these.end(),
                       [&](book::BakeId id) { return bake.name == fmt::format("bake {}", static_cast<std::int64_t>(id)); });
}

/// What each limit of each item had seen when this bake began.
std::map<std::string, std::vector<double>> exposed_before_s(book::Book& book, const ReportHalves& halves) {
    std::optional<LoadedHistory> loaded = history_of(book, halves);
    if (!loaded) return {};
    auto& bakes = loaded->history.bakes;
    bakes.erase(std::find_if(bakes.begin(), bakes.end(), [&](const auto& bake) { return is_this_bake(bake, halves); }),
                bakes.end());
    std::map<std::string, std::vector<double>> before;
    if (bakes.empty()) return before;
    for (const cure::ItemHistoryVerdict& item : cure::judge_history(loaded->history).items)
        for (const cure::LimitReading& limit : item.total.limits) before[item.total.item].push_back(limit.exposed_s);
    return before;
}

/// Items whose limits are not the history's go on from nothing.
void drop_other_limits(std::map<std::string, std::vector<double>>& before, const std::vector<cure::HeatSensitiveItem>& items) {
    for (const cure::HeatSensitiveItem& item : items) {
        const auto at = before.find(item.name);
        if (at != before.end() && at->second.size() != item.limits.size()) before.erase(at);
    }
}

}  // namespace

std::map<std::string, std::string> titles_in(const profile::ShellProfile& shell) {
    std::map<std::string, std::string> titles;
    std::map<std::string, int> count;  // of a text, as a name or as a title
    const auto add = [&](const std::string& name, const std::string& title) {
        ++count[name];
        if (title.empty() || title == name) return;
        titles[name] = title;
        ++count[title];
    };
    for (const bake::Zone& zone : shell.shell.zones) add(zone.name, zone.title);
    for (const cure::HeatSensitiveItem& item : shell.item_limits)
        if (shell.shell.find_zone(item.name) == nullptr) add(item.name, item.title);
    std::erase_if(titles, [&](const auto& one) { return count[one.second] > 1; });
    return titles;
}

void put_pictures(report::ReportInput& input, book::Book& book, const ReportHalves& halves) {
    const StoredBake& first = halves.log != nullptr ? *halves.log : *halves.prediction;
    const StoredBake& with_shell = first.shell || halves.prediction == nullptr ? first : *halves.prediction;
    if (with_shell.shell) {
        input.drawing = report::draw_shell(with_shell.shell->shell);
        input.titles = titles_in(*with_shell.shell);
    }
    if (!input.coating) return;
    std::map<std::string, std::vector<double>> before = exposed_before_s(book, halves);
    drop_other_limits(before, with_shell.item_limits());
    input.course = cure::bake_course(first.traces, *input.coating, with_shell.item_limits(), with_shell.coated_zones(), before,
                                     input.verdicts.empty() ? nullptr : &input.verdicts.front().verdict);
}

void put_history(report::ReportInput& input, book::Book& book, const ReportHalves& halves,
                 const std::optional<CertaintyOptions>& certainty) {
    const std::optional<LoadedHistory> loaded = history_of(book, halves);
    if (!loaded) return;
    input.history = cure::judge_history(loaded->history);
    if (certainty) add_certainty(*input.history, *loaded, *certainty);
}

void put_booth_run(report::ReportInput& input, const StoredBake& prediction) {
    if (!prediction.shell || !prediction.booth || !prediction.cycle) return;
    const bake::Prediction again = bake::predict(prediction.shell->shell, *prediction.booth, *prediction.cycle,
                                                 predict_options_from(prediction.record.options_json));
    input.booth_run = report::booth_run_sentences(again, input.units);
    input.splits = again.summary.splits;
}

void put_book(std::vector<report::Provenance>& provenance, book::Book& book) {
    const book::JournalDigest digest = book::journal_digest(book);
    if (!digest.text.empty())
        provenance.push_back({"book's journal", fmt::format("digest {}, {} entries, last {} (bakewright book verify --digest {})",
                                                            digest.text, digest.entries, digest.written_at, digest.text)});
    for (const std::string& damage : book.damage()) provenance.push_back({"DAMAGED in the book", damage});
}

}  // namespace bakewright::shop
