// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/shell_history_repository.hpp"

#include <doctest/doctest.h>

#include "shop.hpp"

using namespace bakewright;
using namespace bakewright::book;
using namespace bakewright::book::testing;

namespace {

struct Shop {
    Folder folder;
    Book book = open_new(folder.file());
    BakeId bake = add_prediction(book);
};

DocumentId coating(Book& book, const std::string& name) {
    return DocumentRepository(book).store({.kind = "coating", .name = name, .title = "", .text = "name = \"" + name + "\"\n"});
}

NewCoat clear_on_roof(Book& book) {
    return {.shell = "library_van",
            .name = "clear",
            .coating = coating(book, "clear"),
            .applied_at = "2026-03-07T09:00:00",
            .over = "base",
            .zones = {"roof"},
            .note = "two passes"};
}

}  // namespace

TEST_CASE("a local time has one form") {
    CHECK(is_local_timestamp("2026-03-07T14:05:09"));
    for (const char* wrong :
         {"", "2026-03-07", "2026-03-07T14:05", "2026-03-07 14:05:09", "2026-03-07T14:05:09Z", "2026-3-7T14:05:09"})
        CHECK(!is_local_timestamp(wrong));
}

TEST_CASE("coats and bakes come back as they were entered, in the order of time") {
    Shop shop;
    add_history(shop.book, shop.bake);
    ShellHistoryRepository history(shop.book);
    NewCoat early = clear_on_roof(shop.book);
    early.name = "guide coat";
    early.applied_at = "2026-03-01T09:00:00";
    const CoatId id = history.add_coat(early);
    Book reopened = open_again(shop.folder.file());
    const std::vector<StoredCoat> coats = ShellHistoryRepository(reopened).coats("library_van");
    REQUIRE(coats.size() == 3);
    CHECK(coats[0].id == id);
    CHECK(coats[0].name == "guide coat");
    CHECK(coats[0].over == "base");
    CHECK(coats[0].note == "two passes");
    CHECK(!coats[0].sanded_at);
    CHECK(coats[1].zones == std::vector<std::string>{"roof", "left sill"});
    const std::vector<HistoryEntry> bakes = ShellHistoryRepository(reopened).bakes("library_van");
    REQUIRE(bakes.size() == 1);
    CHECK(bakes[0].began_at == "2026-03-07T08:00:00");
    CHECK(bakes[0].zones.empty());
    CHECK(bakes[0].items == std::vector<std::string>{"seat"});
    CHECK(ShellHistoryRepository(reopened).bakes("another").empty());
    CHECK(ShellHistoryRepository(reopened).shells() == std::vector<std::string>{"library_van"});
    CHECK(ShellHistoryRepository(reopened).shells_with(shop.bake) == std::vector<std::string>{"library_van"});
}

TEST_CASE("a bake that counts in a history is not removed under it, nor is its other half") {
    Shop shop;
    const BakeId log = add_log(shop.book, shop.bake);
    add_history(shop.book, shop.bake);
    const std::string direct = message_of<InputError>([&] { BakeRepository(shop.book).remove(shop.bake); });
    CHECK(contains(direct, "bake 1 counts in the history of 'library_van'"));
    CHECK(contains(direct, "history remove 1 --shell 'library_van'"));
    const std::string pair = message_of<InputError>([&] { BakeRepository(shop.book).remove(log); });
    CHECK(contains(pair, "as the other half of bake 1"));
    CHECK(BakeRepository(shop.book).count() == 2);
    ShellHistoryRepository(shop.book).remove_bake("library_van", shop.bake);
    BakeRepository(shop.book).remove(log);
    BakeRepository(shop.book).remove(shop.bake);
    CHECK(BakeRepository(shop.book).count() == 0);
}

TEST_CASE("a coating stays while a bake or a coat uses it, and goes with the last of them") {
    Shop shop;
    ShellHistoryRepository history(shop.book);
    const NewCoat coat = clear_on_roof(shop.book);
    const CoatId one = history.add_coat(coat);
    NewCoat second = coat;
    second.name = "clear again";
    const CoatId two = history.add_coat(second);
    const BakeId bake = BakeRepository(shop.book).add({.title = "with this clear", .documents = {coat.coating}});
    CHECK(BakeRepository(shop.book).remove(bake).documents == 0);
    CHECK(DocumentRepository(shop.book).find(coat.coating));
    history.remove_coat(one);
    CHECK(DocumentRepository(shop.book).find(coat.coating));
    history.remove_coat(two);
    CHECK(!DocumentRepository(shop.book).find(coat.coating));
}

TEST_CASE("what is not there is refused") {
    Shop shop;
    ShellHistoryRepository history(shop.book);
    CHECK_THROWS_AS((void)history.coat(CoatId{7}), InputError);
    CHECK_THROWS_AS(history.set_sanded(CoatId{7}, "2026-03-07T09:00:00"), InputError);
    CHECK_THROWS_AS(history.remove_coat(CoatId{7}), InputError);
    CHECK_THROWS_AS(history.remove_bake("library_van", shop.bake), InputError);
    CHECK_THROWS_AS(history.add_bake({.shell = "library_van", .bake = BakeId{99}, .began_at = "2026-03-07T09:00:00"}),
                    InputError);
    NewCoat coat = clear_on_roof(shop.book);
    coat.coating = DocumentId{99};
    CHECK_THROWS_AS(history.add_coat(coat), InputError);
    history.add_bake({.shell = "library_van", .bake = shop.bake, .began_at = "2026-03-07T09:00:00"});
    const std::string twice = message_of<InputError>(
        [&] { history.add_bake({.shell = "library_van", .bake = shop.bake, .began_at = "2026-03-08T09:00:00"}); });
    CHECK(contains(twice, "stands in the history of 'library_van' already"));
    history.add_bake({.shell = "rear_door", .bake = shop.bake, .began_at = "2026-03-07T09:00:00"});
    CHECK(history.shells_with(shop.bake).size() == 2);
}

TEST_CASE("a coat without zones, or with a time that is none, is a broken promise and leaves nothing") {
    Shop shop;
    ShellHistoryRepository history(shop.book);
    NewCoat coat = clear_on_roof(shop.book);
    coat.zones.clear();
    CHECK_THROWS_AS(history.add_coat(coat), PromiseError);
    coat.zones = {"roof", "roof"};
    CHECK_THROWS_AS(history.add_coat(coat), PromiseError);
    coat.zones = {"roof"};
    coat.applied_at = "yesterday";
    CHECK_THROWS_AS(history.add_coat(coat), PromiseError);
    CHECK(history.coats("library_van").empty());
}

TEST_CASE("hostile names are data") {
    Shop shop;
    ShellHistoryRepository history(shop.book);
    NewCoat coat = clear_on_roof(shop.book);
    coat.shell = "'; DROP TABLE coat; --";
    coat.name = "<script>alert(1)</script>";
    coat.zones = {"roof'; DELETE FROM bake; --"};
    history.add_coat(coat);
    REQUIRE(history.coats(coat.shell).size() == 1);
    CHECK(history.coats(coat.shell)[0].name == coat.name);
    CHECK(history.coats(coat.shell)[0].zones == coat.zones);
    CHECK(BakeRepository(shop.book).count() == 1);
}
