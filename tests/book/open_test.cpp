// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>
#include <fcntl.h>
#include <sqlite3.h>
#include <sys/file.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <csignal>
#include <fstream>
#include <optional>
#include <thread>
#include <utility>
#include <vector>

#include "as_nobody.hpp"
#include "bakewright/book/backup.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/book/verify.hpp"
#include "connection.hpp"
#include "shop.hpp"

using namespace bakewright;
using namespace bakewright::book;
using namespace bakewright::book::testing;
using namespace std::string_literals;

namespace {

void run_sql(const std::filesystem::path& file, const char* sql) {
    sqlite3* handle = nullptr;
    REQUIRE(sqlite3_open(file.c_str(), &handle) == SQLITE_OK);
    CHECK(sqlite3_exec(handle, sql, nullptr, nullptr, nullptr) == SQLITE_OK);
    sqlite3_close(handle);
}

std::string refusal(const std::filesystem::path& file, Mode mode) {
    return message_of<InputError>([&] { static_cast<void>(Book::open(file, mode)); });
}

std::string failure(const std::filesystem::path& file, Mode mode) {
    return message_of<BookError>([&] { static_cast<void>(Book::open(file, mode)); });
}

std::ptrdiff_t unfinished_in(const Folder& folder) {
    const std::filesystem::directory_iterator all(folder.file().parent_path());
    return std::count_if(begin(all), end(all), [](const auto& entry) { return entry.path().extension() == ".new"; });
}

bool is_sound_again(const std::filesystem::path& file) {
    Book book = open_to_read(file);
    return verify(book).sound() && BakeRepository(book).count() == 1;
}

constexpr Mode kModes[] = {Mode::read_only, Mode::read_write, Mode::create};

/// Sets an environment variable for a while.
class Variable {
public:
    Variable(const char* name, const char* value) : name_(name) {
        if (const char* before = std::getenv(name)) before_ = before;
        set(value);
    }
    ~Variable() { set(before_ ? before_->c_str() : nullptr); }
    Variable(const Variable&) = delete;
    Variable& operator=(const Variable&) = delete;

private:
    void set(const char* value) { value == nullptr ? unsetenv(name_) : setenv(name_, value, 1); }
    const char* name_;
    std::optional<std::string> before_;
};

}  // namespace

TEST_CASE("a new book has its marks, its schema and the write-ahead log, and leaves one file when closed") {
    const Folder folder;
    {
        Book book = open_new(folder.file());
        CHECK(book.path() == folder.file());
        CHECK(book.mode() == Mode::create);
        CHECK(book.schema_version() == newest_schema_version());
        CHECK(book.connection().pragma("application_id") == 0x42616b65);
        CHECK(book.connection().pragma("foreign_keys") == 1);
        CHECK(std::filesystem::exists(folder.file("bakes.book-wal")));
    }
    CHECK_FALSE(std::filesystem::exists(folder.file("bakes.book-wal")));
    const std::string header = read_file(folder.file()).substr(0, 100);
    CHECK(header.substr(68, 4) == "Bake");
    CHECK(header[18] == 2);  // write-ahead log, as sqlite.org/fileformat2.html section 1.3.3 says
}

TEST_CASE("while a book is made nobody meets it half made, and one book comes of it") {
    for (int round = 0; round < 10; ++round) {
        const Folder folder;
        std::atomic<bool> made{false};
        std::atomic<int> met{0}, half{0};
        std::thread reader([&] {
            while (!made || met == 0) {
                if (!std::filesystem::exists(folder.file())) continue;
                ++met;
                try {
                    if (Book::open(folder.file(), Mode::read_only).schema_version() != newest_schema_version()) ++half;
                } catch (const std::exception&) {
                    ++half;
                }
            }
        });
        std::vector<std::thread> makers;
        for (int i = 0; i < 3; ++i)
            makers.emplace_back([&] { CHECK_NOTHROW(static_cast<void>(Book::open(folder.file(), Mode::create))); });
        for (std::thread& maker : makers) maker.join();
        made = true;
        reader.join();
        CHECK(half == 0);
        CHECK(Book::open(folder.file(), Mode::read_only).schema_version() == newest_schema_version());
        CHECK(unfinished_in(folder) == 0);
    }
}

