// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <algorithm>

#include "bakewright/book/backup.hpp"
#include "bakewright/book/document_repository.hpp"
#include "bakewright/book/identity_repository.hpp"
#include "bakewright/book/merge.hpp"
#include "bakewright/book/verify.hpp"
#include "connection.hpp"
#include "shop.hpp"

using namespace bakewright;
using namespace bakewright::book;
using namespace bakewright::book::testing;

namespace {

/// A van that was sprayed and baked once; what it is called is the same for every one.
BakeId add_van(Book& book, const std::string& shell = "library_van", const std::string& at = "2026-03-05T10:00:00") {
    Transaction transaction(book);
    const DocumentId clear =
        DocumentRepository(book).store({.kind = "coating", .name = "van_clear", .title = "", .text = "name = \"van_clear\"\n"});
    ShellHistoryRepository history(book);
    history.add_coat({.shell = shell, .name = "clear", .coating = clear, .applied_at = at, .zones = {"roof"}});
    const BakeId bake = add_prediction(book, "clear of " + at);
    history.add_bake({.shell = shell, .bake = bake, .began_at = at.substr(0, 11) + "12:00:00", .zones = {}, .items = {"seat"}});
    transaction.commit();
    return bake;
}

std::vector<std::string> names_in(Book& book) {
    std::vector<std::string> names;
    for (const Vehicle& vehicle : IdentityRepository(book).vehicles()) names.push_back(vehicle.shell);
    return names;
}

bool holds_up(Book& book) { return verify(book).sound(); }

/// Two books, each with a van of its own.
struct TwoVans {
    Folder folder;
    std::filesystem::path one = folder.file("one.book"), two = folder.file("two.book");

    explicit TwoVans(const std::string& second_at = "2026-04-05T10:00:00") {
        Book first = open_new(one), second = open_new(two);
        add_van(first);
        add_van(second, "library_van", second_at);
    }
};

}  // namespace

TEST_CASE("a history that begins has a vehicle, whose numbers are its own") {
    const Folder folder;
    Book book = open_new(folder.file());
    add_van(book);
    add_van(book, "library_van #27-031");
    IdentityRepository identities(book);
    const std::optional<Vehicle> van = identities.vehicle("library_van");
    REQUIRE(van);
    CHECK(van->uid.size() == 32);
    CHECK(van->uid != identities.vehicle("library_van #27-031")->uid);
    identities.set_numbers("library_van", "27-030", "LC-0006");
    CHECK(identities.vehicle("library_van")->job_number == "27-030");
    CHECK(identities.vehicle("library_van")->uid == van->uid);
    CHECK_THROWS_AS(identities.set_numbers("library_van #27-031", "27-030", ""), InputError);
    CHECK_THROWS_AS(identities.set_numbers("library_van #27-031", "", "LC-0006"), InputError);
    CHECK_THROWS_AS(identities.set_numbers("other_van", "1", ""), InputError);
    CHECK_FALSE(identities.vehicle("other_van"));
    CHECK(holds_up(book));
}

TEST_CASE("a merge never unites two vehicles because their shells share a name") {
    const TwoVans vans;
    Book book = open_again(vans.one);
    const MergeReport report = merge(book, vans.two);
    CHECK(report.coats == 1);
    CHECK(report.history_bakes == 1);
    REQUIRE(report.conflicts.size() == 1);
    CHECK(contains(report.conflicts[0], "nothing says that they are one"));
    const std::vector<std::string> names = names_in(book);
    REQUIRE(names.size() == 2);
    CHECK(names[0] == "library_van");
    CHECK(names[1].starts_with("library_van #"));
    ShellHistoryRepository history(book);
    CHECK(history.coats("library_van").size() == 1);
    REQUIRE(history.coats(names[1]).size() == 1);
    CHECK(history.coats(names[1])[0].applied_at == "2026-04-05T10:00:00");
    CHECK(history.bakes(names[1]).at(0).items == std::vector<std::string>{"seat"});
    CHECK(book.damage().empty());
    CHECK(holds_up(book));

    // The other book stands as it was, and merging again finds the same vehicle under the name it has here.
    Book other = open_again(vans.two);
    CHECK(names_in(other) == std::vector<std::string>{"library_van"});
    add_van(other, "library_van", "2026-05-01T10:00:00");
    CHECK(merge(book, vans.two).coats == 1);
    CHECK(names_in(book) == names);
    CHECK(history.coats(names[1]).size() == 2);
    CHECK(merge(book, vans.two).coats == 0);
    CHECK(holds_up(book));
    // And back: what is here under the other name is theirs under their own.
    CHECK(merge(other, vans.one).coats == 1);
    CHECK(ShellHistoryRepository(other).coats("library_van").size() == 2);
    CHECK(names_in(other).size() == 2);
    CHECK(holds_up(other));
}

