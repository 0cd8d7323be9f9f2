// SPDX-License-Identifier: Apache-2.0
// What a book of many bakes costs, against plain SQLite on the same disk.
#include <stdexcept>

#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "book_peers.hpp"
#include "measure.hpp"

namespace bakewright::bench {
namespace {

constexpr std::size_t kBakes = 30000;

/// Made once for all records that ask of it.
const fs::path& large_book() {
    static const ScratchFolder folder;
    static const fs::path file = [] {
        book::Book book = book::Book::open(folder.file("large.book"), book::Mode::create);
        book::BakeRepository bakes(book);
        book::TraceRepository traces(book);
        book::Transaction transaction(book);
        for (std::size_t i = 0; i < kBakes; ++i) {
            book::NewBake bake;
            bake.kind = book::BakeKind::logged;
            bake.title = "bake " + std::to_string(i);
            traces.store(bakes.add(bake), logged_bake(i));
        }
        transaction.commit();
        return folder.file("large.book");
    }();
    return file;
}

}  // namespace

Record book_open_30000() {
    const fs::path& file = large_book();
    const auto ours = [&] { static_cast<void>(book::Book::open(file, book::Mode::read_only)); };
    const auto plain = [&] { static_cast<void>(Plain(file).read("PRAGMA schema_version")); };
    const std::vector<double> median_s = interleaved_medians_s({ours, plain}, 21);
    return {"book.open-30000",
            median_s[0] * 1e3,
            "ms",
            "plain SQLite",
            median_s[1] * 1e3,
            "opening with the checks of what it is; the file has " + std::to_string(fs::file_size(file) / 1000000) + " MB"};
}

Record book_list_30000() {
    book::Book book = book::Book::open(large_book(), book::Mode::read_only);
    const book::BakeRepository bakes(book);
    const Plain plain(large_book());
    const auto ours = [&] {
        if (bakes.list({.limit = 20}).size() != 20) throw std::runtime_error("book.list-30000: not twenty");
    };
    const auto ids = [&] {
        static_cast<void>(plain.read("SELECT bake_id FROM bake ORDER BY created_at DESC, bake_id DESC LIMIT 20"));
    };
    const std::vector<double> median_s = interleaved_medians_s({ours, ids}, 21);
    return {"book.list-30000",
            median_s[0] * 1e3,
            "ms",
            "SQL, numbers alone",
            median_s[1] * 1e3,
            "the last twenty of 30,000 bakes with titles, profiles, numbers of traces and lengths"};
}

Record book_load_one() {
    book::Book book = book::Book::open(large_book(), book::Mode::read_only);
    const book::TraceRepository traces(book);
    const ScratchFolder folder;
    const Plain rows(folder.file("rows.sqlite"));
    rows.make_sample_table();
    rows.run("BEGIN");
    // The like of every hundredth bake: a table of all samples would take hours to make.
    for (std::size_t bake = 0; bake < kBakes / 100; ++bake) {
        const TraceSet set = logged_bake(100 * bake);
        for (std::size_t channel = 0; channel < kChannels; ++channel)
            rows.keep_by_row(kChannels * bake + channel, set.traces[channel]);
    }
    rows.run("COMMIT");
    const auto ours = [&] {
        if (traces.load(book::BakeId{15000}).traces.size() != kChannels)
            throw std::runtime_error("book.load-one: not all traces");
    };
    const auto by_row = [&] {
        const std::size_t read = rows.read("SELECT time_s, temperature_k FROM sample WHERE trace BETWEEN 1200 AND 1207");
        if (read != 2 * kChannels * kSamples) throw std::runtime_error("book.load-one: the peer reads something else");
    };
    const std::vector<double> median_s = interleaved_medians_s({ours, by_row}, 51);
    return {"book.load-one",
            median_s[0] * 1e3,
            "ms",
            "one row a sample",
            median_s[1] * 1e3,
            "8 channels of 4 h, one of 30,000 bakes, hashes checked; the peer's table has 300 bakes"};
}

}  // namespace bakewright::bench
