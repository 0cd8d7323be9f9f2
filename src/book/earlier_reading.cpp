// SPDX-License-Identifier: Apache-2.0
#include "earlier_reading.hpp"

#include <algorithm>

#include "bakewright/base/error.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/hash.hpp"
#include "journal.hpp"
#include "rows.hpp"
#include "statement.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kReadingAgain = "read a log again";

[[noreturn]] void refuse_reading(const std::string& message) {
    throw InputError(Problem{.file = {}, .line = 0, .key = "bake", .message = message});
}

void require_same_files(Connection& connection, const Bake& bake, const std::vector<LogSource>& logs) {
    const bool is_same = std::equal(bake.logs.begin(), bake.logs.end(), logs.begin(), logs.end(),
                                    [](const BakeLog& one, const LogSource& other) { return one.raw_file == other.raw_file; });
    if (!is_same)
        refuse_reading("bake " + number_text(bake.id) + " was read from other files: import this one as a bake of its own");
    for (const LogSource& log : logs) ensure_json(connection, log.reading_options_json, "reading_options_json is JSON text");
}

std::string document_kind_of(Connection& connection, DocumentId id) {
    Statement query(connection, "SELECT kind FROM document WHERE document_id = ?1", kReadingAgain);
    return query.bind(id).step() ? query.text(0) : std::string();
}

/// The new documents, and of the other kinds those of the reading before.
void put_documents(Connection& connection, const Bake& before, const std::vector<DocumentId>& given) {
    std::vector<DocumentId> documents = given;
    std::vector<std::string> kinds;
    for (const DocumentId id : given) kinds.push_back(document_kind_of(connection, id));
    for (const DocumentSummary& kept : before.documents)
        if (std::find(kinds.begin(), kinds.end(), kept.kind) == kinds.end()) documents.push_back(kept.id);
    Statement insert(connection, "INSERT INTO bake_document (bake_id, position, document_id) VALUES (?1, ?2, ?3)", kReadingAgain);
    for (std::size_t i = 0; i < documents.size(); ++i) insert.bind(before.id, i, documents[i]).run();
}

void put_logs(Connection& connection, BakeId id, const std::vector<LogSource>& logs) {
    Statement insert(connection,
                     "INSERT INTO bake_log (bake_id, position, raw_file_id, reading_options_json) VALUES (?1, ?2, ?3, ?4)",
                     kReadingAgain);
    for (std::size_t i = 0; i < logs.size(); ++i) insert.bind(id, i, logs[i].raw_file, logs[i].reading_options_json).run();
}

}  // namespace

std::string uid_of_reading(Connection& connection, BakeId bake) {
    const auto aggregate = aggregate_of(connection, bake);
    ensure(aggregate.has_value(), "a reading is that of a bake");
    std::string rows = state_of(connection, *aggregate).value().rows;
    rows = rows.substr(0, rows.find(", " + std::string(kHandNoteTable) + " "));
    return sha256_hex("reading " + aggregate->identity() + " " + rows).substr(0, 32);
}

BakeId set_reading_aside(Connection& connection, BakeId bake, std::string_view who, std::string_view why) {
    Statement(
        connection,
        "INSERT INTO bake (uid, kind, title, created_at, started_at, paired_bake_id, program_version, options_json, note) SELECT "
        "?2, kind, title, created_at, started_at, NULL, program_version, options_json, note FROM bake WHERE bake_id = ?1",
        kReadingAgain)
        .bind(bake, uid_of_reading(connection, bake))
        .run();
    const BakeId aside{connection.last_insert_id()};
    for (const std::string_view table : {"bake_document", "bake_log", "trace"})
        Statement(connection, "UPDATE " + std::string(table) + " SET bake_id = ?2 WHERE bake_id = ?1", kReadingAgain)
            .bind(bake, aside)
            .run();
    Statement(connection,
              "INSERT INTO earlier_reading (bake_id, of_bake_id, replaced_at, replaced_by, why) VALUES (?1, ?2, ?3, ?4, ?5)",
              kReadingAgain)
        .bind(aside, bake, connection.now(), who, why)
        .run();
    was_added(connection, aggregate_of(connection, aside));
    return aside;
}

BakeId BakeRepository::read_again(BakeId id, const NewReading& reading) {
    ensure(!reading.why.empty(), "a log is read again for a reason");
    Transaction transaction(*connection_);
    const Bake before = get(id);
    if (before.kind != BakeKind::logged) refuse_reading("bake " + number_text(id) + " is predicted: only a log is read again");
    if (before.replaced)
        refuse_reading("bake " + number_text(id) + " is an earlier reading of bake " + number_text(before.replaced->of) +
                       ": read that one again");
    require_same_files(*connection_, before, reading.logs);
    ensure_json(*connection_, reading.options_json, "options_json is JSON text");
    about_to_change(*connection_, aggregate_of(*connection_, id));
    const BakeId aside = set_reading_aside(*connection_, id, reading.who, reading.why);
    Statement(*connection_, "UPDATE bake SET started_at = ?2, program_version = ?3, options_json = ?4 WHERE bake_id = ?1",
              kReadingAgain)
        .bind(id, reading.started_at, reading.program_version, reading.options_json)
        .run();
    put_documents(*connection_, before, reading.documents);
    put_logs(*connection_, id, reading.logs);
    transaction.commit();
    return aside;
}

}  // namespace bakewright::book