TEST_CASE("a book that cannot be made leaves nothing behind") {
    const Folder folder;
    const auto in_the_way = folder.file("bakes.book." + std::to_string(::getpid()) + ".new");
    std::ofstream(in_the_way) << "not ours";
    const int held = ::open(in_the_way.c_str(), O_RDONLY | O_CLOEXEC);
    REQUIRE(::flock(held, LOCK_EX) == 0);
    CHECK(failure(folder.file(), Mode::create).find("could not make a new book") != std::string::npos);
    CHECK(read_file(in_the_way) == "not ours");
    CHECK_FALSE(std::filesystem::exists(folder.file()));
    ::close(held);
    // Nobody holds it any more: what a killed process left is swept.
    CHECK_NOTHROW(static_cast<void>(Book::open(folder.file(), Mode::create)));
    CHECK(unfinished_in(folder) == 0);
}

TEST_CASE("a book moves") {
    const Folder folder;
    Book book = open_new(folder.file());
    BakeRepository bakes(book);
    Book moved = std::move(book);
    CHECK(bakes.add({.title = "x"}) == BakeId{1});
    Book other = open_new(folder.file("other.book"));
    other = std::move(moved);
    CHECK(other.path() == folder.file());
    CHECK(BakeRepository(other).count() == 1);
}

TEST_CASE("a book is found under names with spaces, quotes, question marks and letters of any script") {
    const Folder folder;
    const auto file = folder.file("Backbuch 'Lärche' 100% ?mode=memory#1 烤漆 \xF0\x9F\x9A\x90.book");
    {
        Book book = open_new(file);
        add_prediction(book);
    }
    CHECK(std::filesystem::exists(file));
    Book book = open_to_read(file);
    CHECK(BakeRepository(book).count() == 1);
    Book named_memory = open_new(folder.file(":memory:"));
    CHECK(std::filesystem::exists(folder.file(":memory:")));
}

TEST_CASE("a missing book is refused unless one is to be made") {
    const Folder folder;
    CHECK(contains(refusal(folder.file(), Mode::read_only), "there is no book here"));
    CHECK(contains(refusal(folder.file(), Mode::read_write), "there is no book here"));
    CHECK(contains(refusal("", Mode::create), "empty"));
    CHECK(std::filesystem::is_empty(folder.path()));
}

TEST_CASE("a folder, a device, a text file and a cut-off file are no books") {
    const Folder folder;
    write_file(folder.file("van.csv"), kLogText);
    write_file(folder.file("cut.book"), "SQLite format 3\0rest"s);
    for (const Mode mode : kModes) {
        CHECK(contains(refusal(folder.path(), mode), "is a folder"));
        CHECK(contains(refusal("/dev/null", mode), "not an ordinary file"));
        CHECK(contains(refusal(folder.file("van.csv"), mode), "not an SQLite file"));
        CHECK(contains(refusal(folder.file("van.csv"), mode), folder.file("van.csv").string()));
        CHECK(contains(refusal(folder.file("cut.book"), mode), "cut off"));
    }
    CHECK(read_file(folder.file("van.csv")) == kLogText);
}

TEST_CASE("an empty file and an SQLite file without tables become a book only where one is to be made") {
    const Folder folder;
    for (const bool empty : {true, false}) {
        const auto file = folder.file(empty ? "empty.book" : "bare.book");
        if (empty) write_file(file, "");
        if (!empty) run_sql(file, "PRAGMA user_version = 0; VACUUM");
        CHECK_FALSE(refusal(file, Mode::read_only).empty());
        CHECK_FALSE(refusal(file, Mode::read_write).empty());
        Book book = open_new(file);
        CHECK(BakeRepository(book).add({.title = "x"}) == BakeId{1});
    }
}

TEST_CASE("another program's SQLite file is refused and stays as it is, to the byte") {
    const Folder folder;
    run_sql(folder.file("plain.db"), "CREATE TABLE customer (name TEXT)");
    run_sql(folder.file("marked.db"), "PRAGMA application_id = 1234; CREATE TABLE customer (name TEXT)");
    run_sql(folder.file("bare.db"), "PRAGMA application_id = 1234; VACUUM");
    run_sql(folder.file("wal.db"), "PRAGMA journal_mode = WAL; CREATE TABLE customer (name TEXT)");
    for (const char* name : {"plain.db", "marked.db", "bare.db", "wal.db"}) {
        CAPTURE(name);
        const std::string before = read_file(folder.file(name));
        for (const Mode mode : kModes) {
            CHECK(contains(refusal(folder.file(name), mode), "another program"));
            CHECK(contains(refusal(folder.file(name), mode), "it was not changed"));
        }
        CHECK(read_file(folder.file(name)) == before);
    }
    CHECK(std::distance(std::filesystem::directory_iterator(folder.path()), {}) == 4);
}

