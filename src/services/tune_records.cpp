// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/tune_records.hpp"

#include <fmt/core.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <limits>
#include <set>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/bake/predict.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/document_repository.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/profile/text_rules.hpp"
#include "bakewright/services/entered.hpp"
#include "bakewright/services/evidence.hpp"
#include "bakewright/services/reports.hpp"
#include "bakewright/services/stored_bake.hpp"

namespace bakewright::services {

namespace {

constexpr const char* kNameEnd = "_tuned";

/// The first bake's own record, or that of the bake it belongs to.
template <class Record>
Record record_of_bakes(const std::vector<StoredBake>& bakes, std::optional<Record> StoredBake::*member, const char* option) {
    for (const StoredBake& bake : bakes)
        if (bake.*member) return *(bake.*member);
    throw InputError(Problem{{}, 0, option, "is missing: the bakes were kept without one"});
}

/// "name", or "name_2", ...: not in the book yet.
std::string unused_name(book::DocumentRepository& documents, std::string_view kind, const std::string& name) {
    const std::vector<book::DocumentSummary> all = documents.list(kind);
    const auto is_used = [&](const std::string& tried) {
        return std::any_of(all.begin(), all.end(), [&](const book::DocumentSummary& one) { return one.name == tried; });
    };
    std::string tried = name;
    for (int number = 2; is_used(tried); ++number) tried = fmt::format("{}_{}", name, number);
    return tried;
}

/// A tuned record tuned again keeps one ending.
std::string tuned_name(const std::string& id) { return id.find(kNameEnd) == std::string::npos ? id + kNameEnd : id; }

/// The link that a history is found by: through every tuning back to what a hand wrote.
void link(bake::Learned& learned, const std::string& origin) { learned.tuned_from.insert(learned.tuned_from.begin(), origin); }

std::string tuned_title(const std::string& title, std::size_t bakes) {
    const std::size_t old = title.find(" (tuned on ");
    return fmt::format("{} (tuned on {} {})", title.substr(0, old), bakes, bakes == 1 ? "bake" : "bakes");
}

/// The bakes of both lists, each once.
std::vector<StoredBake> load_bakes(book::Book& book, const TuneAsked& asked) {
    std::vector<StoredBake> bakes;
    for (const auto* list : {&asked.bakes, &asked.held_out})
        for (const book::BakeId id : *list)
            if (std::none_of(bakes.begin(), bakes.end(), [&](const StoredBake& one) { return one.record.id == id; }))
                bakes.push_back(load_bake(book, id));
    return bakes;
}

/// The bakes, then the predictions that they belong to.
std::vector<StoredBake> with_halves(book::Book& book, const std::vector<StoredBake>& bakes) {
    std::vector<StoredBake> halves = bakes;
    for (const StoredBake& bake : bakes)
        if (bake.record.paired_bake) halves.push_back(load_bake(book, *bake.record.paired_bake));
    return halves;
}

template <class Record>
void add_versions(std::vector<TunedVersion>& versions, book::DocumentRepository& documents, std::string_view kind,
                  Record (*read)(std::string_view, const std::string&), const bake::Learned& (*learned_of)(const Record&)) {
    std::set<std::string> seen;
    for (const book::DocumentSummary& summary : documents.list(kind)) {
        if (!seen.insert(summary.name).second) continue;
        const std::string text = documents.get(summary.id).text;
        if (text.find("[learned_from]") == std::string::npos) continue;  // most are not: spares the reading
        const Record record = read(text, fmt::format("{} '{}' of the book", kind, summary.name));
        versions.push_back({std::string(kind), summary.name, summary.title, summary.stored_at, learned_of(record)});
    }
}

const bake::Learned& learned_of_shell(const profile::ShellProfile& shell) { return shell.shell.learned; }
const bake::Learned& learned_of_booth(const bake::Booth& booth) { return booth.learned; }

}  // namespace

std::string bake_label(const book::Bake& bake) {
    const std::string number = fmt::format("bake {}", static_cast<std::int64_t>(bake.id));
    return bake.started_at.size() >= 10 ? fmt::format("{} of {}", number, bake.started_at.substr(0, 10)) : number;
}

tune::LoggedBake logged_bake(book::Book& book, StoredBake stored) {
    const std::string label = bake_label(stored.record);
    if (stored.record.kind != book::BakeKind::logged)
        throw InputError(Problem{{}, 0, label, "is a prediction; a model learns from logs"});
    tune::LoggedBake bake{label, stored.readings(), stored.cycle, stored.probes};
    if (!bake.cycle && stored.record.paired_bake) bake.cycle = load_bake(book, *stored.record.paired_bake).cycle;
    return bake;
}

TuneRecords load_tune_records(book::Book& book, const TuneAsked& asked) {
    if (asked.bakes.empty()) throw InputError(Problem{{}, 0, "bakes", "name at least one logged bake to learn from"});
    std::vector<StoredBake> bakes = load_bakes(book, asked);
    const std::vector<StoredBake> halves = with_halves(book, bakes);
    TuneRecords records;
    for (const book::BakeId id : asked.held_out)
        for (const StoredBake& bake : bakes)
            if (bake.record.id == id) records.held_out.push_back(bake_label(bake.record));
    records.shell = asked.shell ? *asked.shell : record_of_bakes(halves, &StoredBake::shell, "--shell");
    records.task.booth = asked.booth ? *asked.booth : record_of_bakes(halves, &StoredBake::booth, "--booth");
    records.task.shell = records.shell.shell;
    for (StoredBake& bake : bakes) {
        records.logs.push_back(bake.record);
        records.task.bakes.push_back(logged_bake(book, std::move(bake)));
    }
    std::vector<std::string> own;
    for (const tune::LoggedBake& bake : records.task.bakes) own.push_back(bake.name);
    records.earlier_evidence = earlier_evidence(book, own);
    return records;
}

TunedPair named_pair(const TuneRecords& records, const tune::TuneResult& result, const std::string& name) {
    const std::string given = entered_text("--name", name, profile::kLongestName);
    TunedPair pair{records.shell, result.booth};
    pair.shell.shell = result.shell;
    link(pair.shell.shell.learned, records.shell.shell.id);
    link(pair.booth.learned, result.booth.id);
    pair.shell.shell.id = given.empty() ? tuned_name(pair.shell.shell.id) : given;
    pair.booth.id = given.empty() ? tuned_name(pair.booth.id) : given;
    pair.shell.shell.title = tuned_title(pair.shell.shell.title, pair.shell.shell.learned.from.size());
    pair.booth.title = tuned_title(pair.booth.title, pair.booth.learned.from.size());
    return pair;
}

TunedPair keep_pair(book::Book& book, const TuneRecords& records, const tune::TuneResult& result, const std::string& name) {
    TunedPair pair = named_pair(records, result, name);
    book::Transaction transaction(book);
    book::DocumentRepository documents(book);
    pair.shell.shell.id = unused_name(documents, book::document_kind::shell, pair.shell.shell.id);
    pair.booth.id = unused_name(documents, book::document_kind::booth, pair.booth.id);
    static_cast<void>(keep(book, pair.shell));
    static_cast<void>(keep(book, pair.booth));
    for (const tune::TuneResult::BakeEvidence& one : result.evidence)
        for (const book::Bake& log : records.logs)
            if (bake_label(log) == one.bake) keep_evidence(book, log, one.log_evidence);
    transaction.commit();
    return pair;
}

std::vector<TunedVersion> tuned_versions(book::Book& book) {
    book::DocumentRepository documents(book);
    std::vector<TunedVersion> versions;
    add_versions<profile::ShellProfile>(versions, documents, book::document_kind::shell, profile::shell_from_toml,
                                        learned_of_shell);
    add_versions<bake::Booth>(versions, documents, book::document_kind::booth, profile::booth_from_toml, learned_of_booth);
    std::stable_sort(versions.begin(), versions.end(),
                     [](const TunedVersion& one, const TunedVersion& other) { return one.stored_at > other.stored_at; });
    return versions;
}

namespace {

constexpr std::size_t kFewestBakes = 3;

std::string label_of(book::BakeId id) { return fmt::format("bake {}", static_cast<std::int64_t>(id)); }

bool is_of_booth(const book::Bake& bake, const std::string& booth) {
    const book::DocumentSummary* document = bake.document(book::document_kind::booth);
    return document != nullptr && document->name == booth;
}

/// The log and the prediction that it belongs to.
struct Halves {
    StoredBake log;
    std::optional<StoredBake> prediction;

