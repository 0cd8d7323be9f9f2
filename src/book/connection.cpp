// SPDX-License-Identifier: Apache-2.0
#include "connection.hpp"

#include <sqlite3.h>

#include <algorithm>
#include <cstdlib>
#include <cstring>
#include <utility>

#include "bakewright/base/error.hpp"
#include "statement.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kOpening = "open the book";

std::string reason_of(int code) {
    switch (code & 0xff) {
        case SQLITE_FULL:
            return "the disk is full";
        case SQLITE_READONLY:
            return "the file or its folder cannot be written";
        case SQLITE_BUSY:
        case SQLITE_LOCKED:
            return "another program is writing to the book and did not finish in time";
        case SQLITE_CORRUPT:
        case SQLITE_NOTADB:
            return "the file is damaged";
        case SQLITE_CANTOPEN:
            return "the file could not be opened, or its folder cannot be written";
        case SQLITE_IOERR:
            return "the disk failed to read or write";
        case SQLITE_TOOBIG:
            return "it is larger than a book can hold in one piece (1 GB)";
        case SQLITE_NOMEM:
            return "there is not enough memory";
        default:
            return "SQLite refused";
    }
}

std::string reason_of_system(sqlite3* handle) {
    const int number = handle == nullptr ? 0 : sqlite3_system_errno(handle);
    return number == 0 ? std::string() : std::string("; ") + std::strerror(number);
}

/// SQLite reads a URI, in which these have a meaning of their own.
std::string uri_of(const std::filesystem::path& file) {
    std::string uri = "file://";
    for (const char c : file.string()) {
        if (c == '%' || c == '?' || c == '#') {
            constexpr std::string_view kDigits = "0123456789ABCDEF";
            uri += {'%', kDigits[static_cast<unsigned char>(c) >> 4U], kDigits[static_cast<unsigned char>(c) & 15U]};
        } else {
            uri += c;
        }
    }
    return uri + "?immutable=1";
}

int flags_of(Mode mode) {
    switch (mode) {
        case Mode::read_only:
            return SQLITE_OPEN_READONLY;
        case Mode::read_write:
            return SQLITE_OPEN_READWRITE;
        case Mode::create:
            return SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE;
    }
    return SQLITE_OPEN_READONLY;
}

/// After a failure to open for reading: it was the helper file beside the book that could not be made.
bool lacks_helper_file(sqlite3* handle) noexcept {
    const int code = sqlite3_errcode(handle) & 0xff;
    return code == SQLITE_CANTOPEN || code == SQLITE_READONLY || code == SQLITE_IOERR || code == SQLITE_FULL;
}

void copy_into(sqlite3* copy, Connection& from) {
    sqlite3_backup* backup = sqlite3_backup_init(copy, "main", from.handle(), "main");
    if (backup == nullptr) from.fail(kOpening, sqlite3_errcode(copy));
    sqlite3_backup_step(backup, -1);
    const int code = sqlite3_backup_finish(backup);
    if (code != SQLITE_OK) from.fail(kOpening, code);
}

/// A book and its write-ahead log in a temporary folder, in memory where there is a file system in it; both go with the object.
class CopyOfBoth {
public:
    CopyOfBoth(const std::filesystem::path& book, const std::filesystem::path& log) {
        for (const std::filesystem::path& root : {std::filesystem::path("/dev/shm"), std::filesystem::temp_directory_path()}) {
            std::string name = (root / "bakewright-XXXXXX").string();
            if (mkdtemp(name.data()) == nullptr) continue;
            folder_ = name;
            std::error_code error;
            std::filesystem::copy_file(book, file(), error);
            if (!error) std::filesystem::copy_file(log, file().string() + "-wal", error);
            if (!error)
                std::filesystem::permissions(file(), std::filesystem::perms::owner_write, std::filesystem::perm_options::add,
                                             error);
            if (!error)
                std::filesystem::permissions(file().string() + "-wal", std::filesystem::perms::owner_write,
                                             std::filesystem::perm_options::add, error);
            if (!error) return;
            remove();
        }
        throw BookError(book.string() + ": could not open the book: its folder cannot be written, " + log.string() +
                        " holds changes that the file alone lacks, and there is no room for a copy; the book was not changed");
    }
    ~CopyOfBoth() { remove(); }
    CopyOfBoth(const CopyOfBoth&) = delete;
    CopyOfBoth& operator=(const CopyOfBoth&) = delete;
    [[nodiscard]] std::filesystem::path file() const { return folder_ / "book"; }

private:
    void remove() const noexcept {
        std::error_code ignored;
        std::filesystem::remove_all(folder_, ignored);
    }
    std::filesystem::path folder_;
};

}  // namespace

Connection::Connection(std::filesystem::path file, Mode mode, OpenOptions options, const std::filesystem::path& at)
    : file_(std::move(file)), mode_(mode), options_(std::move(options)) {
    open((at.empty() ? file_ : at).string(), flags_of(mode));
    try {
        configure();
    } catch (const BookError&) {
        if (mode_ != Mode::read_only || !lacks_helper_file(handle())) throw;
        open_where_it_cannot_be_written();
    }
}