TEST_CASE("another program's tables that are still in its write-ahead log are seen") {
    const Folder folder;
    sqlite3* handle = nullptr;
    REQUIRE(sqlite3_open(folder.file().c_str(), &handle) == SQLITE_OK);
    sqlite3_exec(handle, "PRAGMA journal_mode = WAL; PRAGMA wal_autocheckpoint = 0; CREATE TABLE customer (name TEXT)", nullptr,
                 nullptr, nullptr);
    CHECK(contains(refusal(folder.file(), Mode::create), "another program"));
    sqlite3_close(handle);
}

TEST_CASE("a book of a newer program is read but not written") {
    const Folder folder;
    {
        Book book = open_new(folder.file());
        add_prediction(book);
    }
    run_sql(folder.file(), "PRAGMA user_version = 999");
    for (const Mode mode : {Mode::read_write, Mode::create}) {
        const std::string text = failure(folder.file(), mode);
        CHECK(contains(text, folder.file().string()));
        CHECK(contains(text, "made by a newer program"));
        CHECK(contains(text, "version 999"));
        CHECK(contains(text, "the book was not changed"));
    }
    Book book = open_to_read(folder.file());
    CHECK(BakeRepository(book).count() == 1);
    CHECK(book.schema_version() == 999);
}

TEST_CASE("a book of an older schema is read as it stands, from a copy brought up to date, and is told to be") {
    for (const std::string version : {"1", "2"}) {
        const Folder folder;
        std::filesystem::copy_file(BAKEWRIGHT_BOOK_TEST_DATA "/version" + version + ".sqlite", folder.file());
        chmod(folder.file().c_str(), 0444);
        chmod(folder.path().c_str(), 0555);
        const std::string before = read_file(folder.file());
        const int status = as_nobody([&] {
            std::vector<std::string> told;
            Book book = Book::open(folder.file(), Mode::read_only,
                                   {.on_notice = [&](const std::string& notice) { told.push_back(notice); }});
            if (book.schema_version() != newest_schema_version()) return 1;
            if (BakeRepository(book).list().size() != 2 || TraceRepository(book).load(BakeId{1}).traces.size() != 3) return 2;
            if (!verify(book).sound()) return 3;
            if (told.size() != 1 || !contains(told[0], "schema version " + version)) return 4;
            if (!contains(message_of<BookError>([&] { add_prediction(book); }), "opened for reading only")) return 5;
            const std::filesystem::path copy = temporary_root() / ("bakewright-copy-" + std::to_string(getpid()) + ".book");
            back_up(book, copy);
            const bool is_whole = [&] {
                Book again = open_to_read(copy);
                return verify(again).sound();
            }();
            std::filesystem::remove(copy);
            return is_whole ? 0 : 6;
        });
        chmod(folder.path().c_str(), 0755);
        CHECK(status == 0);
        CHECK(read_file(folder.file()) == before);
        CHECK(std::distance(std::filesystem::directory_iterator(folder.path()), {}) == 1);
    }
}

TEST_CASE("a book whose write-ahead log was left behind is read where nothing can be written") {
    const Folder made, folder;
    {
        Book book = open_new(made.file());
        add_prediction(book);
        for (const char* ending : {"", "-wal"})
            std::filesystem::copy_file(made.file().string() + ending, folder.file().string() + ending);
    }
    REQUIRE(std::filesystem::file_size(folder.file("bakes.book-wal")) > 0);
    chmod(folder.file().c_str(), 0444);
    chmod(folder.file("bakes.book-wal").c_str(), 0444);
    chmod(folder.path().c_str(), 0555);
    const int status = as_nobody([&] {
        std::string told;
        Book book = Book::open(folder.file(), Mode::read_only, {.on_notice = [&](const std::string& notice) { told += notice; }});
        if (BakeRepository(book).count() != 1 || !verify(book).sound()) return 1;
        return contains(told, "is read from a copy") ? 0 : 2;
    });
    chmod(folder.path().c_str(), 0755);
    CHECK(status == 0);
    CHECK(std::distance(std::filesystem::directory_iterator(folder.path()), {}) == 2);
}

