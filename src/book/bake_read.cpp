// SPDX-License-Identifier: Apache-2.0
#include <limits>

#include "bakewright/book/bake_repository.hpp"
#include "journal.hpp"
#include "rows.hpp"
#include "statement.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kReadingBake = "read a bake";
constexpr std::string_view kListing = "list the bakes";

/// What a list shows for a document kind: one correlated look-up, so that only the bakes within the limit pay for it.
std::string document_column(std::string_view kind) {
    return "(SELECT CASE document.title WHEN '' THEN document.name ELSE document.title END FROM bake_document JOIN document "
           "USING "
           "(document_id) WHERE bake_document.bake_id = bake.bake_id AND document.kind = '" +
           std::string(kind) + "' ORDER BY position LIMIT 1), ";
}

/// ?5 words or ''.
constexpr std::string_view kHasWords =
    " AND (?5 = '' OR instr(lower(bake.title || char(31) || bake.note || char(31) || bake.started_at || char(31) || "
    "bake.created_at), "
    "?5) OR substr(bake.uid, 1, length(?5)) = ?5 OR EXISTS (SELECT 1 FROM bake_document JOIN document USING (document_id) WHERE "
    "bake_document.bake_id = bake.bake_id AND instr(lower(document.name || char(31) || document.title), ?5)) OR EXISTS (SELECT 1 "
    "FROM "
    "bake_log JOIN raw_file USING (raw_file_id) WHERE bake_log.bake_id = bake.bake_id AND instr(lower(original_name), ?5)))";

/// ?1 kind or NULL, ?2 name of a shell or '', ?3 limit, ?4 offset, ?6 readings that were replaced too. Without OR, so that the
/// index of the kind is used.
std::string list_sql(bool of_one_kind) {
    return "SELECT bake_id, kind, title, created_at, started_at, uid, " + document_column(document_kind::shell) +
           document_column(document_kind::booth) + document_column(document_kind::cycle) +
           document_column(document_kind::coating) +
           "(SELECT original_name FROM bake_log JOIN raw_file USING (raw_file_id) WHERE bake_log.bake_id = bake.bake_id "
           "ORDER BY position LIMIT 1), paired_bake_id, (SELECT count(*) FROM trace WHERE trace.bake_id = bake.bake_id), "
           "(SELECT max(last_time_s) FROM trace WHERE trace.bake_id = bake.bake_id) "
           "FROM bake WHERE " +
           (of_one_kind ? "kind = ?1" : "?1 IS NULL") +
           " AND (?2 = '' OR EXISTS (SELECT 1 FROM bake_document JOIN document USING "
           "(document_id) WHERE bake_document.bake_id = bake.bake_id AND document.kind = 'shell' AND document.name = ?2))" +
           std::string(kHasWords) +
           " AND (?6 OR NOT EXISTS (SELECT 1 FROM earlier_reading AS e WHERE e.bake_id = bake.bake_id)) "
           "ORDER BY created_at DESC, bake_id DESC LIMIT ?3 OFFSET ?4";
}

BakeKind kind_of(const Connection& connection, const Statement& row, int column) {
    const auto kind = bake_kind_from_name(row.text(column));
    if (!kind) connection.damaged("bake " + row.text(0) + " has the unknown kind '" + row.text(column) + "'");
    return *kind;
}

BakeSummary summary_of(const Connection& connection, const Statement& row) {
    return {.id = row.id<BakeId>(0),
            .uid = row.text(5),
            .kind = kind_of(connection, row, 1),
            .title = row.text(2),
            .created_at = row.text(3),
            .started_at = row.text(4),
            .shell = row.text(6),
            .booth = row.text(7),
            .cycle = row.text(8),
            .coating = row.text(9),
            .log_name = row.text(10),
            .paired_bake = row.optional_id<BakeId>(11),
            .trace_count = row.count(12),
            .end_s = row.is_null(13) ? 0.0 : row.real(13)};
}

Bake bake_of(const Connection& connection, const Statement& row) {
    Bake bake;
    bake.id = row.id<BakeId>(0);
    bake.uid = row.text(1);
    bake.kind = kind_of(connection, row, 2);
    bake.title = row.text(3);
    bake.created_at = row.text(4);
    bake.started_at = row.text(5);
    bake.paired_bake = row.optional_id<BakeId>(6);
    bake.program_version = row.text(7);
    bake.options_json = row.text(8);
    bake.note = row.text(9);
    return bake;
}

std::vector<DocumentSummary> documents_of(Connection& connection, BakeId id) {
    Statement query(
        connection,
        "SELECT document_id, kind, name, title, sha256, stored_at FROM bake_document JOIN document USING (document_id) "
        "WHERE bake_id = ?1 ORDER BY position",
        kReadingBake);
    query.bind(id);
    std::vector<DocumentSummary> documents;
    while (query.step()) documents.push_back(document_summary_of(query));
    return documents;
}

std::vector<BakeLog> logs_of(Connection& connection, BakeId id) {
    Statement query(
        connection,
        "SELECT raw_file_id, reading_options_json, original_name, sha256 FROM bake_log JOIN raw_file USING (raw_file_id) "
        "WHERE bake_id = ?1 ORDER BY position",
        kReadingBake);
    query.bind(id);
    std::vector<BakeLog> logs;
    while (query.step()) logs.push_back({{query.id<RawFileId>(0), query.text(1)}, query.text(2), query.text(3)});
    return logs;
}

