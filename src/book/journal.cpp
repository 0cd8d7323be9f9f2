// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/journal.hpp"

#include <algorithm>
#include <map>
#include <set>

#include "bakewright/base/error.hpp"
#include "bakewright/book/hash.hpp"
#include "connection.hpp"
#include "journal.hpp"
#include "statement.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kWritingJournal = "write the book's journal";
constexpr std::string_view kReadingJournal = "read the book's journal";
constexpr std::size_t kDigestDigits = 16;
/// The kind of an entry that no aggregate has.
constexpr std::string_view kMerge = "merge";

struct JournalEntry {
    std::string kind, identity, shell;
    std::int64_t number = 0;
    std::string label;
    std::optional<std::string> rows;  ///< nothing: it was removed
    std::string written_at, book_uid, why, previous_sha256, entry_sha256;

    [[nodiscard]] std::string hash() const {
        Sha256 hash;
        const std::string& stored_rows = rows ? *rows : std::string(1, '\0');
        for (const std::string& value :
             {kind, identity, shell, std::to_string(number), label, stored_rows, written_at, book_uid, why, previous_sha256})
            hash.update(std::to_string(value.size()) + ':' + value);
        return hash.hex();
    }
};

constexpr std::string_view kSelectEntry =
    "SELECT kind, identity, shell, number, label, rows, written_at, book_uid, why, previous_sha256, entry_sha256 FROM journal ";

JournalEntry entry_of(const Statement& row) {
    return {.kind = row.text(0),
            .identity = row.text(1),
            .shell = row.text(2),
            .number = row.integer(3),
            .label = row.text(4),
            .rows = row.is_null(5) ? std::nullopt : std::optional(row.text(5)),
            .written_at = row.text(6),
            .book_uid = row.text(7),
            .why = row.text(8),
            .previous_sha256 = row.text(9),
            .entry_sha256 = row.text(10)};
}

std::optional<JournalEntry> latest(Connection& connection, const Aggregate& aggregate) {
    Statement query(connection,
                    std::string(kSelectEntry) +
                        "WHERE kind = ?1 AND identity = ?2 AND book_uid = (SELECT uid FROM book) "
                        "ORDER BY entry_id DESC LIMIT 1",
                    kReadingJournal);
    query.bind(aggregate_kind_name(aggregate.kind), aggregate.identity());
    return query.step() ? std::optional(entry_of(query)) : std::nullopt;
}

void append(Connection& connection, JournalEntry entry) {
    Statement query(connection, "SELECT uid, journal_sha256 FROM book", kWritingJournal);
    if (!query.step()) connection.damaged("the book has lost its own row");
    entry.book_uid = query.text(0);
    entry.previous_sha256 = query.text(1);
    entry.entry_sha256 = entry.hash();
    Statement(connection,
              "INSERT INTO journal (kind, identity, shell, number, label, rows, written_at, book_uid, why, previous_sha256, "
              "entry_sha256) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
              kWritingJournal)
        .bind(entry.kind, entry.identity, entry.shell, entry.number, entry.label, entry.rows, entry.written_at, entry.book_uid,
              entry.why, entry.previous_sha256, entry.entry_sha256)
        .run();
    Statement(connection, "UPDATE book SET journal_sha256 = ?1", kWritingJournal).bind(entry.entry_sha256).run();
}

void append_state(Connection& connection, const Aggregate& aggregate, const std::optional<AggregateState>& state,
                  std::string_view label, std::string_view why, std::string_view written_at) {
    append(connection, {.kind = std::string(aggregate_kind_name(aggregate.kind)),
                        .identity = aggregate.identity(),
                        .shell = aggregate.shell(),
                        .number = state ? state->number : 0,
                        .label = state ? state->label : std::string(label),
                        .rows = state ? std::optional(state->rows) : std::nullopt,
                        .written_at = std::string(written_at),
                        .book_uid = {},
                        .why = std::string(why),
                        .previous_sha256 = {},
                        .entry_sha256 = {}});
}

/// "trace 12 9c..." as table, count and hash.
std::map<std::string, std::pair<std::string, std::string>> tables_of(std::string_view rows) {
    std::map<std::string, std::pair<std::string, std::string>> tables;
    for (std::size_t begin = 0; begin < rows.size();) {
        const std::size_t end = std::min(rows.find(", ", begin), rows.size());
        const std::string_view part = rows.substr(begin, end - begin);
        const std::size_t count = part.find(' '), hash = part.rfind(' ');
        if (count != std::string_view::npos && count < hash)
            tables[std::string(part.substr(0, count))] = {std::string(part.substr(count + 1, hash - count - 1)),
                                                          std::string(part.substr(hash + 1))};
        begin = end + 2;
    }
    return tables;
}