TEST_CASE("on a full disk a book is read, and a change says why it cannot be") {
    const Folder folder;
    {
        Book book = open_new(folder.file());
        add_prediction(book);
    }
    const int status = in_child([&] {
        // No file can grow: what a full disk is to a program.
        const rlimit none{0, 0};
        signal(SIGXFSZ, SIG_IGN);
        if (setrlimit(RLIMIT_FSIZE, &none) != 0) return 9;
        Book book = open_to_read(folder.file());
        if (TraceRepository(book).load(BakeId{1}).traces.size() != 3) return 1;
        if (!verify(book).sound()) return 2;
        const std::string refused = message_of<BookError>([&] {
            Book writing = open_again(folder.file());
            add_prediction(writing);
        });
        return contains(refused, "could not") ? 0 : 3;
    });
    CHECK(status == 0);
    CHECK(is_sound_again(folder.file()));
}

TEST_CASE("a book opened for reading refuses every change and says so") {
    const Folder folder;
    {
        Book book = open_new(folder.file());
        add_prediction(book);
    }
    const std::string before = read_file(folder.file());
    {
        Book book = open_to_read(folder.file());
        const std::string text = message_of<BookError>([&] { add_prediction(book); });
        CHECK(contains(text, "opened for reading only; the book was not changed"));
        CHECK_THROWS_AS(BakeRepository(book).remove(BakeId{1}), BookError);
        CHECK(verify(book).sound());
    }
    CHECK(read_file(folder.file()) == before);
}

TEST_CASE("in a folder that cannot be written a book is read, and nothing is written or made") {
    const Folder folder;
    {
        Book book = open_new(folder.file());
        add_prediction(book);
    }
    chmod(folder.file().c_str(), 0444);
    chmod(folder.path().c_str(), 0555);
    const int status = as_nobody([&] {
        Book book = open_to_read(folder.file());
        if (TraceRepository(book).load(BakeId{1}).traces.size() != 3) return 1;
        if (!contains(failure(folder.file(), Mode::read_write), "cannot be written")) return 2;
        const std::string made = failure(folder.file("new.book"), Mode::create);
        if (!contains(made, "could not make a new book: its folder cannot be written (Permission denied)")) return 3;
        return contains(made, folder.file("new.book").string()) ? 0 : 4;
    });
    CHECK(status == 0);
    chmod(folder.path().c_str(), 0755);
    CHECK(std::distance(std::filesystem::directory_iterator(folder.path()), {}) == 1);
}

TEST_CASE("a book that may be written in a folder that may not is refused for writing") {
    const Folder folder;
    { Book book = open_new(folder.file()); }
    chmod(folder.file().c_str(), 0666);
    chmod(folder.path().c_str(), 0555);
    const int status =
        as_nobody([&] { return contains(failure(folder.file(), Mode::read_write), "folder cannot be written") ? 0 : 1; });
    chmod(folder.path().c_str(), 0755);
    CHECK(status == 0);
}

TEST_CASE("a book whose file alone may not be written is refused for writing, and read") {
    const Folder folder;
    {
        Book book = open_new(folder.file());
        add_prediction(book);
    }
    chmod(folder.file().c_str(), 0444);
    chmod(folder.path().c_str(), 0777);
    const int status = as_nobody([&] {
        if (!contains(failure(folder.file(), Mode::read_write), "the file cannot be written; the book was not changed")) return 1;
        Book book = open_to_read(folder.file());
        return BakeRepository(book).count() == 1 ? 0 : 2;
    });
    CHECK(status == 0);
}

TEST_CASE("a book that may not be read is refused") {
    const Folder folder;
    { Book book = open_new(folder.file()); }
    chmod(folder.file().c_str(), 0);
    chmod(folder.path().c_str(), 0755);
    CHECK(as_nobody([&] { return contains(failure(folder.file(), Mode::read_only), "Permission denied") ? 0 : 1; }) == 0);
}

