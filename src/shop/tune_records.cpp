#include "bakewright/shop/tune_records.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <set>

#include "bakewright/base/error.hpp"
#include "bakewright/book/document_repository.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/profile/text_rules.hpp"
#include "bakewright/shop/entered_text.hpp"

namespace bakewright::shop {
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
    tune::LoggedBake bake{label, std::move(stored.traces), stored.cycle, stored.probes};
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
    for (StoredBake& bake : bakes) records.task.bakes.push_back(logged_bake(book, std::move(bake)));
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

}  // namespace bakewright::shop