TEST_CASE("a job number, a maker's number, a coat or a bake that both books have makes two histories one") {
    for (const bool by_maker : {false, true}) {
        const TwoVans vans;
        Book book = open_again(vans.one);
        {
            Book other = open_again(vans.two);
            IdentityRepository(other).set_numbers("library_van", by_maker ? "" : "27-031", by_maker ? "LC-0007" : "");
        }
        IdentityRepository(book).set_numbers("library_van", by_maker ? "" : "27-031", by_maker ? "LC-0007" : "");
        CHECK(merge(book, vans.two).conflicts.empty());
        CHECK(names_in(book).size() == 1);
        CHECK(ShellHistoryRepository(book).coats("library_van").size() == 2);
        CHECK(holds_up(book));
    }
    const TwoVans same("2026-03-05T10:00:00");  // the same coat, entered in two books
    Book book = open_again(same.one);
    CHECK(merge(book, same.two).coats == 0);
    CHECK(names_in(book).size() == 1);
    CHECK(holds_up(book));
}

TEST_CASE("two job numbers are two vehicles, whatever else is alike") {
    const TwoVans vans("2026-03-05T10:00:00");
    Book book = open_again(vans.one);
    {
        Book other = open_again(vans.two);
        IdentityRepository(other).set_numbers("library_van", "27-032", "");
    }
    IdentityRepository(book).set_numbers("library_van", "27-031", "");
    CHECK(merge(book, vans.two).conflicts.size() == 1);
    CHECK(names_in(book) == std::vector<std::string>{"library_van", "library_van #27-032"});
    CHECK(holds_up(book));
}

TEST_CASE("forty booths: each van once, one log that two of them have once, and every name told") {
    const Folder folder;
    Book all = open_new(folder.file("all.book"));
    std::size_t conflicts = 0;
    for (int booth = 0; booth < 40; ++booth) {
        const auto file = folder.file("booth" + std::to_string(booth) + ".book");
        {
            Book book = open_new(file);
            const std::string minute = (booth < 10 ? "0" : "") + std::to_string(booth);
            add_van(book, "library_van", "2026-03-05T10:" + minute + ":00");
            add_log(book);
            IdentityRepository(book).set_site("booth " + std::to_string(booth));
        }
        conflicts += merge(all, file).conflicts.size();
    }
    CHECK(names_in(all).size() == 40);
    CHECK(conflicts == 39);
    CHECK(IdentityRepository(all).sites().size() == 40);
    const auto bakes = BakeRepository(all).list({.limit = 1000});
    CHECK(std::count_if(bakes.begin(), bakes.end(), [](const BakeSummary& bake) { return bake.kind == BakeKind::logged; }) == 1);
    CHECK(bakes.size() == 41);
    CHECK(holds_up(all));
}

TEST_CASE("a bake tells the book that it was first kept in, with its site") {
    const Folder folder;
    const auto one = folder.file("one.book"), two = folder.file("two.book");
    {
        Book book = open_new(one);
        add_prediction(book);
        IdentityRepository(book).set_site("north yard");
        IdentityRepository(book).set_site("north yard, hall 2");
    }
    Book book = open_new(two);
    const BakeId own = add_prediction(book, "own");
    CHECK(merge(book, one).complete);
    const IdentityRepository identities(book);
    REQUIRE(identities.sites().size() == 1);
    CHECK(identities.sites()[0].name == "north yard, hall 2");
    CHECK(identities.origin_of(own)->name.empty());
    CHECK(identities.origin_of(BakeId{2})->name == "north yard, hall 2");
    CHECK(identities.origin_of(own)->book_uid != identities.origin_of(BakeId{2})->book_uid);
    CHECK_FALSE(identities.origin_of(BakeId{9}));
    CHECK(holds_up(book));
}

TEST_CASE("a history of a book that knew names alone has a vehicle, alike in every copy of it") {
    const Folder folder;
    std::vector<std::string> uids;
    for (const char* copy : {"one.book", "two.book"}) {
        std::filesystem::copy_file(BAKEWRIGHT_BOOK_TEST_DATA "/version2.sqlite", folder.file(copy));
        Book book = open_again(folder.file(copy));
        REQUIRE(names_in(book) == std::vector<std::string>{"library_van"});
        uids.push_back(IdentityRepository(book).vehicle("library_van")->uid);
        CHECK(holds_up(book));
    }
    CHECK(uids[0] == uids[1]);
}

TEST_CASE("a vehicle or site changed outside of the program is found") {
    for (const char* sql : {"UPDATE vehicle SET job_number = '1'", "DELETE FROM vehicle", "UPDATE site SET name = 'south'",
                            "INSERT INTO site VALUES ('00000000000000000000000000000000', 'west')"}) {
        const Folder folder;
        {
            Book book = open_new(folder.file());
            add_van(book);
            IdentityRepository(book).set_site("north");
        }
        Connection(folder.file(), Mode::read_write, {}).execute(sql, "edit");
        Book book = open_again(folder.file());
        CAPTURE(sql);
        CHECK_FALSE(holds_up(book));
    }
}
