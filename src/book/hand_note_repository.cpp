// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/hand_note_repository.hpp"

#include "bakewright/base/error.hpp"
#include "bakewright/base/words.hpp"
#include "journal.hpp"
#include "rows.hpp"
#include "statement.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kReadingNotes = "read what was noted by hand";
constexpr std::string_view kNoting = "keep what was noted by hand";
constexpr std::string_view kRemovingNote = "remove what was noted by hand";

constexpr std::string_view kNoteColumns =
    "SELECT uid, bake_id, zone, kind, method, time_s, value_si, standard_uncertainty_si, found, noted_by, noted_at, "
    "note FROM hand_note ";

std::optional<double> optional_real(const Statement& row, int column) {
    return row.is_null(column) ? std::nullopt : std::optional(row.real(column));
}

HandNote note_of(const Statement& row) {
    HandNote note;
    note.uid = row.text(0);
    note.bake = row.id<BakeId>(1);
    note.zone = row.text(2);
    note.kind = value_of_word<HandNoteKind>(row.text(3)).value_or(HandNoteKind::temperature);
    note.method = row.text(4);
    note.time_s = optional_real(row, 5);
    note.value = optional_real(row, 6);
    note.uncertainty = optional_real(row, 7);
    note.found = value_of_word<CureTestResult>(row.text(8));
    note.noted_by = row.text(9);
    note.noted_at = row.text(10);
    note.note = row.text(11);
    return note;
}

void ensure_note(const NewHandNote& note) {
    ensure(!note.zone.empty() && !note.method.empty(), "a note by hand has a zone and says how it was taken");
    const bool is_test = note.kind == HandNoteKind::cure_test;
    ensure(note.found.has_value() == is_test, "a test, and only a test, found the film hard or soft");
    ensure(note.value.has_value() != is_test && (!note.value || *note.value > 0.0), "a reading has a value above 0");
    ensure(!note.uncertainty || *note.uncertainty > 0.0, "a standard uncertainty is above 0");
    ensure(note.kind == HandNoteKind::film_build || note.time_s.has_value(), "a temperature and a test have a time");
}

}  // namespace

std::string HandNoteRepository::add(const NewHandNote& note) {
    ensure_note(note);
    Transaction transaction(*connection_);
    require_bake(*connection_, note.bake);
    about_to_change(*connection_, aggregate_of(*connection_, note.bake));
    Statement insert(
        *connection_,
        "INSERT INTO hand_note (uid, bake_id, zone, kind, method, time_s, value_si, standard_uncertainty_si, found, "
        "noted_by, noted_at, note) VALUES (lower(hex(randomblob(16))), ?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11) "
        "RETURNING uid",
        kNoting);
    insert.bind(note.bake, note.zone, word_of(note.kind), note.method, note.time_s, note.value, note.uncertainty,
                note.found ? word_of(*note.found) : std::string_view(), note.noted_by, connection_->now(), note.note);
    insert.step();
    std::string uid = insert.text(0);
    insert.run();
    transaction.commit();
    return uid;
}

std::vector<HandNote> HandNoteRepository::notes(BakeId bake) const {
    Statement query(*connection_,
                    std::string(kNoteColumns) +
                        "WHERE bake_id = ?1 ORDER BY CASE kind WHEN 'temperature' THEN 0 WHEN 'cure_test' THEN 1 ELSE 2 END, "
                        "time_s, noted_at, uid",
                    kReadingNotes);
    query.bind(bake);
    check_rows(*connection_, aggregate_of(*connection_, bake));
    std::vector<HandNote> notes;
    while (query.step()) notes.push_back(note_of(query));
    return notes;
}

HandNote HandNoteRepository::note(std::string_view uid) const {
    constexpr std::size_t kLeastDigits = 8;
    Statement query(*connection_, std::string(kNoteColumns) + "WHERE uid >= ?1 AND substr(uid, 1, length(?1)) = ?1 LIMIT 2",
                    kReadingNotes);
    const bool is_uid = uid.size() >= kLeastDigits && uid.find_first_not_of("0123456789abcdef") == std::string_view::npos;
    if (!is_uid || !query.bind(uid).step())
        connection_->not_there("note",
                               "there is no note '" + std::string(uid) + "'; give the first eight digits of its uid, or more");
    HandNote found = note_of(query);
    if (query.step())
        connection_->not_there("note",
                               "the uids of several notes begin with '" + std::string(uid) + "'; give more of its digits");
    return found;
}

HandNote HandNoteRepository::remove(std::string_view uid) {
    Transaction transaction(*connection_);
    HandNote removed = note(uid);
    about_to_change(*connection_, aggregate_of(*connection_, removed.bake));
    Statement(*connection_, "DELETE FROM hand_note WHERE uid = ?1", kRemovingNote).bind(removed.uid).run();
    transaction.commit();
    return removed;
}

std::vector<BakeId> HandNoteRepository::bakes_with(HandNoteKind kind) const {
    Statement query(*connection_, "SELECT DISTINCT bake_id FROM hand_note WHERE kind = ?1 ORDER BY bake_id", kReadingNotes);
    query.bind(word_of(kind));
    std::vector<BakeId> bakes;
    while (query.step()) bakes.push_back(query.id<BakeId>(0));
    return bakes;
}

}  // namespace bakewright::book
