// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/merge.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>

#include "bakewright/book/backup.hpp"
#include "bakewright/book/document_repository.hpp"
#include "bakewright/book/verify.hpp"
#include "connection.hpp"
#include "shop.hpp"

using namespace bakewright;
using namespace bakewright::book;
using namespace bakewright::book::testing;

namespace {

/// Everything a book says, without its short numbers: bakes by uid with their traces' hashes, documents, files, coats, entries.
std::multiset<std::string> contents(const std::filesystem::path& file) {
    Book book = open_to_read(file);
    std::multiset<std::string> said;
    BakeRepository bakes(book);
    const auto uid_of = [&](BakeId id) { return bakes.get(id).uid; };
    for (const BakeSummary& summary : bakes.list({.limit = 1000})) {
        const Bake bake = bakes.get(summary.id);
        std::string text =
            "bake " + bake.uid + " " + bake.title + "|" + bake.note + "|" + bake.started_at + "|" + bake.created_at;
        if (bake.paired_bake) text += " with " + uid_of(*bake.paired_bake);
        for (const DocumentSummary& document : bake.documents) text += " " + document.kind + document.sha256;
        for (const BakeLog& log : bake.logs) text += " " + log.sha256 + log.original_name;
        for (const Trace& trace : TraceRepository(book).load(bake.id).traces)
            text += " " + trace.name + std::to_string(trace.size()) + std::to_string(trace.temperature_k.back());
        said.insert(text);
    }
    for (const DocumentSummary& document : DocumentRepository(book).list(""))
        said.insert(document.kind + document.name + document.sha256);
    for (const RawFile& raw : RawFileRepository(book).list()) said.insert(raw.original_name + raw.sha256);
    ShellHistoryRepository history(book);
    for (const std::string& shell : history.shells()) {
        for (const StoredCoat& coat : history.coats(shell)) {
            std::string text =
                "coat " + shell + coat.name + coat.applied_at + coat.sanded_at.value_or("-") + coat.over + coat.note;
            std::vector<std::string> zones = coat.zones;
            std::sort(zones.begin(), zones.end());
            for (const std::string& zone : zones) text += "," + zone;
            said.insert(text);
        }
        for (const HistoryEntry& entry : history.bakes(shell)) {
            std::string text = "entry " + shell + uid_of(entry.bake) + entry.began_at;
            std::vector<std::string> parts = entry.zones;
            parts.insert(parts.end(), entry.items.begin(), entry.items.end());
            std::sort(parts.begin(), parts.end());
            for (const std::string& part : parts) text += "," + part;
            said.insert(text);
        }
    }
    return said;
}

void duplicate(const std::filesystem::path& from, const std::filesystem::path& to) {
    Book book = open_again(from);
    back_up(book, to);
}

bool is_sound(const std::filesystem::path& file) {
    Book book = open_to_read(file);
    return verify(book).sound();
}

/// Two machines: a common beginning, then bakes, notes and coats of their own.
struct TwoShops {
    Folder folder;
    std::filesystem::path one = folder.file("one.book"), two = folder.file("two.book");

    TwoShops() {
        BakeId common{};
        {
            Book book = open_new(one);
            common = add_prediction(book);
            add_history(book, common);
        }
        duplicate(one, two);
        {
            Book book = open_again(one);
            BakeRepository(book).set_note(common, "checked on Monday");
            add_log(book, common);
            ShellHistoryRepository history(book);
            history.set_sanded(history.coats("library_van").back().id, "2026-03-08T09:00:00");
        }
        Book book = open_again(two);
        BakeRepository(book).set_note(common, "roof dull");
        add_log(book, std::nullopt, "time_s,air_c\n0,20\n10,21\n");
        add_prediction(book, "doors");
        const DocumentId clear = DocumentRepository(book).store(
            {.kind = "coating", .name = "other_clear", .title = "", .text = "name = \"other_clear\"\n"});
        ShellHistoryRepository(book).add_coat({.shell = "library_van",
                                               .name = "clear, group 2",
                                               .coating = clear,
                                               .applied_at = "2026-03-09T07:30:00",
                                               .zones = {"roof", "doors"}});
    }

    MergeReport bring(const std::filesystem::path& from, const std::filesystem::path& into) {
        Book book = open_again(into);
        return merge(book, from);
    }
};

}  // namespace

TEST_CASE("books merged in either order, and twice, hold the same") {
    TwoShops shops;
    const auto first = shops.folder.file("first.book"), second = shops.folder.file("second.book");
    duplicate(shops.one, first);
    duplicate(shops.two, second);
    const MergeReport report = shops.bring(shops.two, first);
    CHECK(report.complete);
    CHECK(report.bakes == 2);
    CHECK(report.known_bakes == 1);
    CHECK(report.raw_files == 1);
    CHECK(report.coats == 1);
    REQUIRE(report.conflicts.size() == 1);
    CHECK(contains(report.conflicts[0], "'roof dull' was kept"));
    shops.bring(shops.one, second);
    CHECK(contents(first) == contents(second));
    CHECK(is_sound(first));
    CHECK(is_sound(second));
    const auto before = contents(first);
    const MergeReport again = shops.bring(shops.two, first);
    CHECK(again.bakes == 0);
    CHECK(again.known_bakes == 3);
    CHECK(again.documents == 0);
    CHECK(again.coats == 0);
    CHECK(again.conflicts.empty());  // what sorts last is in both now
    CHECK(contents(first) == before);
    shops.bring(second, first);
    CHECK(contents(first) == before);
}

