// SPDX-License-Identifier: Apache-2.0
#include "aggregate.hpp"

#include <algorithm>
#include <array>
#include <span>

#include "bakewright/base/error.hpp"
#include "bakewright/book/hash.hpp"
#include "statement.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kReadingRows = "read the rows of the book";
/// Between the parts of an identity: the unit separator of ASCII, which no name holds.
constexpr char kSeparator = '\x1f';

/// The rows of one table that belong to an aggregate; its key is bound to ?1, ?2, ?3.
struct Part {
    std::string_view table, sql;
    int since_version = 0;  ///< of the schema; the journal of version 3 begins before later tables are there
};

/// How aggregates of one kind are found. The first part is the row without which there is none.
struct Form {
    AggregateKind kind;
    std::string_view name;
    std::string_view keys;   ///< the keys of all there are
    std::string_view label;  ///< short number and label of one
    std::span<const Part> parts;
    int since_version = 0;
};

constexpr int kIdentityVersion = 4;
constexpr int kRecordingVersion = 5;

constexpr std::array kDocument = {
    Part{"document", "SELECT kind, name, title, sha256, stored_at FROM document WHERE kind = ?1 AND sha256 = ?2"}};

constexpr std::array kRawFile = {
    Part{"raw_file", "SELECT original_name, sha256, size_bytes, stored_at FROM raw_file WHERE sha256 = ?1"},
    Part{"raw_file_piece",
         "SELECT position, p.size_bytes, length(data) FROM raw_file_piece AS p JOIN raw_file USING (raw_file_id) WHERE sha256 = "
         "?1 "
         "ORDER BY position"}};

constexpr std::array kBake = {
    Part{"bake",
         "SELECT bake.uid, bake.kind, bake.title, bake.created_at, bake.started_at, pair.uid, bake.paired_bake_id IS NULL, "
         "bake.program_version, bake.options_json, bake.note FROM bake LEFT JOIN bake AS pair ON pair.bake_id = "
         "bake.paired_bake_id "
         "WHERE bake.uid = ?1"},
    Part{"bake_alias", "SELECT a.uid FROM bake_alias AS a JOIN bake USING (bake_id) WHERE bake.uid = ?1 ORDER BY a.uid"},
    Part{"earlier_reading",
         "SELECT of.uid, replaced_at, replaced_by, why FROM earlier_reading AS e JOIN bake USING (bake_id) LEFT JOIN bake AS of "
         "ON "
         "of.bake_id = e.of_bake_id WHERE bake.uid = ?1"},
    Part{"bake_document",
         "SELECT position, document.kind, document.sha256 FROM bake_document JOIN bake USING (bake_id) LEFT JOIN document USING "
         "(document_id) WHERE uid = ?1 ORDER BY position"},
    Part{"bake_log",
         "SELECT position, sha256, reading_options_json FROM bake_log JOIN bake USING (bake_id) LEFT JOIN raw_file USING "
         "(raw_file_id) WHERE uid = ?1 ORDER BY position"},
    Part{"trace",
         "SELECT position, name, role, sample_count, usable_count, first_time_s, last_time_s, min_temperature_k, "
         "max_temperature_k, "
         "mean_temperature_k FROM trace JOIN bake USING (bake_id) WHERE uid = ?1 ORDER BY position"},
    Part{"trace_block",
         "SELECT trace.position, k.position, k.sample_count, codec, sha256, length(data) FROM trace_block AS k JOIN trace USING "
         "(trace_id) JOIN bake USING (bake_id) WHERE uid = ?1 ORDER BY trace.position, k.position"},
    Part{"recording", "SELECT booth, began_at, sealed_at FROM recording JOIN bake USING (bake_id) WHERE uid = ?1",
         kRecordingVersion},
    Part{"recording_channel",
         "SELECT c.position, name, role, source FROM recording_channel AS c JOIN bake USING (bake_id) WHERE uid = ?1 ORDER BY "
         "c.position",
         kRecordingVersion},
    Part{"recording_event",
         "SELECT e.position, time_s, e.kind, source, channel, lasts_s, count, what FROM recording_event AS e JOIN bake USING "
         "(bake_id) WHERE uid = ?1 ORDER BY e.position",
         kRecordingVersion},
    // Last: uid_of_reading() leaves it out.
    Part{kHandNoteTable,
         "SELECT n.uid, zone, n.kind, method, time_s, value_si, standard_uncertainty_si, found, noted_by, noted_at, n.note FROM "
         "hand_note AS n JOIN bake USING (bake_id) WHERE bake.uid = ?1 ORDER BY n.uid",
         4}};

