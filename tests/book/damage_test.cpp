// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>

#include <random>

#include "bakewright/book/book.hpp"
#include "bakewright/book/verify.hpp"
#include "shop.hpp"

using namespace bakewright;
using namespace bakewright::book;
using namespace bakewright::book::testing;

/// What must hold for a book with any bytes: it is refused, or works, or fails with a BookError; samples, documents and probe
/// files that it does give are those that were stored.
namespace {

void check_reading(Book& book) {
    const TraceRepository traces(book);
    const TraceSet stored = van_traces();
    for (const BakeSummary& bake : BakeRepository(book).list()) {
        for (const Trace& trace : traces.load(bake.id).traces) {
            const Trace* same = stored.find(trace.name);
            if (same != nullptr) CHECK(trace.temperature_k == same->temperature_k);
        }
        static_cast<void>(BakeRepository(book).find(bake.id));
    }
    for (const DocumentSummary& document : DocumentRepository(book).list())
        static_cast<void>(DocumentRepository(book).find(document.id));
    for (const RawFile& file : RawFileRepository(book).list()) {
        const std::string content = RawFileRepository(book).fetch(file.id);  // may be refused: outside of the check
        CHECK(content == kLogText);
    }
}

struct Outcomes {
    int fine = 0;
    int refused = 0;
    int failed = 0;
};

/// Each part on its own, so that one failure does not keep the others from being tried.
void use(const std::filesystem::path& file, Outcomes& outcomes) {
    try {
        Book book = open_again(file);
        static_cast<void>(verify(book));
        check_reading(book);
        add_prediction(book);
        BakeRepository(book).remove(BakeId{1});
        ++outcomes.fine;
    } catch (const InputError&) {
        ++outcomes.refused;
    } catch (const BookError&) {
        ++outcomes.failed;
    }
}

std::string whole_book() {
    const Folder folder;
    {
        Book book = open_new(folder.file());
        add_log(book, add_prediction(book));
    }
    return read_file(folder.file());
}

Outcomes use_damaged(const std::string& whole, unsigned seed, int rounds, int flips) {
    std::mt19937 random(seed);
    const Folder folder;
    Outcomes outcomes;
    for (int round = 0; round < rounds; ++round) {
        std::string bytes = whole;
        for (int i = 0; i < flips; ++i) {
            char& byte = bytes[random() % bytes.size()];
            byte = static_cast<char>(byte ^ static_cast<char>(1 + random() % 255));
        }
        const auto file = folder.file("damaged " + std::to_string(round) + ".book");
        write_file(file, bytes);
        CAPTURE(round);
        use(file, outcomes);
    }
    return outcomes;
}

}  // namespace

TEST_CASE("a book with one byte changed works or is refused, and never crashes") {
    const Outcomes outcomes = use_damaged(whole_book(), 1, 300, 1);
    CHECK(outcomes.fine + outcomes.refused + outcomes.failed == 300);
    CHECK(outcomes.fine > 0);
    CHECK(outcomes.failed > 0);
}

TEST_CASE("a book with many bytes changed works or is refused, and never crashes") {
    const Outcomes outcomes = use_damaged(whole_book(), 2, 150, 40);
    CHECK(outcomes.fine + outcomes.refused + outcomes.failed == 150);
    CHECK(outcomes.failed > 0);
}

TEST_CASE("a book with its header damaged at any place works or is refused, and never crashes") {
    const std::string whole = whole_book();
    const Folder folder;
    Outcomes outcomes;
    for (std::size_t at = 0; at < 108; ++at) {
        std::string bytes = whole;
        bytes[at] = static_cast<char>(~bytes[at]);
        const auto file = folder.file("header " + std::to_string(at) + ".book");
        write_file(file, bytes);
        CAPTURE(at);
        use(file, outcomes);
    }
    CHECK(outcomes.refused >= 16 + 4);  // the magic bytes and the application id
    CHECK(outcomes.failed > 0);
}

TEST_CASE("a book cut off anywhere is refused, and never crashes") {
    const std::string whole = whole_book();
    const Folder folder;
    Outcomes outcomes;
    int cuts = 0, lossless = 0;
    for (std::size_t size = 1; size < whole.size(); size += 1777) {
        const auto file = folder.file("cut " + std::to_string(size) + ".book");
        write_file(file, std::string_view(whole).substr(0, size));
        ++cuts;
        // SQLite reads what is missing of the last page as zeros, which may be what was there.
        if (whole.find_first_not_of('\0', size) == std::string::npos) ++lossless;
        use(file, outcomes);
    }
    CHECK(outcomes.fine <= lossless);
    CHECK(outcomes.refused + outcomes.failed + outcomes.fine == cuts);
    CHECK(lossless < cuts / 10);
}

TEST_CASE("verify names the damage of a flipped byte inside a block") {
    const std::string whole = whole_book();
    const Folder folder;
    std::string bytes = whole;
    const std::size_t frame = whole.rfind("\x28\xb5\x2f\xfd");  // magic number of a zstd frame, RFC 8878 section 3.1.1
    REQUIRE(frame != std::string::npos);
    bytes[frame + 40] = static_cast<char>(bytes[frame + 40] ^ 4);
    write_file(folder.file(), bytes);
    Book book = open_to_read(folder.file());
    const VerifyReport report = verify(book);
    CHECK_FALSE(report.sound());
    REQUIRE_FALSE(report.problems.empty());
    CHECK((contains(report.problems[0], "trace '") || contains(report.problems[0], "probe file")));
}
