// SPDX-License-Identifier: Apache-2.0
#include "migration.hpp"

#include <optional>
#include <string>

#include "bakewright/base/error.hpp"
#include "statement.hpp"

namespace bakewright::book {
namespace {

std::string tried_of(const Migration& migration) {
    return migration.version == 1 ? "make a new book" : "bring the book to schema version " + std::to_string(migration.version);
}

void refuse_dangling_references(Connection& connection, const Migration& migration) {
    Statement check(connection, "PRAGMA foreign_key_check", tried_of(migration));
    if (!check.step()) return;
    throw BookError(connection.file().string() + ": could not " + tried_of(migration) + ": table " + check.text(0) +
                    " would refer to rows that are not there; the book stands as it was");
}

void apply(Connection& connection, const Migration& migration) {
    Transaction transaction(connection);
    // Another program may have been faster while this one waited for the lock.
    if (connection.pragma("user_version") >= migration.version) return;
    connection.execute(std::string(migration.sql).c_str(), tried_of(migration));
    if (migration.after != nullptr) migration.after(connection);
    const std::string marks = "PRAGMA application_id = " + std::to_string(kApplicationId) +
                              "; PRAGMA user_version = " + std::to_string(migration.version);
    connection.execute(marks.c_str(), tried_of(migration));
    refuse_dangling_references(connection, migration);
    transaction.commit();
}

/// Tables are rebuilt without their references acting; SQLite changes this switch outside of transactions only.
class ForeignKeysOff {
public:
    explicit ForeignKeysOff(Connection& connection) : connection_(connection) {
        connection_.execute("PRAGMA foreign_keys = OFF", "prepare the book");
    }
    ~ForeignKeysOff() {
        try {
            connection_.execute("PRAGMA foreign_keys = ON", "prepare the book");
        } catch (const BookError&) {  // a connection that cannot even do this fails at its next use
        }
    }
    ForeignKeysOff(const ForeignKeysOff&) = delete;
    ForeignKeysOff& operator=(const ForeignKeysOff&) = delete;

private:
    Connection& connection_;
};

}  // namespace

void migrate(Connection& connection, std::span<const Migration> migrations) {
    if (connection.pragma("user_version") >= migrations.back().version) return;
    const ForeignKeysOff guard(connection);
    std::optional<Transaction> making;
    if (connection.pragma("user_version") == 0) making.emplace(connection);
    for (const Migration& migration : migrations) apply(connection, migration);
    if (making) making->commit();
}

}  // namespace bakewright::book