TEST_CASE("a pairing, a sanding and traces come along") {
    TwoShops shops;
    shops.bring(shops.one, shops.two);
    Book book = open_to_read(shops.two);
    std::size_t pairs = 0;
    for (const BakeSummary& bake : BakeRepository(book).list({})) {
        CHECK(TraceRepository(book).load(bake.id).traces.size() == 3);
        pairs += BakeRepository(book).get(bake.id).paired_bake ? 1 : 0;
    }
    CHECK(pairs == 1);
    const auto coats = ShellHistoryRepository(book).coats("library_van");
    REQUIRE(coats.size() == 3);
    CHECK(coats[1].sanded_at == "2026-03-08T09:00:00");
}

TEST_CASE("entries of a history that name zones are united, and one for all zones contains any") {
    Folder folder;
    const auto one = folder.file("one.book"), two = folder.file("two.book");
    BakeId bake{};
    {
        Book book = open_new(one);
        bake = add_prediction(book);
    }
    duplicate(one, two);
    const auto enter = [&](const std::filesystem::path& file, const char* shell, std::vector<std::string> zones) {
        Book book = open_again(file);
        ShellHistoryRepository(book).add_bake(
            {.shell = shell, .bake = bake, .began_at = "2026-03-07T08:00:00", .zones = std::move(zones), .items = {"seat"}});
    };
    enter(one, "some", {"roof", "sill"});
    enter(two, "some", {"roof", "door"});
    enter(one, "all", {});
    enter(two, "all", {"roof"});
    for (const auto& [into, from] : {std::pair(one, two), std::pair(two, one)}) {
        const auto made = folder.file(into.stem().string() + "-merged.book");
        duplicate(into, made);
        Book book = open_again(made);
        static_cast<void>(merge(book, from));
        const ShellHistoryRepository history(book);
        std::vector<std::string> zones = history.bakes("some").front().zones;
        std::sort(zones.begin(), zones.end());
        CHECK(zones == std::vector<std::string>{"door", "roof", "sill"});
        CHECK(history.bakes("all").front().zones.empty());
        CHECK(history.bakes("some").front().items == std::vector<std::string>{"seat"});
    }
}

TEST_CASE("a book of an older schema is merged, and stands as it was") {
    Folder folder;
    const auto old = folder.file("old.book");
    std::filesystem::copy_file(std::filesystem::path(BAKEWRIGHT_BOOK_TEST_DATA) / "version1.sqlite", old);
    std::filesystem::permissions(old, std::filesystem::perms::owner_write, std::filesystem::perm_options::add);
    const std::string before = read_file(old);
    Book book = open_new(folder.file());
    const MergeReport report = merge(book, old);
    CHECK(report.complete);
    CHECK(report.bakes == 2);
    CHECK(read_file(old) == before);
    CHECK(verify(book).sound());
    for (const auto& entry : std::filesystem::directory_iterator(folder.path()))
        CHECK(!contains(entry.path().string(), ".merging"));
}

TEST_CASE("a damaged book is not merged, and this one stands as it was") {
    TwoShops shops;
    {
        // In a bake that this book lacks: what is known here is not read again.
        Book book = open_again(shops.two);
        book.connection().execute(
            "UPDATE trace_block SET data = zeroblob(length(data)) WHERE trace_id = (SELECT max(trace_id) FROM trace)", "test");
    }
    const auto before = contents(shops.one);
    Book book = open_again(shops.one);
    CHECK_THROWS_AS((void)merge(book, shops.two), BookError);
    CHECK(contents(shops.one) == before);
    CHECK(verify(book).sound());
}

TEST_CASE("merging stops when told to, and nothing of it stays") {
    TwoShops shops;
    const auto before = contents(shops.one);
    for (const double until : {0.1, 0.75, 0.9}) {
        Book book = open_again(shops.one);
        CHECK(!merge(book, shops.two, [until](double share) { return share < until; }).complete);
    }
    CHECK(contents(shops.one) == before);
}

TEST_CASE("a book is not merged with itself, nor with what is no book") {
    TwoShops shops;
    Book book = open_again(shops.one);
    CHECK(contains(message_of<InputError>([&] { (void)merge(book, shops.one); }), "this very book"));
    const auto text = shops.folder.file("text.csv");
    write_file(text, kLogText);
    CHECK(contains(message_of<InputError>([&] { (void)merge(book, text); }), "not a book"));
    CHECK(contains(message_of<InputError>([&] { (void)merge(book, shops.folder.file("none.book")); }), "no book here"));
}

TEST_CASE("a backup holds the same, is sound, and is made while another writes") {
    TwoShops shops;
    const auto made = shops.folder.file("copy with blanks, \xC3\xA9t\xC3\xA9.book");
    {
        Book writing = open_again(shops.one);
        Transaction transaction(writing);
        DocumentRepository(writing).store({.kind = "note", .name = "unfinished", .title = "", .text = "not yet"});
        Book reading = open_to_read(shops.one);
        back_up(reading, made);
    }
    CHECK(contents(made) == contents(shops.one));
    CHECK(is_sound(made));
    Book book = open_again(shops.one);
    CHECK(contains(message_of<InputError>([&] { back_up(book, made); }), "overwrites nothing"));
    CHECK(contains(message_of<InputError>([&] { back_up(book, shops.folder.file("nowhere") / "x.book"); }), "no folder"));
    for (const auto& entry : std::filesystem::directory_iterator(shops.folder.path()))
        CHECK(!contains(entry.path().string(), "unfinished"));
}
