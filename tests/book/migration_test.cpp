// SPDX-License-Identifier: Apache-2.0
#include "migration.hpp"

#include <doctest/doctest.h>

#include <array>

#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/hand_note_repository.hpp"
#include "bakewright/book/journal.hpp"
#include "bakewright/book/live_log.hpp"
#include "bakewright/book/verify.hpp"
#include "shop.hpp"
#include "statement.hpp"

using namespace bakewright;
using namespace bakewright::book;
using namespace bakewright::book::testing;

/// tests/book/data/version1.sqlite was stored by the first release's schema: the shop's predicted and logged bake, as
/// add_prediction() and add_log() make them. It is never made anew.
namespace {

void copy_version_1(const std::filesystem::path& to) {
    std::filesystem::copy_file(BAKEWRIGHT_BOOK_TEST_DATA "/version1.sqlite", to);
}

/// Rebuilds a table that others refer to, as a real change would: the SQL of an invented version after version 1.
constexpr std::string_view kInvented2 =
    "CREATE TABLE bake_new (bake_id INTEGER PRIMARY KEY AUTOINCREMENT, uid TEXT NOT NULL UNIQUE, kind TEXT NOT NULL, title TEXT "
    "NOT NULL, "
    "created_at TEXT NOT NULL, started_at TEXT NOT NULL, paired_bake_id INTEGER REFERENCES bake ON DELETE SET NULL, "
    "program_version TEXT NOT "
    "NULL, options_json TEXT NOT NULL, note TEXT NOT NULL, painter TEXT NOT NULL DEFAULT 'unknown') STRICT;"
    "INSERT INTO bake_new SELECT *, 'unknown' FROM bake; DROP VIEW traces; DROP VIEW bake_documents; DROP VIEW bake_logs; DROP "
    "VIEW bakes;"
    "DROP TABLE bake; ALTER TABLE bake_new RENAME TO bake;";

std::vector<Migration> with(std::string_view version_2) {
    return {schema_migrations()[0], Migration{.version = 2, .sql = version_2}};
}

std::string schema_of(const std::filesystem::path& file) {
    Connection connection(file, Mode::read_only, {});
    Statement query(connection, "SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY type, name", "test");
    std::string schema;
    while (query.step()) schema += query.text(0) + "\n";
    return schema;
}

}  // namespace

TEST_CASE("the migrations are numbered from 1 without a gap") {
    int version = 0;
    for (const Migration& migration : schema_migrations()) CHECK(migration.version == ++version);
    CHECK(version == newest_schema_version());
}

TEST_CASE("a stored book of version 1 opens today with everything in it") {
    const Folder folder;
    copy_version_1(folder.file());
    Book book = open_again(folder.file());
    CHECK(book.schema_version() == newest_schema_version());
    CHECK(verify(book).sound());
    const BakeRepository bakes(book);
    CHECK(bakes.count() == 2);
    CHECK(bakes.get(BakeId{2}).paired_bake == BakeId{1});
    CHECK(bakes.get(BakeId{1}).document("shell")->title == "Larch County library van");
    CHECK(RawFileRepository(book).fetch(bakes.get(BakeId{2}).logs.at(0).raw_file) == kLogText);
    const auto roof = TraceRepository(book).load_one(BakeId{1}, "roof");
    REQUIRE(roof);
    // 1e-9 K: another C library may round exp() otherwise.
    const Trace expected = warm_up("roof", TraceRole::zone);
    REQUIRE(roof->size() == expected.size());
    for (std::size_t i = 0; i < expected.size(); ++i) CHECK(std::abs(roof->temperature_k[i] - expected.temperature_k[i]) <= 1e-9);
}

