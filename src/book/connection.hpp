// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "aggregate.hpp"
#include "bakewright/book/book.hpp"

struct sqlite3;

namespace bakewright::book {

/// One open database handle and what is needed to speak of it in errors. Does not move: statements point at it.
class Connection {
public:
    /// Opens the file, sets the connection up and reads a first page, without judging what is in it. A book in a folder that
    /// cannot be written is opened for reading as it stands: SQLite wants to make a helper file beside it even to read it, and
    /// where it cannot, nobody else is writing either.
    /// @param at  where the file stands while it is made; as it is called where empty
    /// @throws BookError
    Connection(std::filesystem::path file, Mode mode, OpenOptions options, const std::filesystem::path& at = {});
    /// A copy of another one's book, in memory and, where it is large, in a temporary file of SQLite's own. It can be changed
    /// until close_for_changes(). @throws BookError
    explicit Connection(Connection& other);
    ~Connection() = default;
    Connection(const Connection&) = delete;
    Connection& operator=(const Connection&) = delete;

    [[nodiscard]] sqlite3* handle() const noexcept { return handle_.get(); }
    [[nodiscard]] const std::filesystem::path& file() const noexcept { return file_; }
    [[nodiscard]] Mode mode() const noexcept { return mode_; }
    [[nodiscard]] std::string now() const { return options_.clock(); }

    /// Runs SQL without values or results, also several statements.
    void execute(const char* sql, std::string_view tried);
    [[nodiscard]] std::int64_t pragma(const char* name);
    [[nodiscard]] std::int64_t last_insert_id() const noexcept;
    [[nodiscard]] std::size_t changed_rows() const noexcept;
    /// True inside a transaction. SQLite itself ends one after some failures, such as a full disk.
    [[nodiscard]] bool in_transaction() const noexcept;
    /// True where the system gave the file for reading although more was asked for.
    [[nodiscard]] bool file_is_read_only() const noexcept;
    /// How many Transaction and ReadScope objects are open.
    int scope_depth = 0;
    /// What the open transaction changed: the journal takes it down when the outermost one commits.
    std::set<Aggregate> touched;
    /// Tells, once, what was read and is damaged.
    void tell_damage(const std::string& what);
    [[nodiscard]] const std::vector<std::string>& damage() const noexcept { return damage_; }
    void tell(const std::string& notice) const;
    /// From here on every change is refused.
    void close_for_changes() noexcept { mode_ = Mode::read_only; }

    /// @throws BookError from SQLite's last failure: file, what was tried, why, what stands.
    [[noreturn]] void fail(std::string_view tried, int code) const;
    /// @throws BookError for stored data that contradicts itself.
    [[noreturn]] void damaged(std::string_view what) const;
    /// @throws InputError for something the user asked for that is not in the book.
    [[noreturn]] void not_there(std::string_view key, std::string_view message) const;

private:
    struct Close {
        void operator()(sqlite3* handle) const noexcept;
    };
    void open(const std::string& name, int flags);
    void configure();
    void open_where_it_cannot_be_written();

    std::filesystem::path file_;
    Mode mode_;
    OpenOptions options_;
    std::vector<std::string> damage_;
    std::unique_ptr<sqlite3, Close> handle_;
};

/// Lets several reads see one state of the book although another program writes meanwhile.
class ReadScope {
public:
    explicit ReadScope(Connection& connection);
    ~ReadScope();
    ReadScope(const ReadScope&) = delete;
    ReadScope& operator=(const ReadScope&) = delete;

private:
    Connection* connection_;
    bool outermost_;
};

}  // namespace bakewright::book