/// "history_bake_item: 3 rows were stored, 0 are there; bake: the row was changed"
std::string differences(std::string_view stored, std::string_view found) {
    const auto before = tables_of(stored), now = tables_of(found);
    std::set<std::string> names;
    for (const auto* tables : {&before, &now})
        for (const auto& [name, rows] : *tables) names.insert(name);
    std::string text;
    const auto count_in = [](const auto& tables, const std::string& name) {
        const auto at = tables.find(name);
        return at == tables.end() ? std::string("0") : at->second.first;
    };
    for (const std::string& name : names) {
        const auto at_before = before.find(name), at_now = now.find(name);
        if (at_before != before.end() && at_now != now.end() && at_before->second == at_now->second) continue;
        const std::string stored_count = count_in(before, name), found_count = count_in(now, name);
        text += (text.empty() ? "" : "; ") + name + ": ";
        text += stored_count != found_count ? stored_count + " rows were stored, " + found_count + " are there"
                : stored_count == "1"       ? "the row was changed"
                                            : "of " + stored_count + " rows one or more were changed";
    }
    return text.empty() ? "its number was changed" : text;
}

/// What is wrong with one aggregate; empty where nothing is.
std::string problem_of(const std::optional<AggregateState>& state, const std::optional<JournalEntry>& entry) {
    const bool was_stored = entry && entry->rows;
    if (!state && !was_stored) return {};
    if (!was_stored) return state->label + ": the program did not store it: its rows were added outside";
    if (!state) return entry->label + ": it is gone: its rows were removed outside; last stored " + entry->written_at;
    if (entry->hash() != entry->entry_sha256) return state->label + ": its entry in the journal was changed";
    if (state->rows == *entry->rows && state->number == entry->number) return {};
    return entry->label + ": its rows are not those that were stored " + entry->written_at + ": " +
           differences(*entry->rows, state->rows);
}

std::string problem_with(Connection& connection, const Aggregate& aggregate) {
    return problem_of(state_of(connection, aggregate), latest(connection, aggregate));
}

/// A book of a newer program may keep its journal in another way.
bool keeps_known_journal(Connection& connection) { return connection.pragma("user_version") == newest_schema_version(); }

void tell(Connection& connection, const Aggregate& aggregate) {
    try {
        const std::string problem = problem_with(connection, aggregate);
        if (!problem.empty()) connection.tell_damage(problem);
    } catch (const BookError& error) {
        connection.tell_damage(error.what());
    }
}

/// Everything of the book or of one shell's history that the journal says is there.
std::set<Aggregate> journaled(Connection& connection, std::string_view shell) {
    Statement query(connection,
                    "SELECT DISTINCT kind, identity FROM journal WHERE book_uid = (SELECT uid FROM book) AND " +
                        std::string(shell.empty() ? "?1 = ''" : "shell = ?1"),
                    kReadingJournal);
    query.bind(shell);
    std::set<Aggregate> found;
    while (query.step())
        if (const auto kind = aggregate_kind_from_name(query.text(0))) found.insert(Aggregate::from(*kind, query.text(1)));
    return found;
}

std::string digits_of(std::string_view digest) {
    std::string digits;
    for (const char c : digest) {
        if (c == '-' || c == ' ') continue;
        const char lower = c >= 'A' && c <= 'F' ? static_cast<char>(c - 'A' + 'a') : c;
        const bool is_digit = (lower >= '0' && lower <= '9') || (lower >= 'a' && lower <= 'f');
        if (!is_digit) return {};
        digits += lower;
    }
    return digits;
}

std::vector<JournalEntry> entries_of(Connection& connection) {
    Statement query(connection, std::string(kSelectEntry) + "ORDER BY entry_id", kReadingJournal);
    std::vector<JournalEntry> entries;
    while (query.step()) entries.push_back(entry_of(query));
    return entries;
}

}  // namespace

