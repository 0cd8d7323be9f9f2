// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "bakewright/base/error.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "journal.hpp"
#include "recording.hpp"
#include "rows.hpp"
#include "statement.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kAdding = "store a bake";
constexpr std::string_view kChanging = "change a bake";
constexpr std::string_view kRemoving = "remove a bake";

void ensure_sound(Connection& connection, const NewBake& bake) {
    ensure(bake.created_at.empty() || is_utc_timestamp(bake.created_at), "created_at is YYYY-MM-DDThh:mm:ssZ");
    ensure_json(connection, bake.options_json, "options_json is JSON text");
    for (const LogSource& log : bake.logs) ensure_json(connection, log.reading_options_json, "reading_options_json is JSON text");
}

void require_other_kind(Connection& connection, BakeKind kind, BakeId pair) {
    Statement query(connection, "SELECT kind FROM bake WHERE bake_id = ?1", kAdding);
    if (!query.bind(pair).step()) no_such_bake(connection, pair);
    if (query.text(0) != bake_kind_name(kind)) return;
    connection.not_there("bake", "bake " + number_text(pair) + " is a " + std::string(bake_kind_name(kind)) +
                                     " bake too; a pair is one predicted and one logged bake");
}

/// The unique id is random: 128 bits from SQLite's generator, which the system seeds.
BakeId insert_bake(Connection& connection, const NewBake& bake) {
    Statement(connection,
              "INSERT INTO bake (uid, kind, title, created_at, started_at, paired_bake_id, program_version, options_json, note) "
              "VALUES (lower(hex(randomblob(16))), ?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
              kAdding)
        .bind(bake_kind_name(bake.kind), bake.title, bake.created_at.empty() ? connection.now() : bake.created_at,
              bake.started_at, bake.paired_bake, bake.program_version, bake.options_json, bake.note)
        .run();
    return BakeId{connection.last_insert_id()};
}

std::vector<DocumentId> without_repetition(const std::vector<DocumentId>& documents) {
    std::vector<DocumentId> once;
    for (const DocumentId id : documents) {
        if (std::find(once.begin(), once.end(), id) == once.end()) once.push_back(id);
    }
    return once;
}

void insert_documents(Connection& connection, BakeId id, const std::vector<DocumentId>& documents) {
    Statement insert(connection, "INSERT INTO bake_document (bake_id, position, document_id) VALUES (?1, ?2, ?3)", kAdding);
    std::size_t position = 0;
    for (const DocumentId document : without_repetition(documents)) insert.bind(id, position++, document).run();
}

void insert_logs(Connection& connection, BakeId id, const std::vector<LogSource>& logs) {
    Statement insert(connection,
                     "INSERT INTO bake_log (bake_id, position, raw_file_id, reading_options_json) VALUES (?1, ?2, ?3, ?4)",
                     kAdding);
    std::size_t position = 0;
    for (const LogSource& log : logs) insert.bind(id, position++, log.raw_file, log.reading_options_json).run();
}

void ensure_one_of_each(Connection& connection, BakeId id) {
    Statement query(
        connection,
        "SELECT 1 FROM bake_document JOIN document USING (document_id) WHERE bake_id = ?1 AND kind IN ('shell', 'booth', "
        "'cycle') GROUP BY kind HAVING count(*) > 1",
        kAdding);
    ensure(!query.bind(id).step(), "a bake has at most one shell, one booth and one cycle");
}

/// A shell's history rests on its bakes and on their other halves: none of them goes unseen.
void require_in_no_history(Connection& connection, BakeId id) {
    Statement query(
        connection,
        "SELECT shell, bake_id FROM history_bake WHERE bake_id = ?1 OR bake_id IN (SELECT bake_id FROM bake WHERE "
        "paired_bake_id = ?1) OR bake_id IN (SELECT paired_bake_id FROM bake WHERE bake_id = ?1) ORDER BY shell, bake_id",
        kRemoving);
    if (!query.bind(id).step()) return;
    const std::string entry = number_text(query.id<BakeId>(1));
    const std::string through = query.id<BakeId>(1) == id ? "" : " as the other half of bake " + entry;
    connection.not_there("bake", "bake " + number_text(id) + " counts in the history of '" + query.text(0) + "'" + through +
                                     "; take bake " + entry + " out of it first: history remove " + entry + " --shell '" +
                                     query.text(0) + "'");
}

