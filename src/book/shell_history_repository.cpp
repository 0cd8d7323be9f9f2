// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/shell_history_repository.hpp"

#include <algorithm>

#include "bakewright/base/error.hpp"
#include "identity.hpp"
#include "journal.hpp"
#include "rows.hpp"
#include "statement.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kReadingHistory = "read a shell's history";
constexpr std::string_view kEntering = "enter into a shell's history";
constexpr std::string_view kTakingOut = "take something out of a shell's history";

constexpr std::string_view kCoatColumns =
    "SELECT coat_id, shell, name, document_id, applied_at, lies_on, sanded_at, note FROM coat ";

std::vector<std::string> texts_of(Connection& connection, std::string_view sql, auto... keys) {
    Statement query(connection, sql, kReadingHistory);
    query.bind(keys...);
    std::vector<std::string> texts;
    while (query.step()) texts.push_back(query.text(0));
    return texts;
}

/// Position and text below one or two keys.
void insert_texts(Connection& connection, std::string_view sql, const std::vector<std::string>& texts, auto... keys) {
    Statement insert(connection, sql, kEntering);
    for (std::size_t i = 0; i < texts.size(); ++i) insert.bind(keys..., i, std::string_view(texts[i])).run();
}

StoredCoat coat_of(Connection& connection, const Statement& row) {
    StoredCoat coat;
    coat.id = row.id<CoatId>(0);
    coat.shell = row.text(1);
    coat.name = row.text(2);
    coat.coating = row.id<DocumentId>(3);
    coat.applied_at = row.text(4);
    coat.over = row.text(5);
    if (!row.is_null(6)) coat.sanded_at = row.text(6);
    coat.note = row.text(7);
    coat.zones = texts_of(connection, "SELECT zone FROM coat_zone WHERE coat_id = ?1 ORDER BY position", coat.id);
    return coat;
}

bool is_there(Connection& connection, std::string_view sql, auto... keys) {
    Statement query(connection, sql, kReadingHistory);
    return query.bind(keys...).step();
}

[[noreturn]] void refuse_history(std::string key, std::string message) {
    throw InputError(Problem{.file = {}, .line = 0, .key = std::move(key), .message = std::move(message)});
}

void ensure_names(const std::vector<std::string>& names) {
    for (auto name = names.begin(); name != names.end(); ++name)
        ensure(!name->empty() && std::find(names.begin(), name, *name) == name,
               "names in a history are not empty and stand once");
}

}  // namespace

bool is_local_timestamp(std::string_view text) noexcept {
    constexpr std::string_view form = "dddd-dd-ddTdd:dd:dd";
    if (text.size() != form.size()) return false;
    for (std::size_t i = 0; i < form.size(); ++i) {
        const bool digit = text[i] >= '0' && text[i] <= '9';
        if (form[i] == 'd' ? !digit : text[i] != form[i]) return false;
    }
    return true;
}

CoatId ShellHistoryRepository::add_coat(const NewCoat& coat) {
    ensure(!coat.shell.empty() && !coat.name.empty() && !coat.zones.empty(), "a coat has a shell, a name and a zone");
    ensure(is_local_timestamp(coat.applied_at), "a coat was sprayed at a time");
    ensure_names(coat.zones);
    Transaction transaction(*connection_);
    if (!is_there(*connection_, "SELECT 1 FROM document WHERE document_id = ?1", coat.coating))
        refuse_history("coating", "there is no document " + number_text(coat.coating));
    ensure_vehicle(*connection_, coat.shell);
    Statement(*connection_,
              "INSERT INTO coat (shell, name, document_id, applied_at, lies_on, note) VALUES (?1, ?2, ?3, ?4, ?5, ?6)", kEntering)
        .bind(coat.shell, coat.name, coat.coating, coat.applied_at, coat.over, coat.note)
        .run();
    const CoatId id{connection_->last_insert_id()};
    insert_texts(*connection_, "INSERT INTO coat_zone (coat_id, position, zone) VALUES (?1, ?2, ?3)", coat.zones, id);
    was_added(*connection_, aggregate_of(*connection_, id));
    transaction.commit();
    return id;
}

std::vector<StoredCoat> ShellHistoryRepository::coats(std::string_view shell) const {
    Statement query(*connection_, std::string(kCoatColumns) + "WHERE shell = ?1 ORDER BY applied_at, coat_id", kReadingHistory);
    query.bind(shell);
    check_history(*connection_, shell);
    std::vector<StoredCoat> coats;
    while (query.step()) coats.push_back(coat_of(*connection_, query));
    return coats;
}

StoredCoat ShellHistoryRepository::coat(CoatId id) const {
    Statement query(*connection_, std::string(kCoatColumns) + "WHERE coat_id = ?1", kReadingHistory);
    if (!query.bind(id).step()) connection_->not_there("coat", "there is no coat " + number_text(id));
    return coat_of(*connection_, query);
}