void begin_journal(Connection& connection) {
    const std::vector<Aggregate> all = all_aggregates(connection);
    Statement insert(connection,
                     "INSERT INTO book (one, uid, journal_sha256) VALUES (1, coalesce(?1, lower(hex(randomblob(16)))), '')",
                     kWritingJournal);
    if (all.empty()) return insert.bind(std::optional<std::string_view>()).run();
    Sha256 content;
    for (const Aggregate& aggregate : all) content.update(aggregate.identity() + state_of(connection, aggregate).value().rows);
    insert.bind(content.hex().substr(0, 32)).run();
    Statement moment(connection,
                     "SELECT max(moment) FROM (SELECT max(created_at) AS moment FROM bake UNION ALL SELECT max(stored_at) FROM "
                     "document UNION ALL SELECT max(stored_at) FROM raw_file)",
                     kWritingJournal);
    const bool is_known = moment.step() && is_utc_timestamp(moment.text(0));
    const std::string written_at = is_known ? moment.text(0) : connection.now();
    for (const Aggregate& aggregate : all)
        append_state(connection, aggregate, state_of(connection, aggregate), {}, "as found in a book without a journal",
                     written_at);
}

void about_to_change(Connection& connection, const std::optional<Aggregate>& aggregate) {
    if (!aggregate || connection.touched.contains(*aggregate)) return;
    const std::string problem = problem_with(connection, *aggregate);
    if (!problem.empty())
        throw BookError(
            connection.file().string() + ": could not change the book: " + problem +
            "; nothing was changed; `bakewright book verify` tells more, and `book verify --accept --why TEXT` takes the "
            "rows as they are now");
    connection.touched.insert(*aggregate);
}

void was_added(Connection& connection, const std::optional<Aggregate>& aggregate) {
    if (aggregate) connection.touched.insert(*aggregate);
}

void take_down_changes(Connection& connection) {
    for (const Aggregate& aggregate : connection.touched) {
        const auto state = state_of(connection, aggregate);
        const auto entry = latest(connection, aggregate);
        const bool is_known = entry && entry->rows;
        const bool is_same = state && is_known && state->rows == *entry->rows && state->number == entry->number;
        if (is_same || (!state && !is_known)) continue;
        append_state(connection, aggregate, state, entry ? entry->label : "", "", connection.now());
    }
    connection.touched.clear();
}

void take_down(Connection& connection, const Aggregate& aggregate, std::string_view why) {
    const auto state = state_of(connection, aggregate);
    const auto entry = latest(connection, aggregate);
    append_state(connection, aggregate, state, entry ? entry->label : "", why, connection.now());
}

void take_down_merge(Connection& connection, std::string_view other_head) {
    append(connection, {.kind = std::string(kMerge),
                        .identity = std::string(other_head),
                        .shell = {},
                        .number = 0,
                        .label = "merge of another book",
                        .rows = std::nullopt,
                        .written_at = connection.now(),
                        .book_uid = {},
                        .why = {},
                        .previous_sha256 = {},
                        .entry_sha256 = {}});
}

void check_rows(Connection& connection, const std::optional<Aggregate>& aggregate) {
    if (!aggregate || connection.touched.contains(*aggregate) || !keeps_known_journal(connection)) return;
    tell(connection, *aggregate);
}

void check_history(Connection& connection, std::string_view shell) {
    if (!keeps_known_journal(connection)) return;
    try {
        std::set<Aggregate> all = journaled(connection, shell);
        for (const Aggregate& found : history_of(connection, shell)) all.insert(found);
        for (const Aggregate& aggregate : all)
            if (!connection.touched.contains(aggregate)) tell(connection, aggregate);
    } catch (const BookError& error) {
        connection.tell_damage(error.what());
    }
}

std::vector<Discrepancy> discrepancies(Connection& connection) {
    std::set<Aggregate> all = journaled(connection, {});
    for (const Aggregate& found : all_aggregates(connection)) all.insert(found);
    return discrepancies(connection, {all.begin(), all.end()});
}

std::vector<Discrepancy> discrepancies(Connection& connection, const std::vector<Aggregate>& among) {
    std::vector<Discrepancy> found;
    for (const Aggregate& aggregate : among) {
        const auto state = state_of(connection, aggregate);
        const auto entry = latest(connection, aggregate);
        std::string problem = problem_of(state, entry);
        if (!problem.empty()) found.push_back({aggregate, state ? state->label : entry->label, std::move(problem)});
    }
    return found;
}

