// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/hand_note_repository.hpp"

#include <doctest/doctest.h>

#include "bakewright/book/backup.hpp"
#include "bakewright/book/merge.hpp"
#include "bakewright/book/verify.hpp"
#include "connection.hpp"
#include "shop.hpp"
#include "statement.hpp"

using namespace bakewright;
using namespace bakewright::book;
using namespace bakewright::book::testing;

namespace {

NewHandNote thumb_test(BakeId bake, double after_s = 7200.0, CureTestResult found = CureTestResult::soft) {
    return {.bake = bake,
            .zone = "roof",
            .kind = HandNoteKind::cure_test,
            .method = "thumb",
            .time_s = after_s,
            .found = found,
            .noted_by = "painter",
            .note = "left a print"};
}

NewHandNote infrared_reading(BakeId bake, double time_s = 600.0) {
    return {.bake = bake, .zone = "left sill", .method = "infrared", .time_s = time_s, .value = 320.5, .uncertainty = 2.0};
}

NewHandNote film(BakeId bake) {
    return {.bake = bake, .zone = "roof", .kind = HandNoteKind::film_build, .method = "magnetic", .value = 55e-6};
}

bool is_sound_book(Book& book) { return verify(book).sound(); }

}  // namespace

TEST_CASE("notes by hand come back as entered, by kind and time") {
    const Folder folder;
    Book book = open_new(folder.file());
    const BakeId bake = add_log(book), other = add_prediction(book);
    HandNoteRepository notes(book);
    notes.add(film(bake));
    notes.add(thumb_test(bake, 64800.0, CureTestResult::hard));
    notes.add(thumb_test(bake));
    notes.add(infrared_reading(bake, 1200.0));
    const std::string uid = notes.add(infrared_reading(bake));
    const std::vector<HandNote> all = notes.notes(bake);
    REQUIRE(all.size() == 5);
    CHECK(all[0].uid == uid);
    CHECK(all[0].kind == HandNoteKind::temperature);
    CHECK(all[0].value == 320.5);
    CHECK(all[0].uncertainty == 2.0);
    CHECK(all[0].noted_at == kNow);
    CHECK(all[1].time_s == 1200.0);
    CHECK(all[2].found == CureTestResult::soft);
    CHECK(all[2].note == "left a print");
    CHECK(all[2].noted_by == "painter");
    CHECK_FALSE(all[2].value);
    CHECK(all[3].found == CureTestResult::hard);
    CHECK(all[4].kind == HandNoteKind::film_build);
    CHECK_FALSE(all[4].time_s);
    CHECK(notes.notes(other).empty());
    CHECK(notes.bakes_with(HandNoteKind::cure_test) == std::vector<BakeId>{bake});
    CHECK(notes.note(uid.substr(0, 8)).uid == uid);
    CHECK(is_sound_book(book));
}

TEST_CASE("a note that is none is not found, and one is removed by its uid") {
    const Folder folder;
    Book book = open_new(folder.file());
    const BakeId bake = add_log(book);
    HandNoteRepository notes(book);
    const std::string uid = notes.add(film(bake));
    for (const char* wrong : {"", "12", "0123", "zzzzzzzz", "ffffffffffffffff"})
        CHECK_THROWS_AS(static_cast<void>(notes.note(wrong)), InputError);
    CHECK_THROWS_AS(notes.add(film(BakeId{99})), InputError);
    CHECK_THROWS_AS(notes.add({.bake = bake, .zone = "roof", .method = "infrared", .time_s = 0.0}), PromiseError);
    CHECK(notes.remove(uid.substr(0, 12)).zone == "roof");
    CHECK(notes.notes(bake).empty());
    CHECK_THROWS_AS(notes.remove(uid), InputError);
    CHECK(is_sound_book(book));
}

TEST_CASE("a note changed outside of the program is found, and told to whoever reads it") {
    const Folder folder;
    BakeId bake{};
    {
        Book book = open_new(folder.file());
        bake = add_log(book);
        HandNoteRepository(book).add(thumb_test(bake));
    }
    {
        Connection connection(folder.file(), Mode::read_write, {});
        connection.execute("UPDATE hand_note SET found = 'hard'", "edit");
    }
    Book book = open_again(folder.file());
    CHECK(HandNoteRepository(book).notes(bake).at(0).found == CureTestResult::hard);
    REQUIRE(book.damage().size() == 1);
    CHECK(contains(book.damage()[0], "hand_note: the row was changed"));
    CHECK_FALSE(is_sound_book(book));
    CHECK_THROWS_AS(HandNoteRepository(book).add(film(bake)), BookError);
}

TEST_CASE("notes go with a merge in both directions, once, and with a backup") {
    const Folder folder;
    const auto one = folder.file("one.book"), two = folder.file("two.book");
    BakeId bake{};
    {
        Book book = open_new(one);
        bake = add_log(book);
        HandNoteRepository(book).add(thumb_test(bake));
        back_up(book, two);
    }
    {
        Book book = open_again(two);
        CHECK(HandNoteRepository(book).notes(bake).size() == 1);
        HandNoteRepository(book).add(film(bake));
        const BakeId more = add_prediction(book);
        HandNoteRepository(book).add(thumb_test(more));
    }
    Book first = open_again(one);
    HandNoteRepository(first).add(infrared_reading(bake));
    CHECK(merge(first, two).hand_notes == 2);
    CHECK(HandNoteRepository(first).notes(bake).size() == 3);
    CHECK(is_sound_book(first));
    CHECK(merge(first, two).hand_notes == 0);
    Book second = open_again(two);
    CHECK(merge(second, one).hand_notes == 1);
    CHECK(HandNoteRepository(second).notes(bake).size() == 3);
    CHECK(is_sound_book(second));
}

TEST_CASE("a note that was removed stays so while the other book has nothing new of its bake") {
    const Folder folder;
    const auto one = folder.file("one.book"), two = folder.file("two.book");
    Book book = open_new(one);
    const BakeId bake = add_log(book);
    const std::string uid = HandNoteRepository(book).add(thumb_test(bake));
    back_up(book, two);
    HandNoteRepository(book).remove(uid);
    CHECK(merge(book, two).hand_notes == 0);
    CHECK(HandNoteRepository(book).notes(bake).empty());
    CHECK(is_sound_book(book));
}

TEST_CASE("notes stay with a bake whose log is read again, and go with a bake that is removed") {
    const Folder folder;
    Book book = open_new(folder.file());
    const BakeId bake = add_log(book);
    HandNoteRepository notes(book);
    notes.add(thumb_test(bake));
    {
        Transaction transaction(book);
        const RawFileId file = BakeRepository(book).get(bake).logs.at(0).raw_file;
        const BakeId former =
            BakeRepository(book).read_again(bake, {.logs = {{file, R"({"unit": "degF"})"}}, .who = "painter", .why = "unit"});
        TraceRepository(book).store(bake, van_traces());
        transaction.commit();
        CHECK(notes.notes(former).empty());
    }
    CHECK(notes.notes(bake).size() == 1);
    CHECK(is_sound_book(book));
    BakeRepository(book).remove(bake);
    CHECK(notes.bakes_with(HandNoteKind::cure_test).empty());
    CHECK(is_sound_book(book));
}
