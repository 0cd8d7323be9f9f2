// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <string_view>

/// The steps of a merge, in order, on this book as `main` and the other as `other`. Each names what it counts. temp.fresh has
/// what the other's journal says that this one's does not, or what this book lacks; temp.same_bake which bake here is which one
/// there.
namespace bakewright::book::merge_sql {

inline constexpr std::string_view kFresh =
    "CREATE TEMP TABLE fresh (kind TEXT, identity TEXT, PRIMARY KEY (kind, identity)) WITHOUT ROWID";
inline constexpr std::string_view kJournal =
    "INSERT INTO main.journal (kind, identity, shell, number, label, rows, written_at, book_uid, why, previous_sha256, "
    "entry_sha256) "
    "SELECT kind, identity, shell, number, label, rows, written_at, book_uid, why, previous_sha256, entry_sha256 FROM "
    "other.journal "
    "WHERE entry_sha256 NOT IN (SELECT entry_sha256 FROM main.journal) ORDER BY entry_id";

/// Documents and probe files are the same where their hash is. The earlier moment and the name that sorts last are kept.
inline constexpr std::string_view kDocuments =
    "INSERT INTO main.document (kind, name, title, text, sha256, stored_at) "
    "SELECT kind, name, title, text, sha256, stored_at FROM other.document AS o "
    "WHERE NOT EXISTS (SELECT 1 FROM main.document AS m WHERE m.kind = o.kind AND m.sha256 = o.sha256) ORDER BY o.document_id";
inline constexpr std::string_view kKnownDocuments =
    "UPDATE main.document AS m SET name = max(m.name, o.name), title = max(m.title, o.title), stored_at = min(m.stored_at, "
    "o.stored_at) FROM other.document AS o WHERE o.kind = m.kind AND o.sha256 = m.sha256 AND "
    "EXISTS (SELECT 1 FROM temp.fresh AS f WHERE f.kind = 'document' AND f.identity = o.kind || char(31) || o.sha256)";

inline constexpr std::string_view kNewFiles =
    "CREATE TEMP TABLE new_file AS SELECT raw_file_id AS other_id, sha256 FROM other.raw_file "
    "WHERE sha256 NOT IN (SELECT sha256 FROM main.raw_file)";
inline constexpr std::string_view kFiles =
    "INSERT INTO main.raw_file (original_name, sha256, size_bytes, stored_at) "
    "SELECT original_name, sha256, size_bytes, stored_at FROM other.raw_file "
    "WHERE raw_file_id IN (SELECT other_id FROM temp.new_file) ORDER BY raw_file_id";
inline constexpr std::string_view kFilePieces =
    "INSERT INTO main.raw_file_piece (raw_file_id, position, size_bytes, data) "
    "SELECT m.raw_file_id, p.position, p.size_bytes, p.data FROM other.raw_file_piece AS p "
    "JOIN temp.new_file AS n ON n.other_id = p.raw_file_id JOIN main.raw_file AS m ON m.sha256 = n.sha256 "
    "ORDER BY m.raw_file_id, p.position";
inline constexpr std::string_view kKnownFiles =
    "UPDATE main.raw_file AS m SET original_name = max(m.original_name, o.original_name), stored_at = min(m.stored_at, "
    "o.stored_at) FROM other.raw_file AS o WHERE o.sha256 = m.sha256 AND "
    "EXISTS (SELECT 1 FROM temp.fresh AS f WHERE f.kind = 'probe file' AND f.identity = o.sha256)";

/// A bake is the same where its uid is, or one of the two is known under the other's uid, or both are the log of the same files.
/// A log that was cut into parts is one bake a part.
inline constexpr std::string_view kSameUid =
    "CREATE TEMP TABLE same_bake AS SELECT o.bake_id AS other_id, m.bake_id AS main_id FROM other.bake AS o JOIN main.bake AS m "
    "ON "
    "m.uid = o.uid";
inline constexpr std::string_view kSameAlias =
    "INSERT INTO temp.same_bake SELECT o.bake_id, m.bake_id FROM other.bake AS o JOIN main.bake AS m ON m.uid IN (SELECT uid "
    "FROM "
    "other.bake_alias AS a WHERE a.bake_id = o.bake_id) OR o.uid IN (SELECT uid FROM main.bake_alias AS b WHERE b.bake_id = "
    "m.bake_id) "
    "OR EXISTS (SELECT 1 FROM other.bake_alias AS a JOIN main.bake_alias AS b USING (uid) WHERE a.bake_id = o.bake_id AND "
    "b.bake_id = "
    "m.bake_id) WHERE o.bake_id NOT IN (SELECT other_id FROM temp.same_bake) AND m.bake_id NOT IN (SELECT main_id FROM "
    "temp.same_bake) "
    "GROUP BY o.bake_id";
inline constexpr std::string_view kSameLog =
    "INSERT INTO temp.same_bake SELECT o.bake_id, min(m.bake_id) FROM "
    "(SELECT bake_id, group_concat(part, ' ') AS log FROM (SELECT bake_id, sha256 || ' ' || "
    "coalesce(json_extract(reading_options_json, '$.\"from-line\"'), '') || ' ' || "
    "coalesce(json_extract(reading_options_json, '$.\"to-line\"'), '') AS part FROM other.bake_log JOIN other.raw_file USING "
    "(raw_file_id) ORDER BY bake_id, position) GROUP BY bake_id) AS o JOIN "
    "(SELECT bake_id, group_concat(part, ' ') AS log FROM (SELECT bake_id, sha256 || ' ' || "
    "coalesce(json_extract(reading_options_json, '$.\"from-line\"'), '') || ' ' || "
    "coalesce(json_extract(reading_options_json, '$.\"to-line\"'), '') AS part FROM main.bake_log JOIN main.raw_file USING "
    "(raw_file_id) ORDER BY bake_id, position) GROUP BY bake_id) AS m ON m.log = o.log "
    "WHERE o.bake_id NOT IN (SELECT other_id FROM temp.same_bake) AND m.bake_id NOT IN (SELECT main_id FROM temp.same_bake) "
    "AND o.bake_id NOT IN (SELECT bake_id FROM other.earlier_reading) AND m.bake_id NOT IN (SELECT bake_id FROM "
    "main.earlier_reading) "
    "AND (SELECT kind FROM other.bake AS b WHERE b.bake_id = o.bake_id) = 'logged' "
    "AND (SELECT kind FROM main.bake AS b WHERE b.bake_id = m.bake_id) = 'logged' GROUP BY o.bake_id";
inline constexpr std::string_view kNewBakes =
    "CREATE TEMP TABLE new_bake AS SELECT bake_id AS other_id, uid FROM other.bake WHERE bake_id NOT IN (SELECT other_id FROM "
    "temp.same_bake) AND bake_id NOT IN (SELECT bake_id FROM other.recording WHERE sealed_at IS NULL)";
/// What is left out until it has ended.
inline constexpr std::string_view kOpenRecordings =
    "SELECT bake_id, title FROM other.bake JOIN other.recording USING (bake_id) WHERE sealed_at IS NULL ORDER BY bake_id";
inline constexpr std::string_view kBakes =
    "INSERT INTO main.bake (uid, kind, title, created_at, started_at, paired_bake_id, program_version, options_json, note) "
    "SELECT uid, kind, title, created_at, started_at, NULL, program_version, options_json, note FROM other.bake "
    "WHERE bake_id IN (SELECT other_id FROM temp.new_bake) ORDER BY created_at, uid";
inline constexpr std::string_view kNewSameBakes =
    "INSERT INTO temp.same_bake SELECT n.other_id, m.bake_id FROM temp.new_bake AS n JOIN main.bake AS m ON m.uid = n.uid";
inline constexpr std::string_view kAliases =
    "INSERT OR IGNORE INTO main.bake_alias (uid, bake_id) SELECT o.uid, s.main_id FROM (SELECT uid, bake_id FROM other.bake "
    "UNION "
    "SELECT uid, bake_id FROM other.bake_alias) AS o JOIN temp.same_bake AS s ON s.other_id = o.bake_id "
    "JOIN main.bake AS m ON m.bake_id = s.main_id WHERE o.uid <> m.uid";
/// Bakes whose documents, logs and traces come from the other book: new ones, and those that were read again there since.
inline constexpr std::string_view kFilledBakes = "CREATE TEMP TABLE filled_bake AS SELECT other_id FROM temp.new_bake";
/// Of the same bake: its last reading there and here, empty where it was read once.
inline constexpr std::string_view kReadings =
    "SELECT main_id, other_id, theirs, ours FROM (SELECT s.main_id, s.other_id, coalesce((SELECT max(replaced_at) FROM "
    "other.earlier_reading AS e WHERE e.of_bake_id = s.other_id), '') AS theirs, coalesce((SELECT max(replaced_at) FROM "
    "main.earlier_reading AS e WHERE e.of_bake_id = s.main_id), '') AS ours FROM temp.same_bake AS s) WHERE theirs <> ours";
inline constexpr std::string_view kReadAgain =
    "UPDATE main.bake AS m SET started_at = o.started_at, program_version = o.program_version, options_json = o.options_json "
    "FROM "
    "other.bake AS o WHERE o.bake_id = ?2 AND m.bake_id = ?1";
inline constexpr std::string_view kEarlierReadings =
    "INSERT OR IGNORE INTO main.earlier_reading (bake_id, of_bake_id, replaced_at, replaced_by, why) SELECT s.main_id, "
    "of.main_id, "
    "e.replaced_at, e.replaced_by, e.why FROM other.earlier_reading AS e JOIN temp.same_bake AS s ON s.other_id = e.bake_id JOIN "
    "temp.same_bake AS of ON of.other_id = e.of_bake_id WHERE s.main_id <> of.main_id";
/// The same log under two uids, read in two ways.
inline constexpr std::string_view kOtherReadings =
    "SELECT s.main_id FROM temp.same_bake AS s JOIN main.bake AS m ON m.bake_id = s.main_id JOIN other.bake AS o ON o.bake_id = "
    "s.other_id JOIN temp.fresh AS f ON f.kind = 'bake' AND f.identity = o.uid WHERE m.uid <> o.uid AND EXISTS (SELECT 1 FROM "
    "main.bake_log AS a JOIN other.bake_log AS b ON b.position = a.position WHERE a.bake_id = s.main_id AND b.bake_id = "
    "s.other_id AND "
    "a.reading_options_json <> b.reading_options_json) ORDER BY s.main_id";
inline constexpr std::string_view kBakeDocuments =
    "INSERT INTO main.bake_document (bake_id, position, document_id) "
    "SELECT s.main_id, b.position, md.document_id FROM other.bake_document AS b "
    "JOIN temp.filled_bake AS n ON n.other_id = b.bake_id JOIN temp.same_bake AS s ON s.other_id = b.bake_id "
    "JOIN other.document AS od ON od.document_id = b.document_id "
    "JOIN main.document AS md ON md.kind = od.kind AND md.sha256 = od.sha256";
inline constexpr std::string_view kBakeLogs =
    "INSERT INTO main.bake_log (bake_id, position, raw_file_id, reading_options_json) "
    "SELECT s.main_id, b.position, mf.raw_file_id, b.reading_options_json FROM other.bake_log AS b "
    "JOIN temp.filled_bake AS n ON n.other_id = b.bake_id JOIN temp.same_bake AS s ON s.other_id = b.bake_id "
    "JOIN other.raw_file AS f ON f.raw_file_id = b.raw_file_id JOIN main.raw_file AS mf ON mf.sha256 = f.sha256";
inline constexpr std::string_view kTraces =
    "INSERT INTO main.trace (bake_id, position, name, role, sample_count, usable_count, first_time_s, last_time_s, "
    "min_temperature_k, max_temperature_k, mean_temperature_k) "
    "SELECT s.main_id, t.position, t.name, t.role, t.sample_count, t.usable_count, t.first_time_s, t.last_time_s, "
    "t.min_temperature_k, t.max_temperature_k, t.mean_temperature_k FROM other.trace AS t "
    "JOIN temp.filled_bake AS n ON n.other_id = t.bake_id JOIN temp.same_bake AS s ON s.other_id = t.bake_id ORDER BY s.main_id, "
    "t.position";
inline constexpr std::string_view kTraceBlocks =
    "INSERT INTO main.trace_block (trace_id, position, sample_count, codec, sha256, data) "
    "SELECT mt.trace_id, k.position, k.sample_count, k.codec, k.sha256, k.data FROM other.trace_block AS k "
    "JOIN other.trace AS t ON t.trace_id = k.trace_id JOIN temp.filled_bake AS n ON n.other_id = t.bake_id "
    "JOIN temp.same_bake AS s ON s.other_id = t.bake_id JOIN main.trace AS mt ON mt.bake_id = s.main_id AND mt.position = "
    "t.position "
    "ORDER BY mt.trace_id, k.position";
inline constexpr std::array<std::string_view, 3> kRecordings = {
    "INSERT INTO main.recording (bake_id, booth, began_at, sealed_at) SELECT s.main_id, booth, began_at, sealed_at FROM "
    "other.recording AS r JOIN temp.new_bake AS n ON n.other_id = r.bake_id JOIN temp.same_bake AS s ON s.other_id = r.bake_id",
    "INSERT INTO main.recording_channel (bake_id, position, name, role, source) SELECT s.main_id, position, name, role, source "
    "FROM "
    "other.recording_channel AS c JOIN temp.new_bake AS n ON n.other_id = c.bake_id JOIN temp.same_bake AS s ON s.other_id = "
    "c.bake_id",
    "INSERT INTO main.recording_event (bake_id, position, time_s, kind, source, channel, lasts_s, count, what) SELECT s.main_id, "
    "position, time_s, kind, source, channel, lasts_s, count, what FROM other.recording_event AS e JOIN temp.new_bake AS n ON "
    "n.other_id = e.bake_id JOIN temp.same_bake AS s ON s.other_id = e.bake_id"};
/// A pairing is taken over where this book has none, or where the other's partner sorts last.
inline constexpr std::string_view kPairs =
    "UPDATE main.bake AS m SET paired_bake_id = mp.main_id FROM other.bake AS o JOIN temp.same_bake AS s ON s.other_id = "
    "o.bake_id "
    "JOIN temp.same_bake AS mp ON mp.other_id = o.paired_bake_id JOIN other.bake AS op ON op.bake_id = o.paired_bake_id "
    "WHERE s.main_id = m.bake_id AND (m.paired_bake_id IS NULL OR op.uid > (SELECT uid FROM main.bake AS p WHERE p.bake_id = "
    "m.paired_bake_id)) AND EXISTS (SELECT 1 FROM temp.fresh AS f WHERE f.kind = 'bake' AND f.identity = o.uid)";
inline constexpr std::string_view kBakeConflicts =
    "SELECT m.bake_id, CASE WHEN m.title <> o.title THEN 'title' WHEN m.note <> o.note THEN 'note' ELSE 'start' END, "
    "CASE WHEN m.title <> o.title THEN max(m.title, o.title) WHEN m.note <> o.note THEN max(m.note, o.note) "
    "ELSE max(m.started_at, o.started_at) END FROM main.bake AS m JOIN temp.same_bake AS s ON s.main_id = m.bake_id "
    "JOIN other.bake AS o ON o.bake_id = s.other_id JOIN temp.fresh AS f ON f.kind = 'bake' AND f.identity = o.uid "
    "WHERE (m.title <> o.title) OR (m.note <> o.note) OR (m.started_at <> o.started_at) ORDER BY m.bake_id";
inline constexpr std::string_view kKnownBakes =
    "UPDATE main.bake AS m SET title = max(m.title, o.title), note = max(m.note, o.note), "
    "started_at = max(m.started_at, o.started_at) FROM other.bake AS o JOIN temp.same_bake AS s ON s.other_id = o.bake_id "
    "JOIN temp.fresh AS f ON f.kind = 'bake' AND f.identity = o.uid WHERE s.main_id = m.bake_id AND "
    "((m.title <> o.title) OR (m.note <> o.note) OR (m.started_at <> o.started_at))";

/// Notes by hand are the same where their uid is; they come with what is new of their bake.
inline constexpr std::string_view kHandNotes =
    "INSERT INTO main.hand_note (uid, bake_id, zone, kind, method, time_s, value_si, standard_uncertainty_si, found, noted_by, "
    "noted_at, note) SELECT n.uid, s.main_id, n.zone, n.kind, n.method, n.time_s, n.value_si, n.standard_uncertainty_si, "
    "n.found, "
    "n.noted_by, n.noted_at, n.note FROM other.hand_note AS n JOIN temp.same_bake AS s ON s.other_id = n.bake_id JOIN other.bake "
    "AS o ON o.bake_id = n.bake_id JOIN temp.fresh AS f ON f.kind = 'bake' AND f.identity = o.uid WHERE n.uid NOT IN (SELECT uid "
    "FROM main.hand_note) ORDER BY n.noted_at, n.uid";

inline constexpr std::string_view kVehicle =
    "INSERT INTO main.vehicle (uid, shell, job_number, maker_number) VALUES (?1, ?2, ?3, ?4)";
inline constexpr std::string_view kVehicleNumbers =
    "UPDATE main.vehicle SET job_number = max(job_number, ?2), maker_number = max(maker_number, ?3) WHERE uid = ?1";
inline constexpr std::string_view kSites =
    "SELECT o.book_uid, o.name FROM other.site AS o LEFT JOIN main.site AS m USING (book_uid) WHERE m.name IS NULL OR m.name < "
    "o.name";
inline constexpr std::string_view kSite =
    "INSERT INTO main.site (book_uid, name) VALUES (?1, ?2) ON CONFLICT (book_uid) DO UPDATE SET name = ?2";

/// Coats are the same where shell, name and moment are.
inline constexpr std::string_view kNewCoats =
    "CREATE TEMP TABLE new_coat AS SELECT coat_id AS other_id, shell, name, applied_at FROM other.coat AS o WHERE NOT EXISTS "
    "(SELECT 1 FROM main.coat AS m WHERE m.shell = o.shell AND m.name = o.name AND m.applied_at = o.applied_at)";
inline constexpr std::string_view kCoats =
    "INSERT INTO main.coat (shell, name, document_id, applied_at, lies_on, sanded_at, note) "
    "SELECT o.shell, o.name, md.document_id, o.applied_at, o.lies_on, o.sanded_at, o.note FROM other.coat AS o "
    "JOIN other.document AS od ON od.document_id = o.document_id "
    "JOIN main.document AS md ON md.kind = od.kind AND md.sha256 = od.sha256 "
    "WHERE o.coat_id IN (SELECT other_id FROM temp.new_coat) ORDER BY o.shell, o.applied_at, o.name";
inline constexpr std::string_view kCoatConflicts =
    "SELECT m.coat_id, m.name FROM main.coat AS m JOIN other.coat AS o ON o.shell = m.shell AND o.name = m.name AND o.applied_at "
    "= m.applied_at "
    "JOIN main.document AS md ON md.document_id = m.document_id JOIN other.document AS od ON od.document_id = o.document_id "
    "WHERE od.sha256 <> md.sha256 OR o.lies_on <> m.lies_on OR o.note <> m.note OR "
    "(o.sanded_at IS NOT NULL AND m.sanded_at IS NOT NULL AND o.sanded_at <> m.sanded_at) ORDER BY m.coat_id";
inline constexpr std::string_view kKnownCoats =
    "UPDATE main.coat AS m SET lies_on = max(m.lies_on, o.lies_on), note = max(m.note, o.note), "
    "sanded_at = nullif(max(coalesce(m.sanded_at, ''), coalesce(o.sanded_at, '')), ''), "
    "document_id = (SELECT d.document_id FROM main.document AS d WHERE d.kind = od.kind AND d.sha256 = "
    "max(od.sha256, (SELECT own.sha256 FROM main.document AS own WHERE own.document_id = m.document_id))) "
    "FROM other.coat AS o JOIN other.document AS od ON od.document_id = o.document_id JOIN temp.fresh AS f ON f.kind = 'coat' "
    "AND "
    "f.identity = o.shell || char(31) || o.name || char(31) || o.applied_at "
    "WHERE o.shell = m.shell AND o.name = m.name AND o.applied_at = m.applied_at";
/// Coats and entries that both books have with other lists, or in another order: what comes of them is sorted by name, so that it
/// is the same whichever book was first.
inline constexpr std::string_view kOtherZones =
    "CREATE TEMP TABLE sorted_coat AS SELECT m.coat_id FROM main.coat AS m JOIN other.coat AS o ON o.shell = m.shell AND o.name "
    "= "
    "m.name AND o.applied_at = m.applied_at JOIN temp.fresh AS f ON f.kind = 'coat' AND f.identity = o.shell || char(31) || "
    "o.name || "
    "char(31) || o.applied_at WHERE "
    "(SELECT group_concat(zone, char(31)) FROM (SELECT zone FROM main.coat_zone AS z WHERE z.coat_id = m.coat_id ORDER BY "
    "position)) "
    "<> (SELECT group_concat(zone, char(31)) FROM (SELECT zone FROM other.coat_zone AS z WHERE z.coat_id = o.coat_id ORDER BY "
    "position))";
inline constexpr std::string_view kCoatZones =
    "INSERT INTO main.coat_zone (coat_id, position, zone) "
    "SELECT m.coat_id, 1 + z.position + coalesce((SELECT max(position) FROM main.coat_zone WHERE coat_id = m.coat_id), -1), "
    "z.zone "
    "FROM other.coat_zone AS z JOIN other.coat AS o ON o.coat_id = z.coat_id "
    "JOIN main.coat AS m ON m.shell = o.shell AND m.name = o.name AND m.applied_at = o.applied_at "
    "JOIN temp.fresh AS f ON f.kind = 'coat' AND f.identity = o.shell || char(31) || o.name || char(31) || o.applied_at "
    "WHERE NOT EXISTS (SELECT 1 FROM main.coat_zone AS own WHERE own.coat_id = m.coat_id AND own.zone = z.zone)";
inline constexpr std::string_view kSortZonesAside =
    "UPDATE main.coat_zone SET position = -1 - (SELECT count(*) FROM main.coat_zone AS z WHERE z.coat_id = coat_zone.coat_id AND "
    "z.zone "
    "< coat_zone.zone) WHERE coat_id IN (SELECT coat_id FROM temp.sorted_coat)";
inline constexpr std::string_view kSortZones =
    "UPDATE main.coat_zone SET position = -1 - position WHERE coat_id IN (SELECT coat_id FROM temp.sorted_coat)";

/// The fresh entries of histories: theirs and ours.
inline constexpr std::string_view kEntries =
    "CREATE TEMP TABLE entry AS SELECT o.shell, o.bake_id AS other_id, s.main_id, o.began_at, EXISTS (SELECT 1 FROM "
    "main.history_bake "
    "AS m WHERE m.shell = o.shell AND m.bake_id = s.main_id) AS is_known FROM other.history_bake AS o JOIN temp.same_bake AS s "
    "ON "
    "s.other_id = o.bake_id JOIN other.bake AS ob ON ob.bake_id = o.bake_id JOIN temp.fresh AS f ON f.kind = 'history entry' AND "
    "f.identity = o.shell || char(31) || ob.uid";
inline constexpr std::string_view kHistoryConflicts =
    "SELECT m.shell, m.bake_id, max(m.began_at, e.began_at) FROM main.history_bake AS m JOIN temp.entry AS e ON e.shell = "
    "m.shell AND "
    "e.main_id = m.bake_id WHERE e.began_at <> m.began_at ORDER BY m.shell, m.bake_id";
inline constexpr std::string_view kKnownHistory =
    "UPDATE main.history_bake AS m SET began_at = max(m.began_at, e.began_at) FROM temp.entry AS e WHERE e.shell = m.shell AND "
    "e.main_id = m.bake_id";
/// Of an entry that both books have: no zones means all of them, which contains any list.
inline constexpr std::string_view kWholeShells =
    "DELETE FROM main.history_bake_zone WHERE EXISTS (SELECT 1 FROM temp.entry AS e WHERE e.shell = history_bake_zone.shell AND "
    "e.main_id = history_bake_zone.bake_id AND NOT EXISTS (SELECT 1 FROM other.history_bake_zone AS z WHERE z.shell = e.shell "
    "AND "
    "z.bake_id = e.other_id))";
inline constexpr std::string_view kSortedEntries =
    "CREATE TEMP TABLE sorted_entry AS SELECT shell, main_id, 'zone' AS list FROM temp.entry AS e WHERE is_known AND "
    "(SELECT group_concat(zone, char(31)) FROM (SELECT zone FROM main.history_bake_zone AS z WHERE z.shell = e.shell AND "
    "z.bake_id = "
    "e.main_id ORDER BY position)) IS NOT (SELECT group_concat(zone, char(31)) FROM (SELECT zone FROM other.history_bake_zone AS "
    "z WHERE "
    "z.shell = e.shell AND z.bake_id = e.other_id ORDER BY position)) UNION ALL SELECT shell, main_id, 'item' FROM temp.entry AS "
    "e WHERE "
    "is_known AND (SELECT group_concat(item, char(31)) FROM (SELECT item FROM main.history_bake_item AS z WHERE z.shell = "
    "e.shell AND "
    "z.bake_id = e.main_id ORDER BY position)) IS NOT (SELECT group_concat(item, char(31)) FROM (SELECT item FROM "
    "other.history_bake_item AS z WHERE z.shell = e.shell AND z.bake_id = e.other_id ORDER BY position))";
/// Entries that take zones: new ones, and those that name zones here.
inline constexpr std::string_view kOpenEntries =
    "CREATE TEMP TABLE open_entry AS SELECT shell, other_id, main_id FROM temp.entry AS e WHERE NOT is_known OR EXISTS (SELECT 1 "
    "FROM "
    "main.history_bake_zone AS z WHERE z.shell = e.shell AND z.bake_id = e.main_id)";
inline constexpr std::string_view kHistory =
    "INSERT INTO main.history_bake (shell, bake_id, began_at) SELECT shell, main_id, began_at FROM temp.entry WHERE NOT is_known "
    "ORDER "
    "BY shell, began_at, main_id";
inline constexpr std::string_view kHistoryZones =
    "INSERT INTO main.history_bake_zone (shell, bake_id, position, zone) SELECT z.shell, e.main_id, 1 + z.position + "
    "coalesce((SELECT max(position) FROM main.history_bake_zone AS h WHERE h.shell = z.shell AND h.bake_id = e.main_id), -1), "
    "z.zone FROM other.history_bake_zone AS z JOIN temp.open_entry AS e ON e.shell = z.shell AND e.other_id = z.bake_id "
    "WHERE NOT EXISTS (SELECT 1 FROM main.history_bake_zone AS own WHERE own.shell = z.shell AND own.bake_id = e.main_id AND "
    "own.zone = z.zone)";
inline constexpr std::string_view kHistoryItems =
    "INSERT INTO main.history_bake_item (shell, bake_id, position, item) SELECT i.shell, e.main_id, 1 + i.position + "
    "coalesce((SELECT max(position) FROM main.history_bake_item AS h WHERE h.shell = i.shell AND h.bake_id = e.main_id), -1), "
    "i.item FROM other.history_bake_item AS i JOIN temp.entry AS e ON e.shell = i.shell AND e.other_id = i.bake_id "
    "WHERE NOT EXISTS (SELECT 1 FROM main.history_bake_item AS own WHERE own.shell = i.shell AND own.bake_id = e.main_id AND "
    "own.item = i.item)";
inline constexpr std::string_view kSortHistoryZonesAside =
    "UPDATE main.history_bake_zone AS h SET position = -1 - (SELECT count(*) FROM main.history_bake_zone AS z WHERE z.shell = "
    "h.shell "
    "AND z.bake_id = h.bake_id AND z.zone < h.zone) WHERE EXISTS (SELECT 1 FROM temp.sorted_entry AS e WHERE e.list = 'zone' AND "
    "e.shell "
    "= h.shell AND e.main_id = h.bake_id)";
inline constexpr std::string_view kSortHistoryZones =
    "UPDATE main.history_bake_zone SET position = -1 - position WHERE position < 0";
inline constexpr std::string_view kSortHistoryItemsAside =
    "UPDATE main.history_bake_item AS h SET position = -1 - (SELECT count(*) FROM main.history_bake_item AS z WHERE z.shell = "
    "h.shell "
    "AND z.bake_id = h.bake_id AND z.item < h.item) WHERE EXISTS (SELECT 1 FROM temp.sorted_entry AS e WHERE e.list = 'item' AND "
    "e.shell "
    "= h.shell AND e.main_id = h.bake_id)";
inline constexpr std::string_view kSortHistoryItems =
    "UPDATE main.history_bake_item SET position = -1 - position WHERE position < 0";

}  // namespace bakewright::book::merge_sql
