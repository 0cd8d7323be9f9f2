// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace bakewright::book {

class Connection;

/// How a book is opened.
enum class Mode {
    /// The file must be there; every change is refused. Works where writing does not: an older schema, a folder that cannot be
    /// written or a full disk is no hindrance, a copy in memory (that SQLite spills to a temporary file) answers where it must.
    read_only,
    read_write,  ///< the file must be there; an older schema is brought up to date
    create       ///< like read_write; where there is no file, or an empty one, a new book is made
};

/// Tells the time as is_utc_timestamp() wants it.
using Clock = std::function<std::string()>;

/// The computer's clock: "2026-03-07T14:05:09Z".
[[nodiscard]] std::string utc_now();
/// True for exactly "YYYY-MM-DDThh:mm:ssZ": the one form that sorts as text.
[[nodiscard]] bool is_utc_timestamp(std::string_view text) noexcept;

struct OpenOptions {
    int busy_timeout_ms = 5000;  ///< >= 0; how long to wait for another program that writes. Common practice.
    Clock clock = utc_now;       ///< stamps what the caller does not stamp
    /// Told what a reader of the answers should know, once each: rows that are not those the program stored (journal.hpp), and
    /// that the book is read from a copy because it cannot be brought up to date, or opened, where it is.
    std::function<void(const std::string& what)> on_notice{};
    /// Only with Mode::read_only: a file that is shorter than it says is opened all the same, and what lies in the part that is
    /// left can be read. Every call may then throw BookError.
    bool salvage = false;
};

/// $XDG_DATA_HOME/bakewright/bakes.book, or ~/.local/share/bakewright/bakes.book where that variable is unset or not absolute.
/// Source: XDG Base Directory Specification 0.8. @throws InputError where HOME is unset too.
[[nodiscard]] std::filesystem::path default_book_path();

/// One SQLite file with bakes, their traces, the documents they were computed from and the probe files they were read from.
/// The repositories (document_, bake_, trace_, raw_file_repository.hpp) do the work; the schema stands in docs/book.md.
/// A Book and its repositories belong to one thread at a time; several threads or programs each open their own.
class Book {
public:
    /// Opens the file; Mode::create makes missing folders of default_book_path(), never of another path.
    /// @throws InputError where the file is missing, a folder, not an SQLite file, or another program's: the user named a wrong
    /// one
    /// @throws BookError  where it is damaged, of a newer schema (Mode::read_only opens it), or where file, folder or disk
    /// refuse.
    ///                    It says what was tried and what stands.
    [[nodiscard]] static Book open(const std::filesystem::path& path, Mode mode, OpenOptions options = {});

    Book(Book&&) noexcept;
    Book& operator=(Book&&) noexcept;
    ~Book();

    [[nodiscard]] const std::filesystem::path& path() const noexcept;
    [[nodiscard]] Mode mode() const noexcept;
    /// Version of the schema the file has now.
    [[nodiscard]] int schema_version() const;
    /// What was read so far and has other rows than the program stored, a sentence each.
    [[nodiscard]] const std::vector<std::string>& damage() const noexcept;
    /// For the repositories; opaque outside this area.
    [[nodiscard]] Connection& connection() const noexcept { return *connection_; }

private:
    explicit Book(std::unique_ptr<Connection> connection) noexcept;
    std::unique_ptr<Connection> connection_;
};

/// Newest schema this program knows.
[[nodiscard]] int newest_schema_version() noexcept;

/// One change of the book, whole or not at all: without commit() the destructor takes everything back. Repository calls inside
/// become part of it; alone, each is a transaction of its own. The outermost one holds the book's only write lock from its
/// start, so that "look whether it is there, then add it" is safe against other programs. Transactions may be nested and end
/// in reverse order. Keep one short: others wait.
class Transaction {
public:
    /// @throws BookError where the book is read-only, or another program keeps the lock longer than busy_timeout_ms
    explicit Transaction(Book& book);
    explicit Transaction(Connection& connection);
    ~Transaction();
    Transaction(const Transaction&) = delete;
    Transaction& operator=(const Transaction&) = delete;

    /// @throws BookError where the disk refuses; nothing of the transaction is kept then
    void commit();

private:
    Connection* connection_;
    int depth_;
    bool open_ = true;
};

}  // namespace bakewright::book