TEST_CASE("a missing folder is not made, except that of the default book") {
    const Folder folder;
    CHECK(contains(refusal(folder.file("typo/bakes.book"), Mode::create), "there is no folder " + folder.file("typo").string()));
    CHECK_FALSE(std::filesystem::exists(folder.file("typo")));
    const Variable data("XDG_DATA_HOME", folder.file("data").c_str());
    CHECK(default_book_path() == folder.file("data/bakewright/bakes.book"));
    { Book book = open_new(default_book_path()); }
    CHECK(std::filesystem::exists(folder.file("data/bakewright/bakes.book")));
}

TEST_CASE("the default book follows the XDG base directories") {
    // Source: XDG Base Directory Specification 0.8: relative paths in these variables are ignored; default $HOME/.local/share.
    const Variable home("HOME", "/home/painter");
    {
        const Variable data("XDG_DATA_HOME", nullptr);
        CHECK(default_book_path() == "/home/painter/.local/share/bakewright/bakes.book");
    }
    {
        const Variable data("XDG_DATA_HOME", "data");
        CHECK(default_book_path() == "/home/painter/.local/share/bakewright/bakes.book");
        const Variable no_home("HOME", nullptr);
        CHECK_THROWS_AS(static_cast<void>(default_book_path()), InputError);
    }
    const Variable data("XDG_DATA_HOME", "/srv/data");
    CHECK(default_book_path() == "/srv/data/bakewright/bakes.book");
}

TEST_CASE("on a full disk a change is refused whole, and what was stored stands") {
    const Folder folder;
    Book book = open_new(folder.file());
    add_prediction(book);
    book.connection().execute(("PRAGMA max_page_count = " + std::to_string(book.connection().pragma("page_count") + 4)).c_str(),
                              "test");
    std::string noise;
    for (int i = 0; i < 200000; ++i) noise += static_cast<char>(i * 7919 % 251);
    const std::string text = message_of<BookError>([&] {
        Transaction transaction(book);
        BakeRepository(book).add({.title = "does not fit", .note = noise});
        transaction.commit();
    });
    CHECK(contains(text, folder.file().string()));
    CHECK(contains(text, "could not store a bake: the disk is full"));
    CHECK(contains(text, "nothing of this step was kept, what was stored before it stands"));
    CHECK(BakeRepository(book).count() == 1);
    CHECK(verify(book).sound());
    CHECK(BakeRepository(book).add({.title = "small"}) == BakeId{2});
}

TEST_CASE("a transaction that a full disk has ended takes no further changes") {
    const Folder folder;
    Book book = open_new(folder.file());
    book.connection().execute(("PRAGMA max_page_count = " + std::to_string(book.connection().pragma("page_count") + 4)).c_str(),
                              "test");
    Transaction transaction(book);
    BakeRepository bakes(book);
    bakes.add({.title = "before"});
    book.connection().execute("ROLLBACK", "stand for what SQLite may do by itself");
    CHECK(contains(message_of<BookError>([&] { bakes.add({.title = "after"}); }), "taken the whole transaction back"));
    CHECK(contains(message_of<BookError>([&] { transaction.commit(); }), "taken the whole transaction back"));
    CHECK(bakes.count() == 0);
}

TEST_CASE("where the system stops a file from growing, nothing half-written is left") {
    const Folder folder;
    {
        Book book = open_new(folder.file());
        add_prediction(book);
    }
    const int status = in_child([&] {
        std::signal(SIGXFSZ, SIG_IGN);
        const rlimit limit{.rlim_cur = 200000, .rlim_max = 200000};
        setrlimit(RLIMIT_FSIZE, &limit);
        Book book = open_again(folder.file());
        const std::string text = message_of<BookError>(
            [&] { BakeRepository(book).add({.title = "does not fit", .note = std::string(1000000, 'x')}); });
        return contains(text, "could not") && contains(text, "what was stored before it stands") ? 0 : 1;
    });
    CHECK(status == 0);
    Book book = open_again(folder.file());
    CHECK(BakeRepository(book).count() == 1);
    CHECK(verify(book).sound());
}

TEST_CASE("the clock writes times that sort as text") {
    CHECK(is_utc_timestamp(utc_now()));
    CHECK(is_utc_timestamp("2026-03-07T14:05:09Z"));
    for (const char* text :
         {"", "2026-03-07", "2026-03-07T14:05:09", "2026-03-07 14:05:09Z", "2026-03-07T14:05:09.5Z", "2026-3-7T14:05:09Z"}) {
        CAPTURE(text);
        CHECK_FALSE(is_utc_timestamp(text));
    }
}