    template <class Record>
    [[nodiscard]] const Record* either(std::optional<Record> StoredBake::*member) const {
        if (prediction && ((*prediction).*member).has_value()) return &*((*prediction).*member);
        return (log.*member).has_value() ? &*(log.*member) : nullptr;
    }
};

/// Goes through the bakes and collects what each says.
class Collector {
public:
    explicit Collector(book::Book& book) : book_(book) {}

    void add(book::BakeId id) {
        Halves halves{load_bake(book_, id), {}};
        if (halves.log.record.kind != book::BakeKind::logged)
            throw InputError(Problem{{}, 0, label_of(id), "is a prediction; a booth's trend is told by logs"});
        const auto began = shop_time_from(halves.log.record.started_at);
        if (!began) {
            undated_.push_back(label_of(id));
            return;
        }
        halves.prediction = other_half(book_, halves.log);
        tune::BakeOfTrend bake{label_of(id), began->text.substr(0, 10), began->since_s, {}, {}};
        put_air(bake, halves);
        put_groups(bake, halves);
        bakes_.push_back(std::move(bake));
    }

    tune::BoothTrend trend() {
        if (bakes_.size() < kFewestBakes)
            throw InputError(Problem{{},
                                     0,
                                     "BAKE",
                                     fmt::format("{} logged {} of the booth with a start by the clock; a trend takes {} at least",
                                                 bakes_.size(), bakes_.size() == 1 ? "bake is" : "bakes are", kFewestBakes)});
        tune::BoothTrend made = tune::booth_trend(std::move(bakes_));
        remark(made, undated_, "left out: no start by the clock");
        remark(made, without_set_, "no air against set: no cycle, no booth, or no air logged on its hold");
        remark(made, replayed_,
               "bias and lag against a prediction that the log's own air drove: they tell of the shell, not of the air");
        remark(made, without_prediction_, "no bias and lag: no prediction, nor shell, booth and cycle to make one");
        if (made_with_.size() > 1)
            made.remarks.push_back(
                "The predictions were made with different records of shell or booth: bias and lag tell of both, record and "
                "booth.");
        return made;
    }

private:
    static void remark(tune::BoothTrend& trend, const std::vector<std::string>& bakes, const char* what) {
        if (!bakes.empty()) trend.remarks.push_back(fmt::format("{}: {}.", fmt::join(bakes, ", "), what));
    }