std::vector<EarlierReading> readings_of(Connection& connection, std::string_view where, BakeId id) {
    Statement query(connection,
                    "SELECT bake_id, of_bake_id, replaced_at, replaced_by, why FROM earlier_reading WHERE " + std::string(where) +
                        " = ?1 ORDER BY replaced_at, bake_id",
                    kReadingBake);
    query.bind(id);
    std::vector<EarlierReading> readings;
    while (query.step())
        readings.push_back({query.id<BakeId>(0), query.id<BakeId>(1), query.text(2), query.text(3), query.text(4)});
    return readings;
}

std::vector<BakeId> ids_of(Statement& query) {
    std::vector<BakeId> ids;
    while (query.step()) ids.push_back(query.id<BakeId>(0));
    return ids;
}

std::int64_t sql_count(std::size_t count) {
    constexpr auto kMost = std::numeric_limits<std::int64_t>::max();
    return count > static_cast<std::size_t>(kMost) ? kMost : static_cast<std::int64_t>(count);
}

}  // namespace

std::string_view bake_kind_name(BakeKind kind) noexcept { return kind == BakeKind::predicted ? "predicted" : "logged"; }

std::optional<BakeKind> bake_kind_from_name(std::string_view name) noexcept {
    for (const BakeKind kind : {BakeKind::predicted, BakeKind::logged}) {
        if (name == bake_kind_name(kind)) return kind;
    }
    return std::nullopt;
}

const DocumentSummary* Bake::document(std::string_view document_kind) const noexcept {
    for (const DocumentSummary& document : documents) {
        if (document.kind == document_kind) return &document;
    }
    return nullptr;
}

std::optional<Bake> BakeRepository::find(BakeId id) const {
    const ReadScope scope(*connection_);
    Statement query(
        *connection_,
        "SELECT bake_id, uid, kind, title, created_at, started_at, paired_bake_id, program_version, options_json, note "
        "FROM bake WHERE bake_id = ?1",
        kReadingBake);
    if (!query.bind(id).step()) return std::nullopt;
    check_rows(*connection_, aggregate_of(*connection_, id));
    Bake bake = bake_of(*connection_, query);
    bake.documents = documents_of(*connection_, id);
    bake.logs = logs_of(*connection_, id);
    for (EarlierReading& reading : readings_of(*connection_, "bake_id", id)) bake.replaced = std::move(reading);
    bake.earlier_readings = readings_of(*connection_, "of_bake_id", id);
    return bake;
}

Bake BakeRepository::get(BakeId id) const {
    auto bake = find(id);
    if (!bake) no_such_bake(*connection_, id);
    return *std::move(bake);
}

std::vector<BakeSummary> BakeRepository::list(const ListFilter& filter) const {
    Statement query(*connection_, list_sql(filter.kind.has_value()), kListing);
    const auto kind = filter.kind ? std::optional(bake_kind_name(*filter.kind)) : std::nullopt;
    Statement lower(*connection_, "SELECT lower(?1)", kListing);  // SQLite's own lower-case, as in the look-up
    lower.bind(filter.words).step();
    query.bind(kind, filter.shell_name, sql_count(filter.limit), sql_count(filter.offset), lower.text(0),
               filter.earlier_readings);
    std::vector<BakeSummary> bakes;
    while (query.step()) bakes.push_back(summary_of(*connection_, query));
    for (const BakeSummary& bake : bakes) check_rows(*connection_, aggregate_of(*connection_, bake.id));
    return bakes;
}

std::size_t BakeRepository::count() const {
    Statement query(*connection_, "SELECT count(*) FROM bake WHERE bake_id NOT IN (SELECT bake_id FROM earlier_reading)",
                    kListing);
    query.step();
    return query.count(0);
}

std::vector<BakeId> BakeRepository::find_by_raw_file(std::string_view sha256) const {
    Statement query(*connection_,
                    "SELECT DISTINCT bake_id FROM bake_log JOIN raw_file USING (raw_file_id) WHERE sha256 = ?1 AND "
                    "bake_id NOT IN (SELECT bake_id FROM earlier_reading) ORDER BY bake_id",
                    kListing);
    return ids_of(query.bind(sha256));
}

std::optional<BakeId> BakeRepository::find_by_uid(std::string_view uid) const {
    constexpr std::size_t kLeastDigits = 8;
    if (uid.size() < kLeastDigits || uid.find_first_not_of("0123456789abcdef") != std::string_view::npos) return std::nullopt;
    Statement query(
        *connection_,
        "SELECT DISTINCT bake_id FROM (SELECT bake_id, uid FROM bake UNION ALL SELECT bake_id, uid FROM bake_alias) WHERE "
        "uid >= ?1 AND substr(uid, 1, length(?1)) = ?1 ORDER BY bake_id",
        kListing);
    const std::vector<BakeId> found = ids_of(query.bind(uid));
    if (found.size() > 1)
        connection_->not_there("bake", "the uids of " + std::to_string(found.size()) + " bakes begin with '" + std::string(uid) +
                                           "'; give more of its digits");
    return found.empty() ? std::nullopt : std::optional(found.front());
}

std::vector<BakeId> BakeRepository::paired_with(BakeId id) const {
    Statement query(*connection_, "SELECT bake_id FROM bake WHERE paired_bake_id = ?1 ORDER BY bake_id", kListing);
    return ids_of(query.bind(id));
}

}  // namespace bakewright::book