template <typename Id>
std::vector<Id> numbers_of(Statement& query) {
    std::vector<Id> numbers;
    while (query.step()) numbers.push_back(query.id<Id>(0));
    return numbers;
}

template <typename Id>
std::size_t remove_unused(Connection& connection, std::string_view sql, const std::vector<Id>& ids) {
    Statement remove(connection, sql, kRemoving);
    std::size_t removed = 0;
    for (const Id id : ids) {
        about_to_change(connection, aggregate_of(connection, id));
        remove.bind(id).run();
        removed += connection.changed_rows();
    }
    return removed;
}

void update(Connection& connection, std::string_view sql, BakeId id, std::string_view value) {
    Transaction transaction(connection);
    require_bake(connection, id);
    about_to_change(connection, aggregate_of(connection, id));
    Statement(connection, sql, kChanging).bind(id, value).run();
    transaction.commit();
}

}  // namespace

BakeId BakeRepository::add(const NewBake& bake) {
    Transaction transaction(*connection_);
    ensure_sound(*connection_, bake);
    if (bake.paired_bake) require_other_kind(*connection_, bake.kind, *bake.paired_bake);
    const BakeId id = insert_bake(*connection_, bake);
    insert_documents(*connection_, id, bake.documents);
    insert_logs(*connection_, id, bake.logs);
    ensure_one_of_each(*connection_, id);
    was_added(*connection_, aggregate_of(*connection_, id));
    transaction.commit();
    return id;
}

void BakeRepository::pair(BakeId bake, BakeId with) {
    Transaction transaction(*connection_);
    require_other_kind(*connection_, get(bake).kind, with);
    about_to_change(*connection_, aggregate_of(*connection_, bake));
    Statement(*connection_, "UPDATE bake SET paired_bake_id = ?2 WHERE bake_id = ?1", kChanging).bind(bake, with).run();
    transaction.commit();
}

void BakeRepository::set_title(BakeId id, std::string_view title) {
    update(*connection_, "UPDATE bake SET title = ?2 WHERE bake_id = ?1", id, title);
}

void BakeRepository::set_note(BakeId id, std::string_view note) {
    update(*connection_, "UPDATE bake SET note = ?2 WHERE bake_id = ?1", id, note);
}

RemovedWithBake BakeRepository::remove(BakeId id) {
    Transaction transaction(*connection_);
    require_bake(*connection_, id);
    refuse_open_recording(*connection_, id, "removed");
    require_in_no_history(*connection_, id);
    RemovedWithBake with_readings;
    for (const EarlierReading& reading : get(id).earlier_readings) {
        const RemovedWithBake removed = remove(reading.bake);
        with_readings.documents += removed.documents;
        with_readings.raw_files += removed.raw_files;
    }
    Statement documents(
        *connection_,
        "SELECT document_id FROM bake_document WHERE bake_id = ?1 UNION "
        "SELECT document_id FROM document WHERE kind = 'evidence' AND name = (SELECT uid FROM bake WHERE bake_id = ?1)",
        kRemoving);
    const auto document_ids = numbers_of<DocumentId>(documents.bind(id));
    Statement files(*connection_, "SELECT raw_file_id FROM bake_log WHERE bake_id = ?1", kRemoving);
    const auto file_ids = numbers_of<RawFileId>(files.bind(id));
    for (const BakeId naming : paired_with(id)) about_to_change(*connection_, aggregate_of(*connection_, naming));
    about_to_change(*connection_, aggregate_of(*connection_, id));
    Statement(*connection_, "DELETE FROM bake WHERE bake_id = ?1", kRemoving).bind(id).run();
    const RemovedWithBake removed{
        .documents = with_readings.documents + remove_unused(*connection_, kDeleteUnusedDocument, document_ids),
        .raw_files = with_readings.raw_files +
                     remove_unused(*connection_,
                                   "DELETE FROM raw_file WHERE raw_file_id = ?1 AND NOT EXISTS (SELECT 1 FROM bake_log WHERE "
                                   "bake_log.raw_file_id = ?1)",
                                   file_ids)};
    transaction.commit();
    return removed;
}

}  // namespace bakewright::book
