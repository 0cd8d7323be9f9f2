// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/journal.hpp"

#include <doctest/doctest.h>
#include <sqlite3.h>

#include <map>
#include <random>
#include <set>
#include <vector>

#include "bakewright/book/hand_note_repository.hpp"
#include "bakewright/book/identity_repository.hpp"
#include "bakewright/book/merge.hpp"
#include "bakewright/book/verify.hpp"
#include "connection.hpp"
#include "shop.hpp"

using namespace bakewright;
using namespace bakewright::book;
using namespace bakewright::book::testing;

namespace {

/// The file as the sqlite3 shell opens it: no foreign keys; here no triggers and no check constraints either.
class Shell {
public:
    explicit Shell(const std::filesystem::path& file) {
        REQUIRE(sqlite3_open(file.c_str(), &handle_) == SQLITE_OK);
        sqlite3_db_config(handle_, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, nullptr);
        run("PRAGMA ignore_check_constraints = ON");
    }
    ~Shell() { sqlite3_close(handle_); }
    Shell(const Shell&) = delete;
    Shell& operator=(const Shell&) = delete;

    /// Rows that were changed; 0 where SQLite refuses.
    int run(const std::string& sql) {
        const int before = sqlite3_total_changes(handle_);
        return sqlite3_exec(handle_, sql.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK
                   ? sqlite3_total_changes(handle_) - before
                   : 0;
    }
    std::vector<std::vector<std::string>> rows(const std::string& sql) {
        std::vector<std::vector<std::string>> found;
        sqlite3_exec(
            handle_, sql.c_str(),
            [](void* to, int count, char** values, char**) {
                auto& row = static_cast<std::vector<std::vector<std::string>>*>(to)->emplace_back();
                for (int i = 0; i < count; ++i) row.emplace_back(values[i] == nullptr ? "" : values[i]);
                return 0;
            },
            &found, nullptr);
        return found;
    }

private:
    sqlite3* handle_ = nullptr;
};

/// A book with every kind of row in it.
void make_full_book(const std::filesystem::path& file) {
    Book book = open_new(file);
    const BakeId prediction = add_prediction(book);
    const BakeId log = add_log(book, prediction);
    add_history(book, prediction);
    ShellHistoryRepository(book).add_bake(
        {.shell = "doors", .bake = log, .began_at = "2026-03-08T08:00:00", .zones = {"roof", "left sill"}, .items = {"seat"}});
    BakeRepository(book).set_note(log, "checked");
    IdentityRepository(book).set_numbers("doors", "27-031", "");
    IdentityRepository(book).set_site("north yard");
    HandNoteRepository(book).add({.bake = log,
                                  .zone = "roof",
                                  .kind = HandNoteKind::cure_test,
                                  .method = "thumb",
                                  .time_s = 7200.0,
                                  .found = CureTestResult::hard});
}

std::string problems_of(const std::filesystem::path& file) {
    Book book = open_to_read(file);
    const VerifyReport report = verify(book);
    CHECK(report.complete);
    std::string all;
    for (const std::string& problem : report.problems) all += problem + "\n";
    return all;
}

/// The problems of a full book after some SQL of the sqlite3 shell.
std::string problems_after(const std::string& sql) {
    const Folder folder;
    make_full_book(folder.file());
    CHECK(Shell(folder.file()).run(sql) > 0);
    return problems_of(folder.file());
}

/// One row removed, one value changed, or one row added beside another, in any table; the SQL, or nothing where SQLite refused.
std::string edit_at_random(Shell& shell, std::mt19937& random) {
    const auto any = [&](std::size_t count) { return std::uniform_int_distribution<std::size_t>(0, count - 1)(random); };
    const auto tables =
        shell.rows("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name");
    const std::string table = tables[any(tables.size())][0];
    const auto columns = shell.rows("SELECT name, type FROM pragma_table_info('" + table + "')");
    const auto count = std::stoul(shell.rows("SELECT count(*) FROM " + table)[0][0]);
    if (count == 0) return {};
    std::string all, key;
    for (const auto& column : columns) {
        key += (key.empty() ? "" : " || '|' || ") + ("quote(" + column[0] + ")");
        all += (all.empty() ? "" : ", ") + column[0];
    }
    const std::string row = " WHERE " + key + " = (SELECT " + key + " FROM " + table + " ORDER BY 1 LIMIT 1 OFFSET " +
                            std::to_string(any(count)) + ")";
    const auto& column = columns[any(columns.size())];
    const std::string name = column[0];
    const std::string other = column[1] == "TEXT"   ? "coalesce(" + name + ", '') || 'x'"
                              : column[1] == "BLOB" ? "CAST(substr(" + name + ", 2) || x'07' AS BLOB)"
                                                    : "coalesce(" + name + ", 0) + " + std::to_string(1 + any(9));
    std::string sql;
    switch (any(3)) {
        case 0:
            sql = "DELETE FROM " + table + row;
            break;
        case 1:
            sql = "UPDATE " + table + " SET " + name + " = " + other + row;
            break;
        default: {
            std::string values;
            for (const auto& one : columns) values += (values.empty() ? "" : ", ") + (one == column ? other : one[0]);
            sql = "INSERT INTO " + table + " (" + all + ") SELECT " + values + " FROM " + table + row;
        }
    }
    return shell.run(sql) > 0 ? sql : std::string();
}

}  // namespace

TEST_CASE("each of 200 random edits of a row, made as with the sqlite3 shell, is found") {
    const Folder folder;
    make_full_book(folder.file("whole.book"));
    REQUIRE(problems_of(folder.file("whole.book")).empty());
    std::mt19937 random(20260307);
    std::map<std::string, int> by_deed;
    int edits = 0;
    for (int tried = 0; edits < 200 && tried < 5000; ++tried) {
        const auto file = folder.file("edited.book");
        std::filesystem::copy_file(folder.file("whole.book"), file, std::filesystem::copy_options::overwrite_existing);
        std::string sql;
        {
            Shell shell(file);
            sql = edit_at_random(shell, random);
        }
        for (const char* ending : {"-wal", "-shm"}) std::filesystem::remove(file.string() + ending);
        if (sql.empty()) continue;
        CAPTURE(sql);
        CHECK_FALSE(problems_of(file).empty());
        ++by_deed[sql.substr(0, 6)];
        ++edits;
    }
    CHECK(edits == 200);
    CHECK(by_deed["DELETE"] > 20);
    CHECK(by_deed["UPDATE"] > 20);
    CHECK(by_deed["INSERT"] > 15);
}

TEST_CASE("what was removed, added or changed is named, with its table") {
    CHECK(contains(problems_after("DELETE FROM history_bake_item WHERE shell = 'library_van'"),
                   "bake 1 in the history of 'library_van': its rows are not those that were stored 2026-03-07T14:05:09Z: "
                   "history_bake_item: 1 rows were stored, 0 are there"));
    CHECK(contains(
        problems_after("UPDATE trace SET role = 'zone' WHERE role = 'booth_air' AND bake_id = 2"),
        "bake 2 ('van, as baked'): its rows are not those that were stored 2026-03-07T14:05:09Z: trace: of 3 rows one or "
        "more were changed"));
    CHECK(contains(problems_after("UPDATE bake SET started_at = '2026-03-07T09:00:00' WHERE bake_id = 1"),
                   "bake: the row was changed"));
    CHECK(contains(problems_after("DELETE FROM coat WHERE name = 'clear'"),
                   "coat 2 ('clear' on 'library_van'): it is gone: its rows were removed outside"));
    CHECK(
        contains(problems_after("UPDATE document SET title = 'other' WHERE kind = 'booth'"), "document 2 (booth 'long_booth')"));
    CHECK(contains(problems_after("INSERT INTO history_bake VALUES ('library_van', 2, '2026-03-09T08:00:00')"),
                   "bake 2 in the history of 'library_van': the program did not store it"));
    CHECK(contains(problems_after("DELETE FROM journal WHERE entry_id = 3"), "journal: an entry was removed"));
    CHECK(contains(problems_after("UPDATE journal SET written_at = '2026-03-07T14:05:08Z' WHERE entry_id = 3"),
                   "journal: the entry of 2026-03-07T14:05:08Z"));
}

TEST_CASE("the journal cannot be changed while its triggers act") {
    const Folder folder;
    make_full_book(folder.file());
    Book book = open_again(folder.file());
    CHECK_THROWS_AS(book.connection().execute("DELETE FROM journal", "test"), BookError);
    CHECK_THROWS_AS(book.connection().execute("UPDATE journal SET label = ''", "test"), BookError);
}

TEST_CASE("what is answered from damaged rows is told, once, and is not changed until the rows are accepted") {
    const Folder folder;
    make_full_book(folder.file());
    Shell(folder.file()).run("DELETE FROM history_bake_item; UPDATE bake SET title = 'other' WHERE bake_id = 2");
    std::vector<std::string> told;
    Book book = Book::open(
        folder.file(), Mode::read_write,
        {.clock = [] { return std::string(kNow); }, .on_notice = [&](const std::string& what) { told.push_back(what); }});
    const ShellHistoryRepository history(book);
    CHECK(history.bakes("library_van").size() == 1);
    CHECK(history.bakes("library_van").size() == 1);
    REQUIRE(told.size() == 1);
    CHECK(contains(told[0], "bake 1 in the history of 'library_van'"));
    BakeRepository bakes(book);
    CHECK(bakes.get(BakeId{1}).title == "roof and sides, clear");
    CHECK(told.size() == 1);
    CHECK(bakes.get(BakeId{2}).title == "other");
    CHECK(told.size() == 2);
    CHECK(contains(message_of<BookError>([&] { bakes.set_note(BakeId{2}, "x"); }), "bake 2 ('van, as baked')"));
    CHECK(bakes.get(BakeId{2}).note == "checked");
    CHECK_THROWS_AS(accept_rows(book, "painter", ""), InputError);
    CHECK(accept_rows(book, "painter", "renamed by hand").size() == 3);
    CHECK(verify(book).sound());
    bakes.set_note(BakeId{2}, "x");
    CHECK(verify(book).sound());
}

TEST_CASE("a change that is taken back leaves no entry, and one change leaves one") {
    const Folder folder;
    Book book = open_new(folder.file());
    CHECK(journal_digest(book).text.empty());
    const BakeId id = add_prediction(book);
    const JournalDigest before = journal_digest(book);
    CHECK(before.entries == 4);
    CHECK(before.text.size() == 19);
    {
        const Transaction transaction(book);
        BakeRepository(book).set_title(id, "not kept");
    }
    CHECK(journal_digest(book).text == before.text);
    BakeRepository(book).set_title(id, "roof and sides, clear");
    CHECK(journal_digest(book).text == before.text);
    BakeRepository(book).set_title(id, "other");
    CHECK(journal_digest(book).entries == 5);
    CHECK(journal_digest(book).text != before.text);
}

TEST_CASE("a digest on paper tells what has changed since") {
    const Folder folder;
    make_full_book(folder.file());
    Book book = open_again(folder.file());
    const std::string printed = journal_digest(book).text;
    CHECK(since_digest(book, printed)->changed.empty());
    add_prediction(book, "doors");
    CHECK(since_digest(book, printed)->changed.empty());
    CHECK(since_digest(book, printed)->added == 1);
    BakeRepository(book).set_title(BakeId{2}, "other");
    BakeRepository(book).set_title(BakeId{2}, "another");
    ShellHistoryRepository(book).remove_bake("doors", BakeId{2});
    const auto since = since_digest(book, printed);
    REQUIRE(since);
    REQUIRE(since->changed.size() == 2);
    CHECK(contains(since->changed[0], "bake 2 ('other'), changed"));
    CHECK(contains(since->changed[1], "bake 2 in the history of 'doors', removed"));
    CHECK_FALSE(since_digest(book, "0000-0000-0000-0000"));
    CHECK_THROWS_AS((void)since_digest(book, "12"), InputError);
    CHECK_THROWS_AS((void)since_digest(book, "digest of the report"), InputError);
}

TEST_CASE("a merge keeps both journals, and merging again adds nothing") {
    const Folder folder;
    make_full_book(folder.file("one.book"));
    {
        Book two = open_new(folder.file("two.book"));
        add_prediction(two, "doors");
    }
    Book two = open_again(folder.file("two.book"));
    Book one = open_again(folder.file("one.book"));
    const std::string paper = journal_digest(two).text;
    CHECK(merge(one, folder.file("two.book")).bakes == 1);
    CHECK(verify(one).sound());
    REQUIRE(since_digest(one, paper));
    const std::string after = journal_digest(one).text;
    CHECK(merge(one, folder.file("two.book")).bakes == 0);
    CHECK(journal_digest(one).text == after);
    CHECK(merge(two, folder.file("one.book")).bakes == 2);
    static_cast<void>(merge(one, folder.file("two.book")));
    static_cast<void>(merge(two, folder.file("one.book")));
    CHECK(verify(one).sound());
    CHECK(verify(two).sound());
}

TEST_CASE("copies of one old book begin their journals alike") {
    const Folder folder;
    std::string digest;
    for (const char* name : {"one.book", "two.book"}) {
        std::filesystem::copy_file(BAKEWRIGHT_BOOK_TEST_DATA "/version2.sqlite", folder.file(name));
        std::filesystem::permissions(folder.file(name), std::filesystem::perms::owner_write, std::filesystem::perm_options::add);
        Book book = open_again(folder.file(name));
        CHECK(verify(book).sound());
        if (!digest.empty()) CHECK(journal_digest(book).text == digest);
        digest = journal_digest(book).text;
        CHECK_FALSE(digest.empty());
    }
}