constexpr std::array kCoat = {
    Part{"coat",
         "SELECT coat.name, document.kind, sha256, applied_at, lies_on, sanded_at, note FROM coat LEFT JOIN document USING "
         "(document_id) WHERE shell = ?1 AND coat.name = ?2 AND applied_at = ?3 ORDER BY coat_id"},
    Part{"coat_zone",
         "SELECT position, zone FROM coat_zone JOIN coat USING (coat_id) WHERE shell = ?1 AND name = ?2 AND applied_at = ?3 "
         "ORDER BY "
         "coat_id, position"}};

constexpr std::array kHistoryEntry = {
    Part{"history_bake", "SELECT shell, uid, began_at FROM history_bake JOIN bake USING (bake_id) WHERE shell = ?1 AND uid = ?2"},
    Part{
        "history_bake_zone",
        "SELECT position, zone FROM history_bake_zone JOIN bake USING (bake_id) WHERE shell = ?1 AND uid = ?2 ORDER BY position"},
    Part{"history_bake_item",
         "SELECT position, item FROM history_bake_item JOIN bake USING (bake_id) WHERE shell = ?1 AND uid = ?2 ORDER BY "
         "position"}};

constexpr std::array kVehicle = {Part{"vehicle", "SELECT uid, shell, job_number, maker_number FROM vehicle WHERE uid = ?1"}};

constexpr std::array kSite = {Part{"site", "SELECT book_uid, name FROM site WHERE book_uid = ?1"}};

constexpr std::array kForms = {
    Form{AggregateKind::document, "document", "SELECT kind, sha256 FROM document",
         "SELECT document_id, 'document ' || document_id || ' (' || kind || ' ''' || name || ''')' FROM document WHERE kind = ?1 "
         "AND "
         "sha256 = ?2",
         kDocument},
    Form{AggregateKind::raw_file, "probe file", "SELECT sha256 FROM raw_file",
         "SELECT raw_file_id, 'probe file ' || raw_file_id || ' (''' || original_name || ''')' FROM raw_file WHERE sha256 = ?1",
         kRawFile},
    Form{AggregateKind::bake, "bake", "SELECT uid FROM bake",
         "SELECT bake_id, 'bake ' || bake_id || ' (''' || title || ''')' FROM bake WHERE uid = ?1", kBake},
    Form{AggregateKind::coat, "coat", "SELECT DISTINCT shell, name, applied_at FROM coat",
         "SELECT coat_id, 'coat ' || coat_id || ' (''' || name || ''' on ''' || shell || ''')' FROM coat WHERE shell = ?1 AND "
         "name = "
         "?2 AND applied_at = ?3 ORDER BY coat_id",
         kCoat},
    Form{AggregateKind::history_entry, "history entry", "SELECT shell, uid FROM history_bake JOIN bake USING (bake_id)",
         "SELECT 0, 'bake ' || bake_id || ' in the history of ''' || shell || '''' FROM history_bake JOIN bake USING (bake_id) "
         "WHERE "
         "shell = ?1 AND uid = ?2",
         kHistoryEntry},
    Form{AggregateKind::vehicle, "vehicle", "SELECT uid FROM vehicle",
         "SELECT 0, 'vehicle ''' || shell || '''' FROM vehicle WHERE uid = ?1", kVehicle, kIdentityVersion},
    Form{AggregateKind::site, "site", "SELECT book_uid FROM site",
         "SELECT 0, 'site ''' || name || '''' FROM site WHERE book_uid = ?1", kSite, kIdentityVersion}};

const Form& form_of(AggregateKind kind) { return kForms[static_cast<std::size_t>(kind)]; }

std::string part_text(Connection& connection, const Part& part, const Aggregate& aggregate) {
    Statement query(connection, part.sql, kReadingRows);
    query.bind_texts(aggregate.key);
    Sha256 hash;
    std::size_t count = 0;
    for (; query.step(); ++count) hash.update(query.canonical_row());
    return count == 0 ? std::string() : std::string(part.table) + " " + std::to_string(count) + " " + hash.hex().substr(0, 32);
}

std::optional<Aggregate> first_key(AggregateKind kind, Statement& query, int columns) {
    if (!query.step()) return std::nullopt;
    Aggregate found{kind, {}};
    for (int column = 0; column < columns; ++column) found.key.push_back(query.text(column));
    return found;
}

