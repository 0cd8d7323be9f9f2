#pragma once

#include <string_view>

/// The steps of a merge, in order, on this book as `main` and the other as `other`. Each names what it counts.
namespace bakewright::book::merge_sql {

/// Documents and probe files are the same where their hash is. The earlier moment and the name that sorts last are kept.
inline constexpr std::string_view kDocuments =
    "INSERT INTO main.document (kind, name, title, text, sha256, stored_at) "
    "SELECT kind, name, title, text, sha256, stored_at FROM other.document AS o "
    "WHERE NOT EXISTS (SELECT 1 FROM main.document AS m WHERE m.kind = o.kind AND m.sha256 = o.sha256) ORDER BY o.document_id";
inline constexpr std::string_view kKnownDocuments =
    "UPDATE main.document AS m SET name = max(m.name, o.name), title = max(m.title, o.title), stored_at = min(m.stored_at, "
    "o.stored_at) FROM other.document AS o WHERE o.kind = m.kind AND o.sha256 = m.sha256";

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
    "o.stored_at) FROM other.raw_file AS o WHERE o.sha256 = m.sha256";

inline constexpr std::string_view kNewBakes =
    "CREATE TEMP TABLE new_bake AS SELECT bake_id AS other_id, uid FROM other.bake WHERE uid NOT IN (SELECT uid FROM main.bake)";
inline constexpr std::string_view kBakes =
    "INSERT INTO main.bake (uid, kind, title, created_at, started_at, paired_bake_id, program_version, options_json, note) "
    "SELECT uid, kind, title, created_at, started_at, NULL, program_version, options_json, note FROM other.bake "
    "WHERE bake_id IN (SELECT other_id FROM temp.new_bake) ORDER BY created_at, uid";
inline constexpr std::string_view kBakeDocuments =
    "INSERT INTO main.bake_document (bake_id, position, document_id) "
    "SELECT m.bake_id, b.position, md.document_id FROM other.bake_document AS b "
    "JOIN temp.new_bake AS n ON n.other_id = b.bake_id JOIN main.bake AS m ON m.uid = n.uid "
    "JOIN other.document AS od ON od.document_id = b.document_id "
    "JOIN main.document AS md ON md.kind = od.kind AND md.sha256 = od.sha256";
inline constexpr std::string_view kBakeLogs =
    "INSERT INTO main.bake_log (bake_id, position, raw_file_id, reading_options_json) "
    "SELECT m.bake_id, b.position, mf.raw_file_id, b.reading_options_json FROM other.bake_log AS b "
    "JOIN temp.new_bake AS n ON n.other_id = b.bake_id JOIN main.bake AS m ON m.uid = n.uid "
    "JOIN other.raw_file AS f ON f.raw_file_id = b.raw_file_id JOIN main.raw_file AS mf ON mf.sha256 = f.sha256";
inline constexpr std::string_view kTraces =
    "INSERT INTO main.trace (bake_id, position, name, role, sample_count, usable_count, first_time_s, last_time_s, "
    "min_temperature_k, max_temperature_k, mean_temperature_k) "
    "SELECT m.bake_id, t.position, t.name, t.role, t.sample_count, t.usable_count, t.first_time_s, t.last_time_s, "
    "t.min_temperature_k, t.max_temperature_k, t.mean_temperature_k FROM other.trace AS t "
    "JOIN temp.new_bake AS n ON n.other_id = t.bake_id JOIN main.bake AS m ON m.uid = n.uid ORDER BY m.bake_id, t.position";
inline constexpr std::string_view kTraceBlocks =
    "INSERT INTO main.trace_block (trace_id, position, sample_count, codec, sha256, data) "
    "SELECT mt.trace_id, k.position, k.sample_count, k.codec, k.sha256, k.data FROM other.trace_block AS k "
    "JOIN other.trace AS t ON t.trace_id = k.trace_id JOIN temp.new_bake AS n ON n.other_id = t.bake_id "
    "JOIN main.bake AS m ON m.uid = n.uid JOIN main.trace AS mt ON mt.bake_id = m.bake_id AND mt.position = t.position "
    "ORDER BY mt.trace_id, k.position";
/// A pairing is taken over where this book has none, or where the other's partner sorts last.
inline constexpr std::string_view kPairs =
    "UPDATE main.bake AS m SET paired_bake_id = mp.bake_id FROM other.bake AS o "
    "JOIN other.bake AS op ON op.bake_id = o.paired_bake_id JOIN main.bake AS mp ON mp.uid = op.uid "
    "WHERE o.uid = m.uid AND (m.paired_bake_id IS NULL OR "
    "op.uid > (SELECT uid FROM main.bake AS p WHERE p.bake_id = m.paired_bake_id))";
inline constexpr std::string_view kBakeConflicts =
    "SELECT m.bake_id, CASE WHEN m.title <> o.title THEN 'title' WHEN m.note <> o.note THEN 'note' ELSE 'start' END, "
    "CASE WHEN m.title <> o.title THEN max(m.title, o.title) WHEN m.note <> o.note THEN max(m.note, o.note) "
    "ELSE max(m.started_at, o.started_at) END FROM main.bake AS m JOIN other.bake AS o ON o.uid = m.uid "
    "WHERE (m.title <> o.title) OR (m.note <> o.note) OR (m.started_at <> o.started_at) ORDER BY m.bake_id";
inline constexpr std::string_view kKnownBakes =
    "UPDATE main.bake AS m SET title = max(m.title, o.title), note = max(m.note, o.note), "
    "started_at = max(m.started_at, o.started_at) FROM other.bake AS o WHERE o.uid = m.uid AND "
    "((m.title <> o.title) OR (m.note <> o.note) OR (m.started_at <> o.started_at))";

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
    "FROM other.coat AS o JOIN other.document AS od ON od.document_id = o.document_id "
    "WHERE o.shell = m.shell AND o.name = m.name AND o.applied_at = m.applied_at";
inline constexpr std::string_view kCoatZones =
    "INSERT INTO main.coat_zone (coat_id, position, zone) "
    "SELECT m.coat_id, 1 + z.position + coalesce((SELECT max(position) FROM main.coat_zone WHERE coat_id = m.coat_id), -1), "
    "z.zone "
    "FROM other.coat_zone AS z JOIN other.coat AS o ON o.coat_id = z.coat_id "
    "JOIN main.coat AS m ON m.shell = o.shell AND m.name = o.name AND m.applied_at = o.applied_at "
    "WHERE NOT EXISTS (SELECT 1 FROM main.coat_zone AS own WHERE own.coat_id = m.coat_id AND own.zone = z.zone)";

/// Of an entry that both books have: no zones means all of them, which contains any list.
inline constexpr std::string_view kWholeShells =
    "DELETE FROM main.history_bake_zone WHERE EXISTS (SELECT 1 FROM other.history_bake AS o JOIN other.bake AS ob ON ob.bake_id "
    "= o.bake_id "
    "JOIN main.bake AS mb ON mb.uid = ob.uid WHERE o.shell = history_bake_zone.shell AND mb.bake_id = history_bake_zone.bake_id "
    "AND NOT EXISTS (SELECT 1 FROM other.history_bake_zone AS z WHERE z.shell = o.shell AND z.bake_id = o.bake_id))";
inline constexpr std::string_view kOpenEntries =
    "CREATE TEMP TABLE open_entry AS SELECT o.shell, o.bake_id AS other_id, mb.bake_id FROM other.history_bake AS o "
    "JOIN other.bake AS ob ON ob.bake_id = o.bake_id JOIN main.bake AS mb ON mb.uid = ob.uid "
    "WHERE NOT EXISTS (SELECT 1 FROM main.history_bake AS m WHERE m.shell = o.shell AND m.bake_id = mb.bake_id) "
    "OR EXISTS (SELECT 1 FROM main.history_bake_zone AS z WHERE z.shell = o.shell AND z.bake_id = mb.bake_id)";
inline constexpr std::string_view kHistory =
    "INSERT OR IGNORE INTO main.history_bake (shell, bake_id, began_at) SELECT o.shell, mb.bake_id, o.began_at "
    "FROM other.history_bake AS o JOIN other.bake AS ob ON ob.bake_id = o.bake_id JOIN main.bake AS mb ON mb.uid = ob.uid "
    "ORDER BY o.shell, o.began_at, mb.uid";
inline constexpr std::string_view kHistoryConflicts =
    "SELECT m.shell, m.bake_id, max(m.began_at, o.began_at) FROM main.history_bake AS m JOIN main.bake AS mb ON mb.bake_id = "
    "m.bake_id "
    "JOIN other.bake AS ob ON ob.uid = mb.uid JOIN other.history_bake AS o ON o.bake_id = ob.bake_id AND o.shell = m.shell "
    "WHERE o.began_at <> m.began_at ORDER BY m.shell, m.bake_id";
inline constexpr std::string_view kKnownHistory =
    "UPDATE main.history_bake AS m SET began_at = max(m.began_at, o.began_at) FROM other.history_bake AS o "
    "JOIN other.bake AS ob ON ob.bake_id = o.bake_id JOIN main.bake AS mb ON mb.uid = ob.uid "
    "WHERE o.shell = m.shell AND mb.bake_id = m.bake_id";
inline constexpr std::string_view kHistoryZones =
    "INSERT INTO main.history_bake_zone (shell, bake_id, position, zone) SELECT z.shell, e.bake_id, 1 + z.position + "
    "coalesce((SELECT max(position) FROM main.history_bake_zone AS h WHERE h.shell = z.shell AND h.bake_id = e.bake_id), -1), "
    "z.zone FROM other.history_bake_zone AS z JOIN temp.open_entry AS e ON e.shell = z.shell AND e.other_id = z.bake_id "
    "WHERE NOT EXISTS (SELECT 1 FROM main.history_bake_zone AS own WHERE own.shell = z.shell AND own.bake_id = e.bake_id AND "
    "own.zone = z.zone)";
inline constexpr std::string_view kHistoryItems =
    "INSERT INTO main.history_bake_item (shell, bake_id, position, item) SELECT i.shell, mb.bake_id, 1 + i.position + "
    "coalesce((SELECT max(position) FROM main.history_bake_item AS h WHERE h.shell = i.shell AND h.bake_id = mb.bake_id), -1), "
    "i.item FROM other.history_bake_item AS i JOIN other.bake AS ob ON ob.bake_id = i.bake_id JOIN main.bake AS mb ON mb.uid = "
    "ob.uid "
    "WHERE NOT EXISTS (SELECT 1 FROM main.history_bake_item AS own WHERE own.shell = i.shell AND own.bake_id = mb.bake_id AND "
    "own.item = i.item)";

}  // namespace bakewright::book::merge_sql
