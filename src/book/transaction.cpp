// SPDX-License-Identifier: Apache-2.0
#include <sqlite3.h>

#include <string>

#include "bakewright/base/error.hpp"
#include "bakewright/book/book.hpp"
#include "connection.hpp"
#include "journal.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kChangingBook = "change the book";

std::string savepoint(std::string_view verb, int depth) { return std::string(verb) + " bakewright_" + std::to_string(depth); }

void refuse_lost(const Connection& connection) {
    throw BookError(connection.file().string() + ": could not " + std::string(kChangingBook) +
                    ": an earlier failure has already taken the whole transaction back; what was stored before it stands");
}

}  // namespace

Transaction::Transaction(Book& book) : Transaction(book.connection()) {}

Transaction::Transaction(Connection& connection) : connection_(&connection), depth_(connection.scope_depth) {
    if (connection.mode() == Mode::read_only) {
        throw BookError(connection.file().string() + ": could not " + std::string(kChangingBook) +
                        ": it was opened for reading only; the book was not changed");
    }
    if (depth_ > 0 && !connection.in_transaction()) refuse_lost(connection);
    connection.execute(depth_ == 0 ? "BEGIN IMMEDIATE" : savepoint("SAVEPOINT", depth_).c_str(), kChangingBook);
    ++connection.scope_depth;
}

Transaction::~Transaction() {
    if (!open_) return;
    connection_->scope_depth = depth_;
    if (depth_ == 0) connection_->touched.clear();
    if (!connection_->in_transaction()) return;
    const std::string sql = depth_ == 0 ? "ROLLBACK" : savepoint("ROLLBACK TO", depth_) + ";" + savepoint("RELEASE", depth_);
    sqlite3_exec(connection_->handle(), sql.c_str(), nullptr, nullptr, nullptr);
}

void Transaction::commit() {
    ensure(open_ && connection_->scope_depth == depth_ + 1, "a transaction is committed once, after those inside it");
    if (!connection_->in_transaction()) refuse_lost(*connection_);
    if (depth_ == 0) take_down_changes(*connection_);
    connection_->execute(depth_ == 0 ? "COMMIT" : savepoint("RELEASE", depth_).c_str(), kChangingBook);
    connection_->scope_depth = depth_;
    open_ = false;
}

}  // namespace bakewright::book
