// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/bake_repository.hpp"

#include <doctest/doctest.h>

#include "bakewright/book/hash.hpp"
#include "bakewright/book/verify.hpp"
#include "shop.hpp"

using namespace bakewright;
using namespace bakewright::book;
using namespace bakewright::book::testing;
using namespace std::string_literals;

TEST_CASE("a bake comes back with all it was made from after the book was closed") {
    const Folder folder;
    BakeId predicted{}, logged{};
    {
        Book book = open_new(folder.file());
        predicted = add_prediction(book);
        logged = add_log(book, predicted);
    }
    Book book = open_to_read(folder.file());
    const BakeRepository bakes(book);
    const Bake prediction = bakes.get(predicted);
    CHECK(prediction.kind == BakeKind::predicted);
    CHECK(prediction.title == "roof and sides, clear");
    CHECK(prediction.created_at == kNow);
    CHECK(prediction.started_at == van_traces().started_at);
    CHECK(prediction.program_version == "0.1.0");
    CHECK(prediction.options_json == R"({"film_factor": 1.0})");
    CHECK(prediction.uid.size() == 32);
    REQUIRE(prediction.document("shell") != nullptr);
    CHECK(prediction.document("shell")->name == "library_van");
    CHECK(prediction.document("cycle")->title == "Clear, 60 °C");
    CHECK(prediction.document("coating") == nullptr);
    CHECK_FALSE(prediction.paired_bake);

    const Bake log = bakes.get(logged);
    CHECK(log.kind == BakeKind::logged);
    CHECK(log.paired_bake == predicted);
    CHECK(log.uid != prediction.uid);
    REQUIRE(log.logs.size() == 1);
    CHECK(log.logs[0].original_name == "van 7 March.csv");
    CHECK(log.logs[0].sha256 == sha256_hex(kLogText));
    CHECK(log.logs[0].reading_options_json == R"({"delimiter": ","})");
    CHECK(log.document("shell")->id == prediction.document("shell")->id);
    CHECK(bakes.paired_with(predicted) == std::vector{logged});
}

TEST_CASE("titles and notes are any text") {
    const Folder folder;
    Book book = open_new(folder.file());
    BakeRepository bakes(book);
    const std::string hostile = "Robert'); DROP TABLE bake;-- \"<b onload=x>\" ?1 :a @b $c \0 \xF0\x9F\x9A\x9A\x01 %s\n"s;
    const BakeId id = bakes.add({.title = hostile, .note = hostile});
    CHECK(bakes.get(id).title == hostile);
    CHECK(bakes.get(id).note == hostile);
    CHECK(bakes.list().at(0).title == hostile);
    bakes.set_title(id, "");
    bakes.set_note(id, hostile + hostile);
    CHECK(bakes.get(id).title.empty());
    CHECK(bakes.get(id).note == hostile + hostile);
    CHECK(bakes.list({.shell_name = "' OR 1 = 1 --"}).empty());
}

TEST_CASE("bakes are listed newest first, by time and then by number") {
    const Folder folder;
    Book book = open_new(folder.file());
    BakeRepository bakes(book);
    const auto at = [&](std::string time) { return bakes.add({.title = time, .created_at = time}); };
    const BakeId middle = at("2026-02-01T00:00:00Z");
    const BakeId oldest = at("2025-12-31T23:59:59Z");
    const BakeId newest = at("2026-02-02T00:00:00Z");
    const BakeId as_new = at("2026-02-02T00:00:00Z");
    const auto ids = [&](ListFilter filter) {
        std::vector<BakeId> found;
        for (const BakeSummary& bake : bakes.list(filter)) found.push_back(bake.id);
        return found;
    };
    CHECK(ids({}) == std::vector{as_new, newest, middle, oldest});
    CHECK(ids({.limit = 2}) == std::vector{as_new, newest});
    CHECK(ids({.limit = 2, .offset = 3}) == std::vector{oldest});
    CHECK(ids({.limit = 0}).empty());
    CHECK(ids({.limit = static_cast<std::size_t>(-1)}).size() == 4);
    CHECK(bakes.count() == 4);
}