TEST_CASE("a stored book of version 2 opens today with its coats and its history in it") {
    // tests/book/data/version2.sqlite was stored by the schema of version 2: add_prediction(), add_log() and add_history() of the
    // shop.
    const Folder folder;
    std::filesystem::copy_file(BAKEWRIGHT_BOOK_TEST_DATA "/version2.sqlite", folder.file());
    Book book = open_again(folder.file());
    CHECK(book.schema_version() == newest_schema_version());
    CHECK(verify(book).sound());
    CHECK(BakeRepository(book).count() == 2);
    const ShellHistoryRepository history(book);
    const std::vector<StoredCoat> coats = history.coats("library_van");
    REQUIRE(coats.size() == 2);
    CHECK(coats[0].name == "epoxy primer");
    CHECK(coats[0].zones == std::vector<std::string>{"roof", "left sill"});
    CHECK(coats[0].sanded_at == "2026-03-06T15:00:00");
    CHECK(DocumentRepository(book).get(coats[1].coating).name == "van_clear");
    const std::vector<HistoryEntry> bakes = history.bakes("library_van");
    REQUIRE(bakes.size() == 1);
    CHECK(bakes[0].bake == BakeId{1});
    CHECK(bakes[0].items == std::vector<std::string>{"seat"});
}

TEST_CASE("a stored book of version 3 opens today with its earlier reading, its journal and its digest") {
    // tests/book/data/version3.sqlite was stored by the schema of version 3: add_prediction(), add_log(), add_history() of the
    // log, and the log read again.
    const Folder folder;
    std::filesystem::copy_file(BAKEWRIGHT_BOOK_TEST_DATA "/version3.sqlite", folder.file());
    Book book = open_again(folder.file());
    CHECK(book.schema_version() == newest_schema_version());
    CHECK(verify(book).sound());
    const Bake log = BakeRepository(book).get(BakeId{2});
    REQUIRE(log.earlier_readings.size() == 1);
    CHECK(log.earlier_readings[0].why == "read with the wrong mark");
    CHECK(ShellHistoryRepository(book).bakes("library_van").at(0).bake == BakeId{2});
    const JournalDigest digest = journal_digest(book);
    CHECK(digest.entries == 14);  // those of its own, and the vehicle that its history got
    CHECK(HandNoteRepository(book).notes(BakeId{2}).empty());
    HandNoteRepository(book).add({.bake = BakeId{2}, .zone = "roof", .method = "infrared", .time_s = 60.0, .value = 300.0});
    CHECK(verify(book).sound());
    REQUIRE(since_digest(book, digest.text));
    CHECK(since_digest(book, digest.text)->changed.size() == 1);
}

TEST_CASE("a stored book of version 4 opens today with its note by hand and can be recorded into") {
    // tests/book/data/version4.sqlite was stored by the schema of version 4: add_prediction(), add_log(), add_history() of the
    // log, and a temperature of its roof taken by hand.
    const Folder folder;
    std::filesystem::copy_file(BAKEWRIGHT_BOOK_TEST_DATA "/version4.sqlite", folder.file());
    Book book = open_again(folder.file());
    CHECK(book.schema_version() == newest_schema_version());
    CHECK(verify(book).sound());
    CHECK(HandNoteRepository(book).notes(BakeId{2}).at(0).method == "infrared");
    CHECK_FALSE(recording_of(book, BakeId{2}));
    LiveLog log =
        LiveLog::begin(book, {.kind = BakeKind::logged, .title = "live"}, "booth", {{"roof", TraceRole::zone, "logger"}}, {});
    log.seal();
    CHECK(verify(book).sound());
}

TEST_CASE("the SQL of version 4 still makes what it made when it was released") {
    const Folder folder;
    std::filesystem::copy_file(BAKEWRIGHT_BOOK_TEST_DATA "/version4.sqlite", folder.file());
    Connection made(folder.file("made.book"), Mode::create, {});
    migrate(made, schema_migrations().first(4));
    CHECK(schema_of(folder.file("made.book")) == schema_of(folder.file()));
}

TEST_CASE("the SQL of version 3 still makes what it made when it was released") {
    const Folder folder;
    std::filesystem::copy_file(BAKEWRIGHT_BOOK_TEST_DATA "/version3.sqlite", folder.file());
    Connection made(folder.file("made.book"), Mode::create, {});
    migrate(made, schema_migrations().first(3));
    CHECK(schema_of(folder.file("made.book")) == schema_of(folder.file()));
}

