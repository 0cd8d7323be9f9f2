// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/book.hpp"

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <utility>

#include "bakewright/base/error.hpp"
#include "connection.hpp"
#include "copy_book.hpp"
#include "file_check.hpp"
#include "migration.hpp"
#include "statement.hpp"

namespace bakewright::book {
namespace {

bool has_tables(Connection& connection) {
    Statement query(connection, "SELECT EXISTS (SELECT 1 FROM sqlite_schema)", "read the book");
    return query.step() && query.integer(0) != 0;
}

/// Asks SQLite once more: the file may have changed since its header was read, or its header may be in the write-ahead log.
void check_application_id(Connection& connection) {
    const auto id = connection.pragma("application_id");
    if (id == kApplicationId || (id == 0 && connection.mode() == Mode::create && !has_tables(connection))) return;
    connection.not_there("", "is not a book: an SQLite file of another program; it was not changed");
}

void check_version(Connection& connection) {
    const auto version = connection.pragma("user_version");
    const std::string versions = "its schema is version " + std::to_string(version) + ", this program knows version " +
                                 std::to_string(newest_schema_version());
    if (version > newest_schema_version() && connection.mode() != Mode::read_only) {
        throw BookError(connection.file().string() + ": could not open the book for writing: it was made by a newer program: " +
                        versions + "; the book was not changed; it can be opened for reading");
    }
}

/// An older book is read from a copy that is brought up to date; a damaged one that cannot be, as it is.
std::unique_ptr<Connection> up_to_date(std::unique_ptr<Connection> connection, bool salvage) {
    const auto version = connection->pragma("user_version");
    if (version >= newest_schema_version()) return connection;
    std::unique_ptr<Connection> copy;
    try {
        copy = std::make_unique<Connection>(*connection);
        migrate(*copy, schema_migrations());
        copy->close_for_changes();
    } catch (const BookError&) {
        if (!salvage) throw;
        return connection;
    }
    copy->tell("is read from a copy: it was made by an older program (schema version " + std::to_string(version) +
               "); the first command that writes to it brings it up to date");
    return copy;
}

/// The file is there but the connection could only get it for reading.
void check_writable(Connection& connection) {
    if (connection.mode() == Mode::read_only || !connection.file_is_read_only()) return;
    throw BookError(connection.file().string() +
                    ": could not open the book for writing: the file cannot be written; the book was not changed");
}

/// Readers do not wait for a writer in this mode. It is kept in the file; where it cannot be had now (another program has the
/// book open, or the file system has no shared memory) the book works without.
void use_write_ahead_log(Connection& connection) {
    Statement query(connection, "PRAGMA journal_mode", "read the book");
    if (query.step() && query.text(0) == "wal") return;
    query.run();
    try {
        connection.execute("PRAGMA journal_mode = WAL", "set up the book");
    } catch (const BookError&) {
    }
}

/// Others find no book or a whole one. One that another process makes meanwhile is as good.
void make_book(const std::filesystem::path& file, const OpenOptions& options) {
    BookInMaking made(file);
    {
        Connection connection(file, Mode::create, options, made.at());
        migrate(connection, schema_migrations());
        use_write_ahead_log(connection);
    }
    static_cast<void>(made.take_name());
}

void make_default_folder(const std::filesystem::path& file) {
    std::error_code error;
    std::filesystem::create_directories(file.parent_path(), error);
    if (error) {
        throw BookError(file.string() + ": could not make the folder of the book: " + error.message() + "; nothing was changed");
    }
}

bool is_default_path(const std::filesystem::path& file) {
    try {
        return file == default_book_path();
    } catch (const InputError&) {
        return false;
    }
}

std::filesystem::path folder_from(const char* variable) {
    const char* value = std::getenv(variable);
    const std::filesystem::path folder = value == nullptr ? "" : value;
    return folder.is_absolute() ? folder : std::filesystem::path();
}

}  // namespace

std::string utc_now() {
    using namespace std::chrono;
    const auto now = floor<seconds>(system_clock::now());
    const auto day = floor<days>(now);
    const year_month_day date{day};
    const hh_mm_ss time{now - day};
    char text[40];
    std::snprintf(text, sizeof text, "%04d-%02u-%02uT%02d:%02d:%02dZ", static_cast<int>(date.year()),
                  static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()), static_cast<int>(time.hours().count()),
                  static_cast<int>(time.minutes().count()), static_cast<int>(time.seconds().count()));
    return text;
}

bool is_utc_timestamp(std::string_view text) noexcept {
    constexpr std::string_view kPattern = "dddd-dd-ddTdd:dd:ddZ";
    return std::equal(text.begin(), text.end(), kPattern.begin(), kPattern.end(),
                      [](char c, char p) { return p == 'd' ? c >= '0' && c <= '9' : c == p; });
}

std::filesystem::path default_book_path() {
    const auto name = std::filesystem::path("bakewright") / "bakes.book";
    const auto data = folder_from("XDG_DATA_HOME");
    if (!data.empty()) return data / name;
    const auto home = folder_from("HOME");
    if (!home.empty()) return home / ".local" / "share" / name;
    throw InputError(Problem{
        .file = {}, .line = 0, .key = "book", .message = "neither XDG_DATA_HOME nor HOME names a folder; name the book's file"});
}

Book Book::open(const std::filesystem::path& path, Mode mode, OpenOptions options) {
    if (path.empty()) throw InputError(Problem{.file = {}, .line = 0, .key = "book", .message = "the name of the book is empty"});
    const auto file = std::filesystem::absolute(path).lexically_normal();
    if (mode == Mode::create && is_default_path(file)) make_default_folder(file);
    refuse_what_is_no_book(file, mode);
    std::error_code error;
    if (mode == Mode::create && !std::filesystem::exists(file, error)) make_book(file, options);
    const bool is_salvage = options.salvage;
    Book book(std::make_unique<Connection>(file, mode, std::move(options)));
    Connection& connection = book.connection();
    check_application_id(connection);
    check_version(connection);
    check_writable(connection);
    if (mode == Mode::read_only) return Book(up_to_date(std::move(book.connection_), is_salvage));
    migrate(connection, schema_migrations());
    use_write_ahead_log(connection);
    return book;
}

Book::Book(std::unique_ptr<Connection> connection) noexcept : connection_(std::move(connection)) {}
Book::Book(Book&&) noexcept = default;
Book& Book::operator=(Book&&) noexcept = default;
Book::~Book() = default;

const std::vector<std::string>& Book::damage() const noexcept { return connection_->damage(); }
const std::filesystem::path& Book::path() const noexcept { return connection_->file(); }
Mode Book::mode() const noexcept { return connection_->mode(); }
int Book::schema_version() const { return static_cast<int>(connection_->pragma("user_version")); }

}  // namespace bakewright::book