TEST_CASE("a list shows what each bake was made from, and is narrowed by kind and shell") {
    const Folder folder;
    Book book = open_new(folder.file());
    BakeRepository bakes(book);
    const BakeId predicted = add_prediction(book);
    const BakeId logged = add_log(book, predicted);
    bakes.add({.title = "without anything"});
    const auto listed = bakes.list({.kind = BakeKind::predicted, .shell_name = "library_van"});
    REQUIRE(listed.size() == 1);
    CHECK(listed[0].id == predicted);
    CHECK(listed[0].shell == "Larch County library van");
    CHECK(listed[0].booth == "long_booth");  // has no title
    CHECK(listed[0].cycle == "Clear, 60 °C");
    CHECK(listed[0].coating.empty());
    CHECK(listed[0].trace_count == 3);
    CHECK(listed[0].end_s == 1990.0);
    CHECK(listed[0].started_at == van_traces().started_at);
    const auto logs = bakes.list({.kind = BakeKind::logged});
    REQUIRE(logs.size() == 1);
    CHECK(logs[0].id == logged);
    CHECK(logs[0].log_name == "van 7 March.csv");
    CHECK(logs[0].paired_bake == predicted);
    CHECK(bakes.list({.shell_name = "hearse"}).empty());
    CHECK(bakes.list().at(0).trace_count == 0);
    CHECK(bakes.list().at(0).end_s == 0.0);
}

TEST_CASE("a probe file tells which bakes were read from it") {
    const Folder folder;
    Book book = open_new(folder.file());
    BakeRepository bakes(book);
    CHECK(bakes.find_by_raw_file(sha256_hex(kLogText)).empty());
    const BakeId first = add_log(book);
    CHECK(bakes.find_by_raw_file(sha256_hex(kLogText)) == std::vector{first});
    const BakeId second = add_log(book);
    CHECK(bakes.find_by_raw_file(sha256_hex(kLogText)) == std::vector{first, second});
    CHECK(RawFileRepository(book).list().size() == 1);
}

TEST_CASE("a removed bake takes along what nothing else uses, and no more") {
    const Folder folder;
    Book book = open_new(folder.file());
    BakeRepository bakes(book);
    const BakeId predicted = add_prediction(book);
    const BakeId first = add_log(book, predicted);
    const BakeId second = add_log(book, predicted);

    const auto with_prediction = bakes.remove(predicted);  // booth and cycle; the shell is the logs' too
    CHECK(with_prediction.documents == 2);
    CHECK(with_prediction.raw_files == 0);
    CHECK_FALSE(bakes.find(predicted));
    CHECK(TraceRepository(book).summaries(predicted).empty());
    CHECK_FALSE(bakes.get(first).paired_bake);
    CHECK(DocumentRepository(book).list().size() == 1);

    const auto with_first = bakes.remove(first);
    CHECK(with_first.documents == 0);
    CHECK(with_first.raw_files == 0);
    const auto with_second = bakes.remove(second);
    CHECK(with_second.documents == 1);
    CHECK(with_second.raw_files == 1);
    CHECK(RawFileRepository(book).list().empty());
    CHECK(DocumentRepository(book).list().empty());
    CHECK(bakes.count() == 0);
    CHECK(bakes.add({.title = "next"}) > second);  // a number is never given twice
}

TEST_CASE("a document that no bake used stays when a bake is removed") {
    const Folder folder;
    Book book = open_new(folder.file());
    const DocumentId spare = DocumentRepository(book).store({.kind = "coating", .name = "clear", .title = "", .text = "x"});
    BakeRepository(book).remove(add_prediction(book));
    CHECK(DocumentRepository(book).find(spare));
}