int key_size(AggregateKind kind) {
    constexpr std::array kSizes = {2, 1, 1, 3, 2, 1, 1};
    return kSizes[static_cast<std::size_t>(kind)];
}

template <typename... Keys>
std::optional<Aggregate> keyed(Connection& connection, AggregateKind kind, std::string_view where, const Keys&... keys) {
    Statement query(connection, std::string(form_of(kind).keys) + " WHERE " + std::string(where), kReadingRows);
    return first_key(kind, query.bind(keys...), key_size(kind));
}

void collect(Connection& connection, AggregateKind kind, std::string_view where, std::vector<Aggregate>& found, auto... keys) {
    Statement query(connection, std::string(form_of(kind).keys) + std::string(where), kReadingRows);
    query.bind(keys...);
    while (const auto one = first_key(kind, query, key_size(kind))) found.push_back(*one);
}

}  // namespace

std::string Aggregate::identity() const {
    std::string text;
    for (std::size_t i = 0; i < key.size(); ++i) text += (i == 0 ? "" : std::string(1, kSeparator)) + key[i];
    return text;
}

Aggregate Aggregate::from(AggregateKind kind, std::string_view identity) {
    Aggregate found{kind, {}};
    for (std::size_t begin = 0; begin <= identity.size();) {
        const std::size_t end = std::min(identity.find(kSeparator, begin), identity.size());
        found.key.emplace_back(identity.substr(begin, end - begin));
        begin = end + 1;
    }
    return found;
}

std::string Aggregate::shell() const {
    return kind == AggregateKind::coat || kind == AggregateKind::history_entry ? key.front() : std::string();
}

std::string_view aggregate_kind_name(AggregateKind kind) noexcept { return kForms[static_cast<std::size_t>(kind)].name; }

std::optional<AggregateKind> aggregate_kind_from_name(std::string_view name) noexcept {
    const auto* form = std::find_if(kForms.begin(), kForms.end(), [&](const Form& one) { return one.name == name; });
    return form == kForms.end() ? std::nullopt : std::optional(form->kind);
}

std::optional<AggregateState> state_of(Connection& connection, const Aggregate& aggregate) {
    const Form& form = form_of(aggregate.kind);
    const auto version = connection.pragma("user_version");
    if (form.since_version > version) return std::nullopt;
    Statement query(connection, form.label, kReadingRows);
    query.bind_texts(aggregate.key);
    if (!query.step()) return std::nullopt;
    AggregateState state{query.integer(0), query.text(1), {}};
    for (const Part& part : form.parts) {
        if (part.since_version > version) continue;
        const std::string text = part_text(connection, part, aggregate);
        if (!text.empty()) state.rows += (state.rows.empty() ? "" : ", ") + text;
    }
    return state;
}

std::vector<Aggregate> all_aggregates(Connection& connection) {
    std::vector<Aggregate> found;
    const auto version = connection.pragma("user_version");
    for (const Form& form : kForms)
        if (form.since_version <= version) collect(connection, form.kind, "", found);
    std::sort(found.begin(), found.end());
    return found;
}

std::optional<Aggregate> aggregate_of(Connection& connection, BakeId id) {
    return keyed(connection, AggregateKind::bake, "bake_id = ?1", id);
}
std::optional<Aggregate> aggregate_of(Connection& connection, CoatId id) {
    return keyed(connection, AggregateKind::coat, "coat_id = ?1", id);
}
std::optional<Aggregate> aggregate_of(Connection& connection, DocumentId id) {
    return keyed(connection, AggregateKind::document, "document_id = ?1", id);
}
std::optional<Aggregate> aggregate_of(Connection& connection, RawFileId id) {
    return keyed(connection, AggregateKind::raw_file, "raw_file_id = ?1", id);
}
std::optional<Aggregate> history_entry(Connection& connection, std::string_view shell, BakeId bake) {
    return keyed(connection, AggregateKind::history_entry, "shell = ?1 AND bake_id = ?2", shell, bake);
}

std::vector<Aggregate> history_of(Connection& connection, std::string_view shell) {
    std::vector<Aggregate> found;
    collect(connection, AggregateKind::coat, " WHERE shell = ?1", found, shell);
    collect(connection, AggregateKind::history_entry, " WHERE shell = ?1", found, shell);
    return found;
}

}  // namespace bakewright::book
