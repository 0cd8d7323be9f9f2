// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <thread>
#include <vector>

#include "as_nobody.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/book/hash.hpp"
#include "bakewright/book/verify.hpp"
#include "connection.hpp"
#include "shop.hpp"

using namespace bakewright;
using namespace bakewright::book;
using namespace bakewright::book::testing;

TEST_CASE("a transaction left without commit leaves nothing") {
    const Folder folder;
    {
        Book book = open_new(folder.file());
        {
            const Transaction transaction(book);
            add_prediction(book);
            add_log(book);
            CHECK(BakeRepository(book).count() == 2);
        }
        CHECK(BakeRepository(book).count() == 0);
        const BakeId id = add_prediction(book);
        CHECK(TraceRepository(book).load(id).traces.size() == 3);
    }
    Book book = open_again(folder.file());
    CHECK(BakeRepository(book).count() == 1);
    CHECK(RawFileRepository(book).list().empty());
}

TEST_CASE("an inner transaction taken back leaves the outer one whole") {
    const Folder folder;
    Book book = open_new(folder.file());
    BakeRepository bakes(book);
    {
        Transaction outer(book);
        bakes.add({.title = "kept"});
        {
            const Transaction inner(book);
            bakes.add({.title = "taken back"});
        }
        CHECK_THROWS_AS(bakes.add({.title = "refused", .options_json = "{"}), PromiseError);
        bakes.add({.title = "kept too"});
        outer.commit();
    }
    CHECK(bakes.count() == 2);
}

TEST_CASE("a transaction is committed once and after those inside it") {
    const Folder folder;
    Book book = open_new(folder.file());
    Transaction outer(book);
    {
        Transaction inner(book);
        CHECK_THROWS_AS(outer.commit(), PromiseError);
        inner.commit();
        CHECK_THROWS_AS(inner.commit(), PromiseError);
    }
    outer.commit();
}

TEST_CASE("a reader sees the book as it was while another writes, and the change after its commit") {
    const Folder folder;
    Book writer = open_new(folder.file());
    Book reader = open_to_read(folder.file());
    Transaction transaction(writer);
    add_prediction(writer);
    CHECK(BakeRepository(reader).count() == 0);
    transaction.commit();
    CHECK(BakeRepository(reader).count() == 1);
}

TEST_CASE("a second writer waits its time and is then told so") {
    const Folder folder;
    Book first = open_new(folder.file());
    OpenOptions impatient = standing_clock();
    impatient.busy_timeout_ms = 20;
    Book second = Book::open(folder.file(), Mode::read_write, impatient);
    const Transaction transaction(first);
    const std::string text = message_of<BookError>([&] { add_prediction(second); });
    CHECK(contains(text, "another program is writing to the book"));
    CHECK(contains(text, "what was stored before it stands"));
}

TEST_CASE("two writers at once lose nothing") {
    const Folder folder;
    { Book book = open_new(folder.file()); }
    constexpr int kEach = 25;
    const auto write = [&](const char* title) {
        Book book = Book::open(folder.file(), Mode::read_write, {.busy_timeout_ms = 60000, .clock = utc_now});
        for (int i = 0; i < kEach; ++i) add_prediction(book, title);
    };
    std::thread one(write, "one"), other(write, "other");
    one.join();
    other.join();
    Book book = open_again(folder.file());
    CHECK(BakeRepository(book).count() == 2 * kEach);
    CHECK(DocumentRepository(book).list().size() == 3);
    CHECK(verify(book).sound());
}

TEST_CASE("two programs that make the same new book at once share it") {
    const Folder folder;
    std::vector<std::thread> threads;
    for (int i = 0; i < 4; ++i) {
        threads.emplace_back([&] {
            Book book = Book::open(folder.file(), Mode::create, {.busy_timeout_ms = 60000, .clock = utc_now});
            add_prediction(book);
        });
    }
    for (std::thread& thread : threads) thread.join();
    Book book = open_again(folder.file());
    CHECK(BakeRepository(book).count() == 4);
    CHECK(verify(book).sound());
}

TEST_CASE("two imports of one file at once add it once") {
    const Folder folder;
    { Book book = open_new(folder.file()); }
    const auto import = [&] {
        Book book = Book::open(folder.file(), Mode::read_write, {.busy_timeout_ms = 60000, .clock = utc_now});
        Transaction transaction(book);
        if (BakeRepository(book).find_by_raw_file(sha256_hex(kLogText)).empty()) add_log(book);
        transaction.commit();
    };
    std::thread one(import), other(import);
    one.join();
    other.join();
    Book book = open_again(folder.file());
    CHECK(BakeRepository(book).count() == 1);
}

namespace {

/// A process that dies in the middle of a change, after `steps` bakes of it; small caches make SQLite write early.
int die_in_change(const std::filesystem::path& file, int steps) {
    return in_child([&]() -> int {
        Book book = open_again(file);
        book.connection().execute("PRAGMA cache_size = 5; PRAGMA cache_spill = 1", "test");
        const Transaction transaction(book);
        for (int i = 0; i < steps; ++i) add_log(book, std::nullopt, std::to_string(i) + std::string(100000, 'x'));
        std::_Exit(42);
    });
}

}  // namespace

TEST_CASE("a program that dies in the middle of a change leaves the book as it was") {
    const Folder folder;
    {
        Book book = open_new(folder.file());
        add_prediction(book);
    }
    for (int steps = 0; steps < 12; ++steps) {
        CAPTURE(steps);
        REQUIRE(die_in_change(folder.file(), steps) == 42);
        Book book = open_again(folder.file());
        CHECK(BakeRepository(book).count() == 1);
        CHECK(RawFileRepository(book).list().empty());
        CHECK(TraceRepository(book).load(BakeId{1}).traces.size() == 3);
        CHECK(verify(book).sound());
    }
}

TEST_CASE("a program that dies after its commit has stored it, also for a reader who comes first") {
    const Folder folder;
    { Book book = open_new(folder.file()); }
    REQUIRE(in_child([&]() -> int {
                Book book = open_again(folder.file());
                add_prediction(book);
                std::_Exit(42);
            }) == 42);
    CHECK(std::filesystem::file_size(folder.file("bakes.book-wal")) > 0);
    Book book = open_to_read(folder.file());
    CHECK(BakeRepository(book).count() == 1);
    CHECK(verify(book).sound());
}

TEST_CASE("a program that dies while it makes a book leaves none or a whole one") {
    const Folder folder;
    REQUIRE(in_child([&]() -> int {
                Connection connection(folder.file(), Mode::create, standing_clock());
                const Transaction transaction(connection);
                connection.execute("CREATE TABLE half (made TEXT); PRAGMA application_id = 1113680741", "test");
                std::_Exit(42);
            }) == 42);
    Book book = open_new(folder.file());
    CHECK(add_prediction(book) == BakeId{1});
    CHECK(verify(book).sound());
}
