// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <algorithm>

#include "bakewright/book/backup.hpp"
#include "bakewright/book/journal.hpp"
#include "bakewright/book/merge.hpp"
#include "bakewright/book/verify.hpp"
#include "shop.hpp"

using namespace bakewright;
using namespace bakewright::book;
using namespace bakewright::book::testing;

namespace {

/// The van's traces as a reading in another unit would have them.
TraceSet warmer_traces(double by_k) {
    TraceSet traces = van_traces();
    for (Trace& trace : traces.traces)
        for (double& temperature_k : trace.temperature_k) temperature_k += by_k;
    return traces;
}

BakeId read_in_fahrenheit(Book& book, BakeId bake, double by_k = 5.0, const std::string& why = "the logger writes Fahrenheit") {
    Transaction transaction(book);
    const Bake before = BakeRepository(book).get(bake);
    const BakeId former = BakeRepository(book).read_again(bake, {.logs = {{before.logs.at(0).raw_file, R"({"unit": "degF"})"}},
                                                                 .started_at = "2026-03-07T08:00:00",
                                                                 .program_version = "0.2.0",
                                                                 .who = "painter",
                                                                 .why = why});
    TraceRepository(book).store(bake, warmer_traces(by_k));
    transaction.commit();
    return former;
}

double roof_end_k(Book& book, BakeId bake) { return TraceRepository(book).load_one(bake, "roof")->temperature_k.back(); }

bool is_sound(Book& book) { return verify(book).sound(); }

}  // namespace

TEST_CASE("a log that is read again keeps number, uid, pair and history; the reading before is kept and marked") {
    const Folder folder;
    Book book = open_new(folder.file());
    const BakeId prediction = add_prediction(book);
    const BakeId log = add_log(book, prediction);
    ShellHistoryRepository(book).add_bake({.shell = "library_van", .bake = log, .began_at = "2026-03-07T08:00:00"});
    const BakeRepository bakes(book);
    const std::string uid = bakes.get(log).uid;
    const double before_k = roof_end_k(book, log);
    const BakeId former = read_in_fahrenheit(book, log);
    const Bake now = bakes.get(log);
    CHECK(now.uid == uid);
    CHECK(now.paired_bake == prediction);
    CHECK(now.logs.at(0).reading_options_json == R"({"unit": "degF"})");
    CHECK(now.document("shell") != nullptr);
    CHECK(now.program_version == "0.2.0");
    REQUIRE(now.earlier_readings.size() == 1);
    CHECK(now.earlier_readings[0].bake == former);
    CHECK(now.earlier_readings[0].replaced_by == "painter");
    CHECK(now.earlier_readings[0].why == "the logger writes Fahrenheit");
    CHECK(now.earlier_readings[0].replaced_at == kNow);
    CHECK(roof_end_k(book, log) == before_k + 5.0);
    const Bake kept = bakes.get(former);
    REQUIRE(kept.replaced);
    CHECK(kept.replaced->of == log);
    CHECK(kept.logs.at(0).reading_options_json == R"({"delimiter": ","})");
    CHECK(roof_end_k(book, former) == before_k);
    CHECK(bakes.list().size() == 2);
    CHECK(bakes.list({.earlier_readings = true}).size() == 3);
    CHECK(bakes.count() == 2);
    CHECK(bakes.find_by_raw_file(now.logs.at(0).sha256) == std::vector<BakeId>{log});
    CHECK(bakes.paired_with(prediction) == std::vector<BakeId>{log});
    CHECK(ShellHistoryRepository(book).bakes("library_van").front().bake == log);
    CHECK(is_sound(book));
}

TEST_CASE("a log is read again as often as wanted, and goes with all its readings") {
    const Folder folder;
    Book book = open_new(folder.file());
    const BakeId log = add_log(book);
    read_in_fahrenheit(book, log, 5.0);
    read_in_fahrenheit(book, log, 7.0);
    CHECK(BakeRepository(book).get(log).earlier_readings.size() == 2);
    CHECK(is_sound(book));
    CHECK(BakeRepository(book).remove(log).raw_files == 1);
    CHECK(BakeRepository(book).list({.earlier_readings = true}).empty());
    CHECK(DocumentRepository(book).list().empty());
    CHECK(is_sound(book));
}

TEST_CASE("what cannot be read again is refused, and nothing of it stays") {
    const Folder folder;
    Book book = open_new(folder.file());
    const BakeId prediction = add_prediction(book);
    const BakeId log = add_log(book);
    const BakeId former = read_in_fahrenheit(book, log);
    BakeRepository bakes(book);
    const auto refusal = [&](BakeId bake, std::vector<LogSource> logs) {
        return message_of<InputError>([&] { bakes.read_again(bake, {.logs = std::move(logs), .why = "x"}); });
    };
    const std::vector<LogSource> same{{bakes.get(log).logs.at(0).raw_file}};
    CHECK(contains(refusal(prediction, {}), "only a log is read again"));
    CHECK(contains(refusal(former, same), "an earlier reading of bake 2"));
    const RawFileId other = RawFileRepository(book).store("other.csv", "a,b\n");
    CHECK(contains(refusal(log, {{other}}), "was read from other files"));
    CHECK(contains(message_of<InputError>([&] {
                       ShellHistoryRepository(book).add_bake({.shell = "van", .bake = former, .began_at = "2026-03-07T08:00:00"});
                   }),
                   "a reading that was replaced"));
    CHECK(bakes.get(log).earlier_readings.size() == 1);
    CHECK(is_sound(book));
}

