// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/reports.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <map>
#include <set>

#include "bakewright/bake/cold_places.hpp"
#include "bakewright/bake/predict.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/book/journal.hpp"
#include "bakewright/book/shell_history_repository.hpp"
#include "bakewright/cure/judge_history.hpp"
#include "bakewright/report/booth_text.hpp"
#include "bakewright/report/estimate_text.hpp"
#include "bakewright/report/html.hpp"
#include "bakewright/services/certainty.hpp"
#include "bakewright/services/estimated.hpp"
#include "bakewright/services/hand_notes.hpp"
#include "bakewright/services/shell_history.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "bakewright/tune/compare.hpp"

namespace bakewright::services {

namespace {

/// What a report shows beside the bake itself.
/// The two halves of a report; at least one.
struct ReportHalves {
    const StoredBake* prediction = nullptr;
    const StoredBake* log = nullptr;
};

std::vector<book::BakeId> ids(const ReportHalves& halves) {
    std::vector<book::BakeId> found;
    for (const StoredBake* half : {halves.log, halves.prediction})
        if (half != nullptr) found.push_back(half->record.id);
    return found;
}

/// The history one of the halves stands in; of several shells the first by name.
std::optional<LoadedHistory> history_of(book::Book& book, const ReportHalves& halves,
                                        const std::optional<CertaintyOptions>& how) {
    for (const book::BakeId id : ids(halves)) {
        const std::vector<std::string> shells = book::ShellHistoryRepository(book).shells_with(id);
        if (shells.empty()) continue;
        LoadedHistory loaded = load_history(book, shells.front());
        if (how) estimate_logs(loaded, *how);
        return loaded;
    }
    return std::nullopt;
}

bool is_this_bake(const cure::HistoryBake& bake, const ReportHalves& halves) {
    const std::vector<book::BakeId> these = ids(halves);
    return std::any_of(these.begin(), these.end(),
                       [&](book::BakeId id) { return bake.name == fmt::format("bake {}", static_cast<std::int64_t>(id)); });
}

/// What each limit of each item had seen when this bake began.
std::map<std::string, std::vector<double>> exposed_before_s(const std::optional<LoadedHistory>& loaded,
                                                            const ReportHalves& halves) {
    if (!loaded) return {};
    cure::ShellHistory earlier = loaded->history;
    auto& bakes = earlier.bakes;
    bakes.erase(std::find_if(bakes.begin(), bakes.end(), [&](const auto& bake) { return is_this_bake(bake, halves); }),
                bakes.end());
    std::map<std::string, std::vector<double>> before;
    if (bakes.empty()) return before;
    for (const cure::ItemHistoryVerdict& item : cure::judge_history(earlier).items)
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

/// A lane for each zone: of the zone and its strips the place that is slowest. Promise: slowest first.
void keep_slowest_places(cure::BakeCourse& course, const bake::Shell& shell) {
    std::set<std::string> seen;
    std::erase_if(course.zones,
                  [&](const cure::ZoneCourse& zone) { return !seen.insert(bake::zone_of_place(shell, zone.zone)).second; });
}

/// Lanes of the half that counts first, and the drawing of its shell. Lifetime limits go on from what the history of the shell
/// holds before this bake.
void put_pictures(report::ReportInput& input, const ReportHalves& halves, const std::optional<LoadedHistory>& history) {
    const StoredBake& first = halves.log != nullptr ? *halves.log : *halves.prediction;
    const StoredBake& with_shell = first.shell || halves.prediction == nullptr ? first : *halves.prediction;
    if (with_shell.shell) {
        input.drawing = report::draw_shell(with_shell.shell->shell);
        input.titles = titles_in(*with_shell.shell);
    }
    if (!input.coating) return;
    std::map<std::string, std::vector<double>> before = exposed_before_s(history, halves);
    drop_other_limits(before, with_shell.item_limits());
    StoredBake judged = with_shell;
    judged.traces = input.judged_on && halves.log != nullptr ? *input.judged_on : first.traces;
    input.course = cure::bake_course(judged.traces, *input.coating, judged.item_limits(), judged.coated_places(), before,
                                     input.verdicts.empty() ? nullptr : &input.verdicts.front().verdict);
    if (judged.shell) keep_slowest_places(*input.course, judged.shell->shell);
}

/// What the shell's items and coats have had over every bake of the history in which this bake stands; nothing where it stands in
/// none.
void put_history(report::ReportInput& input, const std::optional<LoadedHistory>& loaded,
                 const std::optional<CertaintyOptions>& certainty) {
    if (!loaded) return;
    input.history = cure::judge_history(loaded->history);
    if (certainty) add_certainty(*input.history, *loaded, *certainty);
}

/// What burner and booth air did, predicted anew: the book keeps the traces alone.
void put_booth_run(report::ReportInput& input, const StoredBake& prediction) {
    if (!prediction.shell || !prediction.booth || !prediction.cycle) return;
    const bake::Prediction again = bake::predict(prediction.shell->shell, *prediction.booth, *prediction.cycle,
                                                 predict_options_from(prediction.record.options_json));
    input.booth_run = report::booth_run_sentences(again, input.units);
    input.splits = again.summary.splits;
}

/// One that both halves were made from stands once, under both.
void add_document(report::ReportInput& input, const std::string& label, const std::string& document, const std::string& hash) {
    for (report::Provenance& known : input.provenance)
        if (known.value == hash && known.subject.ends_with(document)) {
            known.subject.insert(known.subject.size() - document.size(), ", " + label);
            return;
        }
    input.provenance.push_back({label + document, hash});
}

void add_provenance(report::ReportInput& input, const StoredBake& bake) {
    const std::string label =
        fmt::format("bake {} ({})", static_cast<std::int64_t>(bake.record.id), book::bake_kind_name(bake.record.kind));
    input.provenance.push_back({label, fmt::format("uid {}, kept {} by bakewright {}", bake.record.uid, bake.record.created_at,
                                                   bake.record.program_version)});
    for (const book::DocumentSummary& document : bake.record.documents)
        add_document(input, label, fmt::format(": {} {}", document.kind, document.name), "sha256 " + document.sha256);
    for (const book::BakeLog& log : bake.record.logs)
        input.provenance.push_back({fmt::format("{}: log {}", label, log.original_name), "sha256 " + log.sha256});
}

void add_sources(report::ReportInput& input, const std::string& subject, const std::map<std::string, std::string>& sources) {
    for (const auto& [key, source] : sources) input.assumptions.push_back({subject, key, source});
}

std::string first_title(const std::string& one, const std::string& other) { return one.empty() ? other : one; }

/// What both halves say of shell, booth and cycle; the prediction, which was computed from them, first.
void add_records(report::ReportInput& input, const StoredBake& bake) {
    if (bake.shell)
        input.shell_title = first_title(input.shell_title, first_title(bake.shell->shell.title, bake.shell->shell.id));
    if (bake.booth) {
        if (input.booth_title.empty()) add_sources(input, "booth " + bake.booth->id, bake.booth->sources);
        input.booth_title = first_title(input.booth_title, first_title(bake.booth->title, bake.booth->id));
    }
    if (bake.cycle) {
        input.cycle_title = first_title(input.cycle_title, first_title(bake.cycle->title, bake.cycle->id));
        if (input.stages.empty() && bake.booth) input.stages = bake::resolve(*bake.cycle, *bake.booth);
    }
}

/// What both halves were baked with: the coating that was asked for, else the prediction's, else the log's.
std::optional<cure::Coating> coating_of(const ReportAsked& asked, const StoredBake* prediction, const StoredBake* log) {
    if (asked.coating) return asked.coating;
    for (const StoredBake* half : {prediction, log})
        if (half != nullptr && half->coating) return half->coating;
    return std::nullopt;
}

report::TraceBand band_of(const std::string& name, const std::vector<double>& time_s, const plan::TemperatureBand& band) {
    return {name, time_s, band.low_k, band.high_k};
}

/// Within which 90 % of the members of the model lie, for every trace of the prediction that has such a band.
void put_bands(report::ReportInput& input, const plan::EnsemblePrediction& ensemble) {
    input.bands = bands_of(ensemble);
    input.bands_origin = plan::ensemble_origin(ensemble);
    input.assumptions.push_back({"prediction bands", "90 % of the simulated bakes lie within", input.bands_origin});
}

/// What the log does not show of the shell's zones and items, each with its band.
void put_estimated(report::ReportInput& input, const plan::EnsemblePrediction& ensemble, const TraceSet& all,
                   const TraceSet& logged) {
    TraceSet estimated = all;
    std::erase_if(estimated.traces, [&](const Trace& trace) {
        const bool is_shown =
            trace.role == TraceRole::zone || trace.role == TraceRole::item || trace.role == TraceRole::test_panel;
        return !is_shown || logged.find(trace.name) != nullptr;
    });
    input.judged_on = all;
    input.estimated_bands = bands_of(ensemble);
    std::erase_if(input.estimated_bands, [&](const report::TraceBand& band) { return estimated.find(band.name) == nullptr; });
    if (!estimated.traces.empty()) input.estimated = std::move(estimated);
}

/// @return the ensemble that a prediction's certainty was read from
std::optional<plan::EnsemblePrediction> add_verdict(report::ReportInput& input, const ReportAsked& asked, const StoredBake& half,
                                                    const StoredBake* prediction) {
    StoredBake of_shell = half;
    if (!of_shell.shell && prediction != nullptr) of_shell.shell = prediction->shell;
    const std::string kind(book::bake_kind_name(half.record.kind));
    if (!asked.certainty) {
        input.verdicts.push_back({kind, judge(of_shell, *input.coating)});
        return std::nullopt;
    }
    Judged made = judged(of_shell, *input.coating, *asked.certainty);
    input.verdicts.push_back({kind, std::move(made.verdict)});
    if (made.estimate) {
        put_estimated(input, *made.ensemble, made.traces, half.traces);
        input.probe_findings = report::probe_sentences(*made.estimate, input.units);
        return std::nullopt;
    }
    if (made.ensemble) put_bands(input, *made.ensemble);
    return std::move(made.ensemble);
}

void put_comparison(report::ReportInput& input, const ReportAsked& asked, const ReportHalves& halves,
                    const std::optional<plan::EnsemblePrediction>& ensemble) {
    if (halves.prediction == nullptr || halves.log == nullptr) return;
    tune::Comparison comparison = tune::compare(halves.prediction->traces, halves.log->traces);
    if (comparison.channels.empty()) return;
    input.comparison = std::move(comparison);
    if (asked.certainty)
        input.agreement = agreement(*halves.prediction, *halves.log, ensemble ? &*ensemble : nullptr, *asked.certainty);
}

/// The digest of the book's journal, by which the paper can be held against the book later, and what of it is damaged.
void put_book(std::vector<report::Provenance>& provenance, book::Book& book) {
    const book::JournalDigest digest = book::journal_digest(book);
    if (!digest.text.empty())
        provenance.push_back({"book's journal", fmt::format("digest {}, {} entries, last {} (bakewright book verify --digest {})",
                                                            digest.text, digest.entries, digest.written_at, digest.text)});
    for (const std::string& damage : book.damage()) provenance.push_back({"DAMAGED in the book", damage});
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
    for (const bake::ColdPlace& place : bake::cold_places(shell.shell)) add(place.name, place.title);
    for (const cure::HeatSensitiveItem& item : shell.item_limits)
        if (shell.shell.find_zone(item.name) == nullptr) add(item.name, item.title);
    std::erase_if(titles, [&](const auto& one) { return count[one.second] > 1; });
    return titles;
}

std::vector<report::TraceBand> bands_of(const plan::EnsemblePrediction& ensemble) {
    std::vector<report::TraceBand> bands;
    for (const plan::ZoneChances& zone : ensemble.zones) bands.push_back(band_of(zone.zone, ensemble.time_s, zone.band));
    for (const plan::ItemChances& item : ensemble.items) bands.push_back(band_of(item.item, ensemble.time_s, item.band));
    return bands;
}

std::optional<StoredBake> other_half(book::Book& book, const StoredBake& bake) {
    if (bake.record.paired_bake) return load_bake(book, *bake.record.paired_bake);
    const std::vector<book::BakeId> paired = book::BakeRepository(book).paired_with(bake.record.id);
    if (paired.empty()) return std::nullopt;
    return load_bake(book, paired.back());
}

report::ReportInput report_input(const ReportAsked& how, book::Book& book, const StoredBake& bake,
                                 const std::optional<StoredBake>& other) {
    ReportAsked asked = how;
    if (asked.certainty) asked.certainty->book = &book;
    const bool logged = bake.record.kind == book::BakeKind::logged;
    const StoredBake* prediction = logged ? (other ? &*other : nullptr) : &bake;
    const StoredBake* log = logged ? &bake : (other ? &*other : nullptr);
    report::ReportInput input;
    input.title = asked.title.empty() ? bake.record.title : asked.title;
    input.started_at = log != nullptr ? log->record.started_at : bake.record.started_at;
    input.written_at = asked.written_at;
    input.remark = bake.record.note;
    input.units = asked.units;
    for (const StoredBake* half : {prediction, log})
        if (half != nullptr) add_records(input, *half);
    input.coating = coating_of(asked, prediction, log);
    if (input.coating) {
        input.coating_title = first_title(input.coating->title, input.coating->id);
        add_sources(input, "coating " + input.coating->id, input.coating->sources);
    }
    std::optional<plan::EnsemblePrediction> ensemble;
    for (const StoredBake* half : {log, prediction}) {
        if (half == nullptr) continue;
        if (input.coating) ensemble = add_verdict(input, asked, *half, prediction);
        const cure::BakeVerdict* verdict = input.coating ? &input.verdicts.back().verdict : nullptr;
        for (report::HandRow& row : hand_rows(*half, input.coating ? &*input.coating : nullptr, verdict))
            input.noted.push_back(std::move(row));
        add_provenance(input, *half);
        if (const std::string condensed = half->condensed_text(); !condensed.empty())
            input.assumptions.push_back({"long log", condensed, "what lies within is not told; `book export` has every sample"});
    }
    const ReportHalves halves{prediction, log};
    const std::optional<LoadedHistory> history = history_of(book, halves, asked.certainty);
    put_pictures(input, halves, history);
    put_history(input, history, asked.certainty);
    if (prediction != nullptr) put_booth_run(input, *prediction);
    if (log != nullptr) input.probes = log->probes;
    if (prediction != nullptr) input.predicted = prediction->traces;
    if (log != nullptr) input.logged = log->traces;
    put_comparison(input, asked, halves, ensemble);
    put_book(input.provenance, book);
    input.provenance.push_back({"report written by", fmt::format("bakewright {}", asked.program_version)});
    return input;
}

namespace {

/// The newest bake that was kept with its shell.
const StoredBake* newest_with_shell(const LoadedHistory& loaded) {
    const StoredBake* newest = nullptr;
    for (const auto& half : loaded.halves)
        if (half->shell && (newest == nullptr || half->record.id > newest->record.id)) newest = half.get();
    return newest;
}

std::string bake_line(const book::HistoryEntry& entry, const book::Bake& bake) {
    return fmt::format("{} {}: bake {}, {} ({})", entry.began_at.substr(0, 10), entry.began_at.substr(11, 5),
                       static_cast<std::int64_t>(entry.bake), bake.title, book::bake_kind_name(bake.kind));
}

}  // namespace

std::map<std::string, std::string> titles_in(const LoadedHistory& loaded) {
    const StoredBake* newest = newest_with_shell(loaded);
    return newest == nullptr ? std::map<std::string, std::string>{} : titles_in(*newest->shell);
}

report::ShellReportInput shell_report_input(const ShellReportAsked& asked, book::Book& book) {
    LoadedHistory loaded = load_history(book, asked.shell);
    if (loaded.history.coats.empty() && loaded.history.bakes.empty())
        throw InputError(
            Problem{{},
                    0,
                    "--shell",
                    fmt::format("'{}' has no coat and no bake in the book; `bakewright history` enters them", asked.shell)});
    report::ShellReportInput input;
    CertaintyOptions certainty = asked.certainty;
    certainty.book = &book;
    estimate_logs(loaded, certainty);
    input.verdict = judge(loaded);
    add_certainty(input.verdict, loaded, certainty);
    const StoredBake* newest = newest_with_shell(loaded);
    input.shell_title = newest != nullptr && !newest->shell->shell.title.empty() ? newest->shell->shell.title : asked.shell;
    if (newest != nullptr) input.drawing = report::draw_shell(newest->shell->shell);
    input.titles = titles_in(loaded);
    input.written_at = asked.written_at;
    input.units = asked.units;
    for (const auto& half : loaded.halves)
        for (report::HandRow& row : hand_rows(*half)) input.noted.push_back(std::move(row));
    for (const book::HistoryEntry& entry : book::ShellHistoryRepository(book).bakes(asked.shell)) {
        const book::Bake bake = book::BakeRepository(book).get(entry.bake);
        input.bakes.push_back(bake_line(entry, bake));
        input.provenance.push_back({fmt::format("bake {}", static_cast<std::int64_t>(entry.bake)), "uid " + bake.uid});
    }
    if (const auto vehicle = book::IdentityRepository(book).vehicle(asked.shell))
        input.provenance.push_back(
            {"vehicle",
             fmt::format("{}{}uid {}", vehicle->job_number.empty() ? "" : "job " + vehicle->job_number + ", ",
                         vehicle->maker_number.empty() ? "" : "maker's number " + vehicle->maker_number + ", ", vehicle->uid)});
    put_book(input.provenance, book);
    input.provenance.push_back({"report written by", "bakewright " + asked.program_version});
    return input;
}

}  // namespace bakewright::services