std::vector<std::string> journal_problems(Connection& connection) {
    std::vector<std::string> problems;
    Statement own(connection, "SELECT uid, journal_sha256, one FROM book", kReadingJournal);
    if (!own.step() || own.integer(2) != 1) return {"journal: the book's own row is not the one it was made with"};
    std::set<std::string> hashes{""}, followed{own.text(1)};
    if (own.step()) problems.emplace_back("journal: the book has more than one row of its own");
    const std::vector<JournalEntry> entries = entries_of(connection);
    for (const JournalEntry& entry : entries) {
        if (entry.hash() != entry.entry_sha256)
            problems.push_back("journal: the entry of " + entry.written_at + " on " + entry.label + " was changed");
        if (!hashes.contains(entry.previous_sha256))
            problems.push_back("journal: the entry of " + entry.written_at + " on " + entry.label + " does not follow another");
        hashes.insert(entry.entry_sha256);
        followed.insert(entry.previous_sha256);
        if (entry.kind == kMerge) followed.insert(entry.identity);
    }
    Statement last(connection, "SELECT coalesce(max(entry_id), 0) FROM journal", kReadingJournal);
    if (last.step() && last.count(0) != entries.size())
        problems.emplace_back("journal: its entries are not numbered without a gap");
    for (const std::string& hash : followed)
        if (!hashes.contains(hash)) problems.push_back("journal: an entry was removed: " + hash.substr(0, kDigestDigits) + "...");
    for (const JournalEntry& entry : entries)
        if (!followed.contains(entry.entry_sha256))
            problems.push_back("journal: nothing follows the entry of " + entry.written_at + " on " + entry.label);
    return problems;
}

JournalDigest journal_digest(Book& book) {
    Connection& connection = book.connection();
    JournalDigest digest;
    if (!keeps_known_journal(connection)) return digest;
    Statement query(
        connection,
        "SELECT uid, journal_sha256, (SELECT count(*) FROM journal), (SELECT written_at FROM journal WHERE entry_sha256 = "
        "journal_sha256) FROM book",
        kReadingJournal);
    if (!query.step()) return digest;
    digest.book_uid = query.text(0);
    const std::string hash = query.text(1).substr(0, kDigestDigits);
    for (std::size_t i = 0; i < hash.size(); i += 4) digest.text += (i == 0 ? "" : "-") + hash.substr(i, 4);
    digest.entries = query.count(2);
    digest.written_at = query.text(3);
    return digest;
}

std::optional<SinceDigest> since_digest(Book& book, std::string_view digest) {
    const std::string digits = digits_of(digest);
    if (digits.size() < kDigestDigits)
        throw InputError(
            Problem{.file = {},
                    .line = 0,
                    .key = "digest",
                    .message = "'" + std::string(digest) + "' is not a digest of the journal, such as 5f01-9c2e-77ab-0d34"});
    Connection& connection = book.connection();
    const ReadScope scope(connection);
    const std::vector<JournalEntry> entries = entries_of(connection);
    const auto printed = std::find_if(entries.begin(), entries.end(),
                                      [&](const JournalEntry& entry) { return entry.entry_sha256.starts_with(digits); });
    if (printed == entries.end()) return std::nullopt;
    SinceDigest since{printed->written_at, {}, 0};
    std::map<std::pair<std::string, std::string>, std::string> then;
    for (auto entry = entries.begin(); entry <= printed; ++entry) {
        if (entry->rows)
            then[{entry->kind, entry->identity}] = *entry->rows;
        else
            then.erase({entry->kind, entry->identity});
    }
    std::set<std::pair<std::string, std::string>> told;
    for (auto entry = printed + 1; entry < entries.end(); ++entry) {
        const auto key = std::pair(entry->kind, entry->identity);
        const auto before = then.find(key);
        if (before != then.end() && entry->rows && *entry->rows == before->second) continue;
        if (!told.insert(key).second || entry->kind == kMerge) continue;
        if (before == then.end())
            ++since.added;
        else
            since.changed.push_back(entry->label + (entry->rows ? ", changed " : ", removed ") + entry->written_at);
    }
    return since;
}

std::vector<std::string> accept_rows(Book& book, std::string_view who, std::string_view why) {
    if (why.empty())
        throw InputError(
            Problem{.file = {}, .line = 0, .key = "--why", .message = "says why the rows are taken as they are now"});
    Connection& connection = book.connection();
    Transaction transaction(connection);
    std::vector<std::string> taken;
    for (const Discrepancy& one : discrepancies(connection)) {
        take_down(connection, one.aggregate, "accepted by " + std::string(who) + ": " + std::string(why));
        taken.push_back(one.problem);
    }
    transaction.commit();
    return taken;
}

}  // namespace bakewright::book