TEST_CASE("a stored book of version 1 gets a history, empty, and can be written on") {
    const Folder folder;
    copy_version_1(folder.file());
    Book book = open_again(folder.file());
    CHECK(ShellHistoryRepository(book).shells().empty());
    add_history(book, BakeId{1});
    CHECK(ShellHistoryRepository(book).coats("library_van").size() == 2);
}

TEST_CASE("the SQL of version 1 still makes what it made when it was released") {
    const Folder folder;
    copy_version_1(folder.file());
    Connection made(folder.file("made.book"), Mode::create, {});
    migrate(made, schema_migrations().first(1));
    CHECK(schema_of(folder.file("made.book")) == schema_of(folder.file()));
}

TEST_CASE("the SQL of version 2 still makes what it made when it was released") {
    const Folder folder;
    std::filesystem::copy_file(BAKEWRIGHT_BOOK_TEST_DATA "/version2.sqlite", folder.file());
    Connection made(folder.file("made.book"), Mode::create, {});
    migrate(made, schema_migrations().first(2));
    CHECK(schema_of(folder.file("made.book")) == schema_of(folder.file()));
}

TEST_CASE("a migration changes a stored book and keeps what refers to the changed table") {
    const Folder folder;
    copy_version_1(folder.file());
    Connection connection(folder.file(), Mode::read_write, {});
    migrate(connection, with(kInvented2));
    CHECK(connection.pragma("user_version") == 2);
    CHECK(connection.pragma("foreign_keys") == 1);
    Statement query(connection, "SELECT count(*), min(painter) FROM bake JOIN trace USING (bake_id)", "test");
    REQUIRE(query.step());
    CHECK(query.integer(0) == 6);
    CHECK(query.text(1) == "unknown");
}

TEST_CASE("a migration that is done is not done again") {
    const Folder folder;
    copy_version_1(folder.file());
    Connection connection(folder.file(), Mode::read_write, {});
    migrate(connection, with(kInvented2));
    migrate(connection, with(kInvented2));
    CHECK(connection.pragma("user_version") == 2);
}

TEST_CASE("a new book goes through every migration") {
    const Folder folder;
    Connection connection(folder.file(), Mode::create, {});
    migrate(connection, with(kInvented2));
    CHECK(connection.pragma("user_version") == 2);
    CHECK(connection.pragma("application_id") == kApplicationId);
}

TEST_CASE("a migration that fails leaves the book as it was") {
    const Folder folder;
    for (const std::string_view broken : {"CREATE TABLE half (x TEXT) STRICT; INSERT INTO nowhere VALUES (1);",
                                          "CREATE TABLE half (x TEXT) STRICT; DELETE FROM bake WHERE bake_id = 1;"}) {
        const auto file = folder.file(broken.substr(35, 6));
        copy_version_1(file);
        const std::string schema = schema_of(file);
        {
            Connection connection(file, Mode::read_write, {});
            const std::string text = message_of<BookError>([&] { migrate(connection, with(broken)); });
            CHECK(contains(text, file.string()));
            CHECK(contains(text, "could not bring the book to schema version 2"));
            CHECK(connection.pragma("user_version") == 1);
            CHECK(connection.pragma("foreign_keys") == 1);
        }
        CHECK(schema_of(file) == schema);
        Book book = open_again(file);
        CHECK(verify(book).sound());
    }
}

TEST_CASE("the first migration that fails stops those after it, and a new book is made whole or not at all") {
    const Folder folder;
    const std::array<Migration, 3> migrations = {schema_migrations()[0], Migration{2, "nonsense"},
                                                 Migration{3, "CREATE TABLE late (x TEXT)"}};
    copy_version_1(folder.file("old.book"));
    Connection old(folder.file("old.book"), Mode::read_write, {});
    CHECK_THROWS_AS(migrate(old, migrations), BookError);
    CHECK(old.pragma("user_version") == 1);
    Connection made(folder.file("new.book"), Mode::create, {});
    CHECK_THROWS_AS(migrate(made, migrations), BookError);
    CHECK(made.pragma("user_version") == 0);
    made.execute("CREATE TABLE bake (x TEXT)", "find none there");
}