TEST_CASE("a new reading goes with a merge, and both books hold both readings then") {
    const Folder folder;
    const auto one = folder.file("one.book"), two = folder.file("two.book");
    BakeId log{};
    {
        Book book = open_new(one);
        log = add_log(book);
        back_up(book, two);
    }
    Book first = open_again(one), second = open_again(two);
    const double before_k = roof_end_k(first, log);
    read_in_fahrenheit(second, log);
    CHECK(merge(first, two).complete);
    CHECK(roof_end_k(first, log) == before_k + 5.0);
    REQUIRE(BakeRepository(first).get(log).earlier_readings.size() == 1);
    CHECK(roof_end_k(first, BakeRepository(first).get(log).earlier_readings[0].bake) == before_k);
    CHECK(is_sound(first));
    const std::string digest = journal_digest(first).text;
    CHECK(merge(first, two).bakes == 0);
    CHECK(journal_digest(first).text == digest);
    // The other way round: the older reading does not come back over the newer one.
    CHECK(merge(second, one).complete);
    CHECK(roof_end_k(second, log) == before_k + 5.0);
    CHECK(BakeRepository(second).get(log).earlier_readings.size() == 1);
    CHECK(is_sound(second));
}

TEST_CASE("a log that both books read again keeps both new readings; the later one counts") {
    const Folder folder;
    const auto one = folder.file("one.book"), two = folder.file("two.book");
    BakeId log{};
    {
        Book book = open_new(one);
        log = add_log(book);
        back_up(book, two);
    }
    {
        Book second = Book::open(two, Mode::read_write, {.clock = [] { return std::string("2026-03-08T10:00:00Z"); }});
        read_in_fahrenheit(second, log, 9.0);
    }
    Book first = open_again(one);
    const double before_k = roof_end_k(first, log);
    read_in_fahrenheit(first, log, 5.0);
    const MergeReport report = merge(first, two);
    REQUIRE(report.conflicts.size() == 1);
    CHECK(contains(report.conflicts[0], "both books read its log again"));
    CHECK(roof_end_k(first, log) == before_k + 9.0);
    std::vector<double> ends_k;
    for (const EarlierReading& reading : BakeRepository(first).get(log).earlier_readings)
        ends_k.push_back(roof_end_k(first, reading.bake) - before_k);
    std::sort(ends_k.begin(), ends_k.end());
    CHECK(ends_k == std::vector<double>{0.0, 5.0});
    CHECK(is_sound(first));
}

TEST_CASE("the same log brought into two books is one bake after a merge, known under both uids") {
    const Folder folder;
    const auto one = folder.file("one.book"), two = folder.file("two.book");
    std::string other_uid;
    {
        Book book = open_new(two);
        add_prediction(book);
        const BakeId log = add_log(book);
        other_uid = BakeRepository(book).get(log).uid;
        ShellHistoryRepository(book).add_bake(
            {.shell = "library_van", .bake = log, .began_at = "2026-03-07T08:00:00", .items = {"seat"}});
    }
    Book book = open_new(one);
    const BakeId log = add_log(book);
    const MergeReport report = merge(book, two);
    CHECK(report.bakes == 1);
    CHECK(report.known_bakes == 1);
    CHECK(BakeRepository(book).count() == 2);
    CHECK(BakeRepository(book).find_by_uid(other_uid) == log);
    CHECK(BakeRepository(book).find_by_uid(other_uid.substr(0, 8)) == log);
    CHECK_FALSE(BakeRepository(book).find_by_uid("12"));
    CHECK(ShellHistoryRepository(book).bakes("library_van").at(0).bake == log);
    CHECK(is_sound(book));
    const std::string digest = journal_digest(book).text;
    CHECK(merge(book, two).known_bakes == 2);
    CHECK(journal_digest(book).text == digest);
    Book other = open_again(two);
    CHECK(merge(other, one).bakes == 0);
    CHECK(BakeRepository(other).count() == 2);
    CHECK(is_sound(other));
}

TEST_CASE("bakes are found by title, date, log, profile and the front of their uid") {
    const Folder folder;
    Book book = open_new(folder.file());
    const BakeId prediction = add_prediction(book);
    const BakeId log = add_log(book);
    const BakeRepository bakes(book);
    const auto found = [&](const std::string& words) {
        std::vector<BakeId> ids;
        for (const BakeSummary& bake : bakes.list({.words = words})) ids.push_back(bake.id);
        return ids;
    };
    CHECK(found("Roof And") == std::vector<BakeId>{prediction});
    CHECK(found("van 7 march") == std::vector<BakeId>{log});
    CHECK(found("clear_60") == std::vector<BakeId>{prediction});
    CHECK(found("2026-03-07").size() == 2);
    CHECK(found(bakes.get(log).uid.substr(0, 10)) == std::vector<BakeId>{log});
    CHECK(found("tractor").empty());
}