    void put_air(tune::BakeOfTrend& bake, const Halves& halves) {
        const bake::Cycle* cycle = halves.either(&StoredBake::cycle);
        const bake::Booth* booth = halves.either(&StoredBake::booth);
        const Trace* air = halves.log.traces.first(TraceRole::booth_air);
        if (cycle != nullptr && booth != nullptr && air != nullptr)
            bake.air_offset_k = tune::plateau_offset_k(*air, bake::resolve(*cycle, *booth));
        if (!bake.air_offset_k) without_set_.push_back(bake.label);
    }

    void put_groups(tune::BakeOfTrend& bake, const Halves& halves) {
        const profile::ShellProfile* shell = halves.either(&StoredBake::shell);
        const TraceSet predicted = prediction_of(halves);
        if (shell != nullptr)
            bake.groups = tune::by_group(tune::compare(predicted, halves.log.traces), [&](const std::string& channel) {
                const bake::Zone* zone = shell->shell.find_zone(channel);
                return zone != nullptr ? bake::film_group_of(*zone) : std::string();
            });
        if (bake.groups.empty())
            without_prediction_.push_back(bake.label);
        else if (halves.prediction && !halves.prediction->cycle)
            replayed_.push_back(bake.label);
    }

    TraceSet prediction_of(const Halves& halves) {
        const StoredBake& made_by = halves.prediction ? *halves.prediction : halves.log;
        std::string records;
        for (const std::string_view kind : {book::document_kind::shell, book::document_kind::booth})
            if (const book::DocumentSummary* document = made_by.record.document(kind)) records += document->sha256;
        TraceSet traces;
        if (halves.prediction)
            traces = halves.prediction->traces;
        else if (halves.log.shell && halves.log.booth && halves.log.cycle)
            traces = bake::predict(halves.log.shell->shell, *halves.log.booth, *halves.log.cycle).traces;
        if (!traces.traces.empty()) made_with_.insert(records);
        return traces;
    }

    book::Book& book_;
    std::vector<tune::BakeOfTrend> bakes_;
    std::vector<std::string> undated_, without_set_, without_prediction_, replayed_;
    std::set<std::string> made_with_;
};

}  // namespace

std::vector<book::BakeId> logged_bakes_of_booth(book::Book& book, const std::string& booth, const std::string& since) {
    const double since_s = since.empty() ? -std::numeric_limits<double>::infinity()
                                         : shop_time(since.size() == 10 ? since + "T00:00" : since, "--since").since_s;
    book::BakeRepository bakes(book);
    book::ListFilter all;
    all.limit = std::max<std::size_t>(bakes.count(), 1);
    all.kind = book::BakeKind::logged;
    std::vector<book::BakeId> found;
    for (const book::BakeSummary& summary : bakes.list(all)) {
        const auto began = shop_time_from(summary.started_at);
        if (began && began->since_s < since_s) continue;
        const book::Bake bake = bakes.get(summary.id);
        const bool is_its = is_of_booth(bake, booth) || (bake.paired_bake && is_of_booth(bakes.get(*bake.paired_bake), booth));
        if (is_its) found.push_back(summary.id);
    }
    std::reverse(found.begin(), found.end());
    return found;
}

tune::BoothTrend booth_trend(book::Book& book, const std::vector<book::BakeId>& bakes) {
    Collector collector(book);
    std::set<book::BakeId> seen;
    for (const book::BakeId id : bakes)
        if (seen.insert(id).second) collector.add(id);
    return collector.trend();
}

}  // namespace bakewright::services