void ShellHistoryRepository::set_sanded(CoatId id, std::string_view sanded_at) {
    ensure(is_local_timestamp(sanded_at), "a coat was sanded at a time");
    Transaction transaction(*connection_);
    (void)coat(id);
    about_to_change(*connection_, aggregate_of(*connection_, id));
    Statement(*connection_, "UPDATE coat SET sanded_at = ?2 WHERE coat_id = ?1", kEntering).bind(id, sanded_at).run();
    transaction.commit();
}

void ShellHistoryRepository::remove_coat(CoatId id) {
    Transaction transaction(*connection_);
    const DocumentId document = coat(id).coating;
    about_to_change(*connection_, aggregate_of(*connection_, id));
    about_to_change(*connection_, aggregate_of(*connection_, document));
    Statement(*connection_, "DELETE FROM coat WHERE coat_id = ?1", kTakingOut).bind(id).run();
    Statement(*connection_, std::string(kDeleteUnusedDocument), kTakingOut).bind(document).run();
    transaction.commit();
}

void ShellHistoryRepository::add_bake(const HistoryEntry& entry) {
    ensure(!entry.shell.empty(), "a history has a shell");
    ensure(is_local_timestamp(entry.began_at), "a bake began at a time");
    ensure_names(entry.zones);
    ensure_names(entry.items);
    Transaction transaction(*connection_);
    if (!is_there(*connection_, "SELECT 1 FROM bake WHERE bake_id = ?1", entry.bake))
        connection_->not_there("bake", "there is no bake " + number_text(entry.bake));
    if (is_there(*connection_, "SELECT 1 FROM earlier_reading WHERE bake_id = ?1", entry.bake))
        refuse_history(
            "bake", "bake " + number_text(entry.bake) + " is a reading that was replaced: enter the bake whose reading it was");
    if (is_there(*connection_, "SELECT 1 FROM history_bake WHERE shell = ?1 AND bake_id = ?2", std::string_view(entry.shell),
                 entry.bake))
        refuse_history("bake", "bake " + number_text(entry.bake) + " stands in the history of '" + entry.shell + "' already");
    ensure_vehicle(*connection_, entry.shell);
    Statement(*connection_, "INSERT INTO history_bake (shell, bake_id, began_at) VALUES (?1, ?2, ?3)", kEntering)
        .bind(entry.shell, entry.bake, entry.began_at)
        .run();
    insert_texts(*connection_, "INSERT INTO history_bake_zone (shell, bake_id, position, zone) VALUES (?1, ?2, ?3, ?4)",
                 entry.zones, std::string_view(entry.shell), entry.bake);
    insert_texts(*connection_, "INSERT INTO history_bake_item (shell, bake_id, position, item) VALUES (?1, ?2, ?3, ?4)",
                 entry.items, std::string_view(entry.shell), entry.bake);
    was_added(*connection_, history_entry(*connection_, entry.shell, entry.bake));
    transaction.commit();
}

std::vector<HistoryEntry> ShellHistoryRepository::bakes(std::string_view shell) const {
    Statement query(*connection_, "SELECT bake_id, began_at FROM history_bake WHERE shell = ?1 ORDER BY began_at, bake_id",
                    kReadingHistory);
    query.bind(shell);
    check_history(*connection_, shell);
    std::vector<HistoryEntry> entries;
    while (query.step()) {
        HistoryEntry entry{.shell = std::string(shell), .bake = query.id<BakeId>(0), .began_at = query.text(1)};
        entry.zones =
            texts_of(*connection_, "SELECT zone FROM history_bake_zone WHERE shell = ?1 AND bake_id = ?2 ORDER BY position",
                     shell, entry.bake);
        entry.items =
            texts_of(*connection_, "SELECT item FROM history_bake_item WHERE shell = ?1 AND bake_id = ?2 ORDER BY position",
                     shell, entry.bake);
        entries.push_back(std::move(entry));
    }
    return entries;
}

void ShellHistoryRepository::remove_bake(std::string_view shell, BakeId bake) {
    Transaction transaction(*connection_);
    if (!is_there(*connection_, "SELECT 1 FROM history_bake WHERE shell = ?1 AND bake_id = ?2", shell, bake))
        refuse_history("bake", "bake " + number_text(bake) + " does not stand in the history of '" + std::string(shell) + "'");
    about_to_change(*connection_, history_entry(*connection_, shell, bake));
    Statement(*connection_, "DELETE FROM history_bake WHERE shell = ?1 AND bake_id = ?2", kTakingOut).bind(shell, bake).run();
    transaction.commit();
}

std::vector<std::string> ShellHistoryRepository::shells() const {
    return texts_of(*connection_, "SELECT shell FROM coat UNION SELECT shell FROM history_bake ORDER BY 1");
}

std::vector<std::string> ShellHistoryRepository::shells_with(BakeId bake) const {
    return texts_of(*connection_, "SELECT shell FROM history_bake WHERE bake_id = ?1 ORDER BY shell", bake);
}

}  // namespace bakewright::book