TEST_CASE("a bake that is not there is the user's mistake, and the message says which are") {
    const Folder folder;
    Book book = open_new(folder.file());
    BakeRepository bakes(book);
    const auto ask = [&] { return message_of<InputError>([&] { static_cast<void>(bakes.get(BakeId{9})); }); };
    CHECK(contains(ask(), "there is no bake 9; the book holds no bakes yet"));
    add_prediction(book);
    CHECK(contains(ask(), "the book holds bake 1 alone"));
    add_prediction(book);
    CHECK(contains(ask(), "the book holds 2 bakes, numbered from 1 to 2"));
    CHECK(contains(ask(), folder.file().string()));
    CHECK_THROWS_AS(bakes.remove(BakeId{9}), InputError);
    CHECK_THROWS_AS(bakes.set_title(BakeId{9}, "x"), InputError);
    CHECK_THROWS_AS(bakes.set_note(BakeId{9}, "x"), InputError);
    CHECK_FALSE(bakes.find(BakeId{9}));
}

TEST_CASE("a pair is one predicted and one logged bake") {
    const Folder folder;
    Book book = open_new(folder.file());
    BakeRepository bakes(book);
    const BakeId predicted = add_prediction(book);
    const BakeId logged = add_log(book);
    bakes.pair(logged, predicted);
    CHECK(bakes.get(logged).paired_bake == predicted);
    CHECK(contains(message_of<InputError>([&] { bakes.pair(predicted, predicted); }), "is a predicted bake too"));
    CHECK_THROWS_AS(bakes.pair(logged, BakeId{77}), InputError);
    CHECK_THROWS_AS(bakes.add({.title = "x", .paired_bake = BakeId{77}}), InputError);
    CHECK_THROWS_AS(bakes.add({.title = "x", .paired_bake = predicted}), InputError);
    CHECK(bakes.count() == 2);
}

TEST_CASE("a caller's broken promise stores nothing") {
    const Folder folder;
    Book book = open_new(folder.file());
    BakeRepository bakes(book);
    DocumentRepository documents(book);
    NewDocument other_shell = van_shell();
    other_shell.text = "other";
    const DocumentId one = documents.store(van_shell()), other = documents.store(other_shell);
    CHECK_THROWS_AS(bakes.add({.title = "x", .created_at = "yesterday"}), PromiseError);
    CHECK_THROWS_AS(bakes.add({.title = "x", .options_json = "{film"}), PromiseError);
    CHECK_THROWS_AS(bakes.add({.title = "x", .logs = {{RawFileId{1}, "nonsense"}}}), PromiseError);
    CHECK_THROWS_AS(bakes.add({.title = "x", .documents = {one, other}}), PromiseError);
    CHECK(contains(message_of<BookError>([&] { bakes.add({.title = "x", .documents = {DocumentId{99}}}); }), "FOREIGN KEY"));
    CHECK(bakes.count() == 0);
    CHECK(bakes.get(bakes.add({.title = "x", .documents = {one, one}})).documents.size() == 1);
}

TEST_CASE("names of kinds read back") {
    for (const BakeKind kind : {BakeKind::predicted, BakeKind::logged}) CHECK(bake_kind_from_name(bake_kind_name(kind)) == kind);
    CHECK_FALSE(bake_kind_from_name("Predicted"));
}

TEST_CASE(
    "a machine's clock that goes backwards loses nothing: every bake is there, newest by the clock first, and the book is "
    "sound") {
    const Folder folder;
    std::vector<BakeId> kept;
    for (const char* now : {"2027-03-01T10:00:00Z", "2027-03-01T09:00:00Z", "1970-01-01T00:00:00Z"}) {
        Book book = Book::open(folder.file(), Mode::create, {.clock = [now] { return std::string(now); }});
        kept.push_back(add_prediction(book));
    }
    Book book = open_to_read(folder.file());
    const std::vector<BakeSummary> list = BakeRepository(book).list();
    REQUIRE(list.size() == 3);
    for (std::size_t i = 0; i < 3; ++i) CHECK(list[i].id == kept[i]);
    CHECK(list[2].created_at == "1970-01-01T00:00:00Z");
    CHECK(verify(book).sound());
}
