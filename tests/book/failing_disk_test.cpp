// SPDX-License-Identifier: Apache-2.0
#include "failing_disk.hpp"

#include <doctest/doctest.h>

#include <cstdlib>
#include <functional>
#include <tuple>

#include "bakewright/book/document_repository.hpp"
#include "bakewright/book/merge.hpp"
#include "bakewright/book/verify.hpp"
#include "shop.hpp"

using namespace bakewright;
using namespace bakewright::book;
using namespace bakewright::book::testing;

// A fault at every single deed of the disk, one run each: what a random kill meets by luck. (At every third, where
// BAKEWRIGHT_LONG does not ask for all.) After each the book is sound and holds what it held before, or all of what was done; and
// where the program said it was done, it holds that.
namespace {

using Held = std::tuple<std::uint64_t, std::uint64_t, std::uint64_t, std::uint64_t, std::uint64_t>;

Held held_by(const std::filesystem::path& file) {
    Book book = open_again(file);
    const VerifyReport report = verify(book);
    CAPTURE(report.problems);
    CHECK(report.sound());
    CHECK(book.damage().empty());
    return {report.bakes, report.traces, report.samples, report.documents, report.raw_files};
}

/// What lies on the disk after a fault: the file and its log, without the memory that programs share, as after a restart.
void copy_book(const std::filesystem::path& from, const std::filesystem::path& to) {
    for (const char* part : {"", "-wal", "-journal"}) {
        std::filesystem::remove(to.string() + part);
        if (std::filesystem::exists(from.string() + part)) std::filesystem::copy_file(from.string() + part, to.string() + part);
    }
    std::filesystem::remove(to.string() + "-shm");
}

struct Outcome {
    int faults = 0, kept_before = 0, kept_after = 0;
};

/// One fault at every place, until a run meets none.
/// @param made   a book to begin with
/// @param work   what is done to it, with a book opened inside
Outcome fail_everywhere(const std::filesystem::path& made, const std::function<void(const std::filesystem::path&)>& work,
                        DiskDeed deed, DiskFault fault) {
    const Folder folder;
    const auto file = folder.file(), after_restart = folder.file("again.book");
    copy_book(made, after_restart);
    const Held before = held_by(after_restart);
    copy_book(made, file);
    work(file);
    copy_book(file, after_restart);
    const Held after = held_by(after_restart);
    Outcome outcome;
    const int step = std::getenv("BAKEWRIGHT_LONG") == nullptr ? 3 : 1;
    for (int at = 1;; at += step) {
        CAPTURE(static_cast<int>(deed));
        CAPTURE(static_cast<int>(fault));
        CAPTURE(at);
        copy_book(made, file);
        std::filesystem::remove(file.string() + "-shm");
        bool is_done = false, has_failed = false;
        {
            FailingDisk disk(deed, fault, at);
            try {
                work(file);
                is_done = true;
            } catch (const std::exception& error) {  // told, never a crash: any error of ours or the disk's
                CHECK_MESSAGE(dynamic_cast<const PromiseError*>(&error) == nullptr, error.what());
            }
            has_failed = disk.has_failed();
        }
        copy_book(file, after_restart);
        const Held now = held_by(after_restart);
        const bool is_either = now == before || now == after;
        CHECK(is_either);
        if (is_done) CHECK(now == after);
        if (!has_failed) break;
        ++outcome.faults;
        outcome.kept_before += now == before;
        outcome.kept_after += now == after;
    }
    return outcome;
}

void fail_at_every_deed(const std::filesystem::path& made, const std::function<void(const std::filesystem::path&)>& work) {
    int faults = 0;
    for (const auto& [deed, fault] : {std::pair{DiskDeed::write, DiskFault::refused},
                                      {DiskDeed::write, DiskFault::gone},
                                      {DiskDeed::write, DiskFault::cut},
                                      {DiskDeed::sync, DiskFault::refused},
                                      {DiskDeed::sync, DiskFault::cut},
                                      {DiskDeed::open, DiskFault::refused},
                                      {DiskDeed::remove, DiskFault::refused}}) {
        const Outcome outcome = fail_everywhere(made, work, deed, fault);
        faults += outcome.faults;
        if (deed == DiskDeed::write) CHECK(outcome.kept_before > 0);  // some fault came before all was on the disk
    }
    MESSAGE(faults << " faults, the book sound after each");
    CHECK(faults > 40);
}

}  // namespace

TEST_CASE("a prediction is kept whole or not at all, wherever the disk fails") {
    const Folder folder;
    static_cast<void>(open_new(folder.file()));
    fail_at_every_deed(folder.file(), [](const std::filesystem::path& file) {
        Book book = open_again(file);
        add_prediction(book);
    });
}

TEST_CASE("a log is kept whole or not at all, wherever the disk fails") {
    const Folder folder;
    {
        Book book = open_new(folder.file());
        add_prediction(book);
    }
    fail_at_every_deed(folder.file(), [](const std::filesystem::path& file) {
        Book book = open_again(file);
        add_log(book);
    });
}

TEST_CASE("a merge brings everything or nothing, wherever the disk fails") {
    const Folder folder;
    const auto other = folder.file("other.book");
    {
        Book book = open_new(folder.file());
        add_prediction(book);
        Book second = open_new(other);
        add_history(second, add_prediction(second, "doors"));
        add_log(second);
    }
    fail_at_every_deed(folder.file(), [&](const std::filesystem::path& file) {
        Book book = open_again(file);
        static_cast<void>(merge(book, other));
    });
}

TEST_CASE("a book of an older schema is brought up to date or left as it was, wherever the disk fails") {
    for (const char* version : {"version1", "version2", "version3", "version4"}) {
        CAPTURE(version);
        fail_at_every_deed(std::string(BAKEWRIGHT_BOOK_TEST_DATA "/") + version + ".sqlite",
                           [](const std::filesystem::path& file) { static_cast<void>(open_again(file)); });
    }
}