Connection::Connection(Connection& other) : file_(other.file_), mode_(Mode::read_write), options_(other.options_) {
    open("", SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE);
    copy_into(handle(), other);
    configure();
    // Held in memory up to this size; SQLite keeps the rest in a temporary file without a name.
    execute("PRAGMA cache_size = -131072", kOpening);
}

void Connection::open_where_it_cannot_be_written() {
    const auto log = file_.string() + "-wal";
    std::error_code error;
    const auto size = std::filesystem::file_size(log, error);
    if (error || size == 0) {
        open(uri_of(file_), SQLITE_OPEN_READONLY | SQLITE_OPEN_URI);
        return configure();
    }
    // The log holds changes that the file lacks: both are copied to where SQLite can put them together.
    const CopyOfBoth both(file_, log);
    Connection aside(file_, Mode::read_write, {}, both.file());
    open("", SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE);
    copy_into(handle(), aside);
    configure();
    close_for_changes();
    tell("is read from a copy: its folder or its disk cannot be written, and " + log +
         " holds changes that the file alone lacks; "
         "nothing was changed");
}

void Connection::Close::operator()(sqlite3* handle) const noexcept { sqlite3_close(handle); }

void Connection::open(const std::string& name, int flags) {
    sqlite3* handle = nullptr;
    const int code = sqlite3_open_v2(name.c_str(), &handle, flags | SQLITE_OPEN_EXRESCODE, nullptr);
    handle_.reset(handle);
    if (code != SQLITE_OK) fail(kOpening, code);
}

void Connection::configure() {
    sqlite3_busy_timeout(handle(), options_.busy_timeout_ms);
    // A book may come from anywhere: what SQLite advises for files one does not trust (sqlite.org/security.html).
    // Only with a schema that counts as writable, which it is not here, does SQLite open a file that was cut off.
    const bool salvage = options_.salvage && mode_ == Mode::read_only;
    sqlite3_db_config(handle(), SQLITE_DBCONFIG_DEFENSIVE, salvage ? 0 : 1, nullptr);
    if (salvage) sqlite3_db_config(handle(), SQLITE_DBCONFIG_WRITABLE_SCHEMA, 1, nullptr);
    sqlite3_db_config(handle(), SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
    // Blocks of samples and pieces of files are 10 to 500 kB: pages of 8 KiB suit such values better than the usual 4 KiB
    // (sqlite.org/intern-v-extern-blob.html). Only a book that is made now gets them.
    if (mode_ == Mode::create) execute("PRAGMA page_size = 8192", kOpening);
    execute("PRAGMA foreign_keys = ON; PRAGMA cell_size_check = ON; PRAGMA synchronous = FULL; PRAGMA schema_version", kOpening);
}

void Connection::execute(const char* sql, std::string_view tried) {
    const int code = sqlite3_exec(handle(), sql, nullptr, nullptr, nullptr);
    if (code != SQLITE_OK) fail(tried, code);
}

std::int64_t Connection::pragma(const char* name) {
    Statement query(*this, std::string("PRAGMA ") + name, "read the book");
    return query.step() ? query.integer(0) : 0;
}

std::int64_t Connection::last_insert_id() const noexcept { return sqlite3_last_insert_rowid(handle()); }
std::size_t Connection::changed_rows() const noexcept { return static_cast<std::size_t>(sqlite3_changes(handle())); }
bool Connection::in_transaction() const noexcept { return sqlite3_get_autocommit(handle()) == 0; }
bool Connection::file_is_read_only() const noexcept { return sqlite3_db_readonly(handle(), "main") == 1; }

void Connection::fail(std::string_view tried, int code) const {
    std::string text = file_.string() + ": could not " + std::string(tried) + ": " + reason_of(code);
    text += std::string(" (") + (handle_ == nullptr ? sqlite3_errstr(code) : sqlite3_errmsg(handle())) +
            reason_of_system(handle()) + ")";
    text += mode_ == Mode::read_only ? "; the book was not changed"
                                     : "; nothing of this step was kept, what was stored before it stands";
    throw BookError(text);
}

void Connection::damaged(std::string_view what) const {
    throw BookError(file_.string() + ": could not read the book: it is damaged: " + std::string(what) +
                    "; the book was not changed, its undamaged parts can still be read");
}

void Connection::tell_damage(const std::string& what) {
    if (std::find(damage_.begin(), damage_.end(), what) != damage_.end()) return;
    damage_.push_back(what);
    tell("is damaged: " + what +
         "; `bakewright book verify` tells more, `bakewright book export --all --salvage --out FOLDER` writes "
         "what is whole");
}

void Connection::tell(const std::string& notice) const {
    if (options_.on_notice) options_.on_notice(file_.string() + ": " + notice);
}

void Connection::not_there(std::string_view key, std::string_view message) const {
    throw InputError(Problem{.file = file_.string(), .line = 0, .key = std::string(key), .message = std::string(message)});
}

ReadScope::ReadScope(Connection& connection) : connection_(&connection), outermost_(connection.scope_depth == 0) {
    if (outermost_) connection.execute("BEGIN", "read the book");
    ++connection.scope_depth;
}

ReadScope::~ReadScope() {
    --connection_->scope_depth;
    if (outermost_ && connection_->in_transaction()) sqlite3_exec(connection_->handle(), "ROLLBACK", nullptr, nullptr, nullptr);
}

}  // namespace bakewright::book
