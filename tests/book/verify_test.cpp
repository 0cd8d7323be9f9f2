// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/verify.hpp"

#include <doctest/doctest.h>

#include "connection.hpp"
#include "shop.hpp"

using namespace bakewright;
using namespace bakewright::book;
using namespace bakewright::book::testing;

namespace {

/// The problems of a book after some SQL that the program would never run.
std::string problems_after(const char* sql) {
    const Folder folder;
    Book book = open_new(folder.file());
    add_log(book, add_prediction(book));
    book.connection().execute((std::string("PRAGMA ignore_check_constraints = ON; PRAGMA foreign_keys = OFF; ") + sql +
                               "; PRAGMA ignore_check_constraints = OFF")
                                  .c_str(),
                              "test");
    const VerifyReport report = verify(book);
    CHECK(report.complete);
    CHECK_FALSE(report.sound());
    std::string all;
    for (const std::string& problem : report.problems) all += problem + "\n";
    return all;
}

}  // namespace

TEST_CASE("a sound book is counted and found sound") {
    const Folder folder;
    Book book = open_new(folder.file());
    CHECK(verify(book).sound());
    add_log(book, add_prediction(book));
    std::vector<double> fractions;
    const VerifyReport report = verify(book, [&](double fraction) {
        fractions.push_back(fraction);
        return true;
    });
    CHECK(report.sound());
    CHECK(report.bakes == 2);
    CHECK(report.documents == 3);
    CHECK(report.raw_files == 1);
    CHECK(report.traces == 6);
    CHECK(report.samples == 1200);
    CHECK(fractions.size() == 10);
    CHECK(fractions.back() == 1.0);
}

TEST_CASE("a check that was stopped does not call the book sound") {
    const Folder folder;
    Book book = open_new(folder.file());
    add_prediction(book);
    const VerifyReport report = verify(book, [](double) { return false; });
    CHECK_FALSE(report.complete);
    CHECK_FALSE(report.sound());
    CHECK(report.problems.empty());
}

TEST_CASE("a check sees the book as it was when it began, whatever another program does meanwhile") {
    const Folder folder;
    Book book = open_new(folder.file());
    add_prediction(book);
    Book other = open_again(folder.file());
    const VerifyReport report = verify(book, [&](double) {
        if (BakeRepository(other).find(BakeId{1})) BakeRepository(other).remove(BakeId{1});
        return true;
    });
    CHECK(report.sound());
    CHECK(report.documents == 3);
    CHECK(report.samples == 600);
    CHECK(BakeRepository(book).count() == 0);
}

TEST_CASE("every kind of damage is found and named") {
    CHECK(contains(problems_after("UPDATE document SET text = text || ' ' WHERE name = 'library_van'"),
                   "document 1 (shell 'library_van') no longer has its hash"));
    CHECK(
        contains(problems_after("UPDATE raw_file_piece SET data = zeroblob(length(data))"), "probe file 1 ('van 7 March.csv')"));
    CHECK(contains(problems_after("DELETE FROM raw_file_piece"), "probe file 1 ('van 7 March.csv') no longer has its hash"));
    CHECK(contains(problems_after("UPDATE raw_file SET size_bytes = 5"), "its size is wrong"));
    CHECK(contains(problems_after("UPDATE trace_block SET data = zeroblob(length(data)) WHERE rowid = 2"),
                   "trace 'roof' of bake 1: a block"));
    CHECK(contains(problems_after("UPDATE trace_block SET sha256 = hex(zeroblob(32)) WHERE rowid = 2"),
                   "trace 'roof' of bake 1: a block no longer has its hash"));
    CHECK(contains(problems_after("UPDATE trace_block SET codec = 77 WHERE rowid = 2"), "codec 77"));
    CHECK(contains(problems_after("DELETE FROM trace_block WHERE rowid = 2"),
                   "its blocks do not hold the samples its row speaks of"));
    CHECK(contains(problems_after("UPDATE trace SET max_temperature_k = 400 WHERE trace_id = 2"),
                   "its row does not sum up its samples"));
    CHECK(contains(problems_after("UPDATE trace SET role = 'chimney' WHERE trace_id = 2"), "unknown role 'chimney'"));
    CHECK(contains(problems_after("DELETE FROM bake WHERE bake_id = 1"),
                   "table trace: a row refers to a missing row of table bake"));
    CHECK(contains(problems_after("UPDATE bake SET kind = 'dreamt' WHERE bake_id = 1"), "CHECK constraint failed in bake"));
}

TEST_CASE("damage in one trace leaves the others readable") {
    const Folder folder;
    Book book = open_new(folder.file());
    const BakeId id = add_prediction(book);
    book.connection().execute("UPDATE trace_block SET data = zeroblob(length(data)) WHERE rowid = 2", "test");
    const TraceRepository traces(book);
    const std::string text = message_of<BookError>([&] { static_cast<void>(traces.load(id)); });
    CHECK(contains(text, folder.file().string()));
    CHECK(contains(text, "trace 'roof' of bake 1: a block of it"));
    CHECK(contains(text, "its undamaged parts can still be read"));
    CHECK(traces.load_one(id, "left sill")->size() == 200);
    CHECK_THROWS_AS(static_cast<void>(traces.load_one(id, "roof")), BookError);
    CHECK(traces.summaries(id).size() == 3);
}

TEST_CASE("a block of another trace is not taken for the right one") {
    const Folder folder;
    Book book = open_new(folder.file());
    const BakeId id = BakeRepository(book).add({.title = "x"});
    Trace late = warm_up("late", TraceRole::zone, 200);
    for (double& time_s : late.time_s) time_s += 5.0;
    TraceRepository(book).store(id, {.traces = {warm_up("roof", TraceRole::zone, 200), late}, .started_at = {}});
    book.connection().execute("UPDATE trace_block SET position = trace_id; UPDATE trace_block SET trace_id = 3 - trace_id",
                              "test");
    CHECK_THROWS_AS(static_cast<void>(TraceRepository(book).load_one(id, "roof")), BookError);
}
