#include "tune_task.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "bakewright/base/error.hpp"
#include "bakewright/book/document_repository.hpp"
#include "named_records.hpp"

namespace bakewright::cli {
namespace {

constexpr const char* kNameEnd = "_tuned";

/// The first bake's own record, or that of the bake it belongs to.
template <class Record>
Record record_of_bakes(const std::vector<StoredBake>& bakes, std::optional<Record> StoredBake::*member, const char* option) {
    for (const StoredBake& bake : bakes)
        if (bake.*member) return *(bake.*member);
    wrong_option(option, "is missing: the bakes were kept without one");
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

std::string tuned_title(const std::string& title, std::size_t bakes) {
    const std::size_t old = title.find(" (tuned on ");
    return fmt::format("{} (tuned on {} {})", title.substr(0, old), bakes, bakes == 1 ? "bake" : "bakes");
}

}  // namespace

std::vector<std::string> split_list(const std::vector<std::string>& lists) {
    std::vector<std::string> words;
    for (const std::string& list : lists) {
        std::size_t begin = 0;
        while (begin <= list.size()) {
            const std::size_t end = std::min(list.find(',', begin), list.size());
            if (end > begin) words.push_back(list.substr(begin, end - begin));
            begin = end + 1;
        }
    }
    return words;
}

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

TuneRecords load_tune_records(book::Book& book, const Options& options) {
    const std::vector<std::string> numbers = split_list(options.texts("bakes"));
    if (numbers.empty()) wrong_option("BAKE", "name at least one logged bake, such as 3; `bakewright book list` shows them");
    const std::vector<std::string> left_out = split_list(options.texts("hold-out"));
    std::vector<StoredBake> bakes, halves;
    TuneRecords records;
    const auto add = [&](const std::string& number, const char* what) {
        const book::BakeId id = bake_id(number, what);
        const auto is_it = [&](const StoredBake& one) { return one.record.id == id; };
        if (std::any_of(bakes.begin(), bakes.end(), is_it)) return;
        bakes.push_back(load_bake(book, id));
    };
    for (const std::string& number : numbers) add(number, "BAKE");
    for (const std::string& number : left_out) {
        add(number, "--hold-out");
        const book::BakeId id = bake_id(number, "--hold-out");
        const auto at = std::find_if(bakes.begin(), bakes.end(), [&](const StoredBake& one) { return one.record.id == id; });
        records.held_out.push_back(bake_label(at->record));
    }
    for (const StoredBake& bake : bakes) halves.push_back(bake);
    for (const StoredBake& bake : bakes)
        if (bake.record.paired_bake) halves.push_back(load_bake(book, *bake.record.paired_bake));
    records.shell = options.has("shell") ? shell_of(options).record : record_of_bakes(halves, &StoredBake::shell, "--shell");
    records.task.booth = options.has("booth") ? booth_of(options).record : record_of_bakes(halves, &StoredBake::booth, "--booth");
    records.task.shell = records.shell.shell;
    for (StoredBake& bake : bakes) records.task.bakes.push_back(logged_bake(book, std::move(bake)));
    return records;
}

void name_tuned(profile::ShellProfile& shell, bake::Booth& booth, const std::string& name) {
    shell.shell.id = name.empty() ? tuned_name(shell.shell.id) : name;
    booth.id = name.empty() ? tuned_name(booth.id) : name;
    shell.shell.title = tuned_title(shell.shell.title, shell.shell.learned.from.size());
    booth.title = tuned_title(booth.title, booth.learned.from.size());
}

void keep_tuned(book::Book& book, TuneRecords& records, bake::Booth& booth, const std::string& name) {
    name_tuned(records.shell, booth, name);
    book::Transaction transaction(book);
    book::DocumentRepository documents(book);
    records.shell.shell.id = unused_name(documents, book::document_kind::shell, records.shell.shell.id);
    booth.id = unused_name(documents, book::document_kind::booth, booth.id);
    static_cast<void>(keep(book, records.shell));
    static_cast<void>(keep(book, booth));
    transaction.commit();
}

}  // namespace bakewright::cli
