// SPDX-License-Identifier: Apache-2.0
// What a log of 60 million samples and many books cost to answer from, against plain SQLite on the same blocks and rows.
#include <chrono>
#include <cmath>
#include <sstream>
#include <stdexcept>

#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/document_repository.hpp"
#include "bakewright/book/merge.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/profile/write.hpp"
#include "book_peers.hpp"
#include "measure.hpp"

namespace bakewright::bench {
namespace {

constexpr std::size_t kRows = 5'000'000;
constexpr double kIntervalS = 0.01;

/// A bake of 14 h by a logger of twelve channels that writes a hundred rows a second, invented; never whole in memory.
class LongLog final : public codec::PartwiseTraces {
public:
    LongLog() {
        for (std::size_t channel = 0; channel < 12; ++channel) {
            Trace& trace = outline_.traces.emplace_back();
            trace.name = channel == 0 ? "booth air" : "zone " + std::to_string(channel);
            trace.role = channel == 0 ? TraceRole::booth_air : TraceRole::zone;
        }
        outline_.started_at = "2027-03-04T06:00:00";
    }
    [[nodiscard]] const TraceSet& outline() const override { return outline_; }
    [[nodiscard]] std::size_t size() const override { return kRows; }
    [[nodiscard]] Trace part(std::size_t trace, std::size_t first, std::size_t count) const override {
        Trace part{outline_.traces[trace].name, outline_.traces[trace].role, {}, {}, {}};
        part.time_s.reserve(count);
        part.temperature_k.reserve(count);
        const double lag_s = 400.0 + 120.0 * static_cast<double>(trace);
        for (std::size_t i = first; i < first + count; ++i) {
            const double time_s = kIntervalS * static_cast<double>(i);
            const double celsius =
                20.0 + 42.0 * (1.0 - std::exp(-time_s / lag_s)) + 0.01 * static_cast<double>((i * 7 + trace * 13) % 17);
            part.time_s.push_back(time_s);
            part.temperature_k.push_back(celsius_to_kelvin(std::round(celsius * 100.0) / 100.0));
        }
        return part;
    }

private:
    TraceSet outline_;
};

/// A book with that log and its coating; made once for the records that ask of it.
const fs::path& long_book() {
    static const ScratchFolder folder;
    static const fs::path file = [] {
        book::Book book = book::Book::open(folder.file("long.book"), book::Mode::create);
        const cure::Coating coating = profile::load_coating(std::string(BAKEWRIGHT_PROFILES) + "/coatings/clear_low_bake.toml",
                                                            profile::Library({BAKEWRIGHT_PROFILES}))
                                          .record;
        const LongLog log;
        const book::PackedTraces packed(log);
        book::Transaction transaction(book);
        book::NewBake bake;
        bake.kind = book::BakeKind::logged;
        bake.title = "fourteen hours, a hundred rows a second";
        bake.documents = {
            book::DocumentRepository(book).store({"coating", coating.id, coating.title, profile::to_toml(coating)})};
        book::TraceRepository(book).store(book::BakeRepository(book).add(bake), packed);
        transaction.commit();
        return folder.file("long.book");
    }();
    return file;
}

/// What SQLite alone takes to hand out the same blocks, unpacked by nobody.
double plain_blocks_s(const fs::path& file) {
    return run_measured("sqlite3 -readonly " + file.string() +
                        " 'SELECT sum(length(data) + unicode(substr(hex(data), 1))) FROM trace_block' >/dev/null")[0];
}

/// Ours reading every block and keeping nothing.
double our_blocks_s(const fs::path& file) {
    const std::vector<double> median_s = interleaved_medians_s(
        {[&] {
            book::Book book = book::Book::open(file, book::Mode::read_only);
            const book::TraceRepository traces(book);
            std::size_t samples = 0;
            for (const std::string& name : traces.names(book::BakeId{1}))
                traces.read_parts(book::BakeId{1}, name, [&](const Trace& part) { samples += part.size(); });
            if (samples != 12 * kRows) throw std::runtime_error("the blocks hold something else");
        }},
        1);
    return median_s[0];
}

Record of_program(const std::string& name, const std::string& words) {
    const fs::path& file = long_book();
    const auto ours = run_measured("sh -c '" + std::string(BAKEWRIGHT_PROGRAM) + " " + words + " --book " + file.string() +
                                   " >/dev/null 2>&1; test $? -le 1'");
    const double plain_s = plain_blocks_s(file), blocks_s = our_blocks_s(file);
    std::ostringstream note;
    note << std::fixed;
    note.precision(2);
    note << "60 million samples in 12 channels, " << static_cast<double>(fs::file_size(file)) / 1e6 << " MB of book; " << ours[1]
         << " MB of memory; reading and unpacking every block, which rests on nothing else: " << blocks_s
         << " s, of which this is " << ours[0] / blocks_s << " times";
    return {name, ours[0], "s", "SQLite handing out the same blocks, packed", plain_s, note.str()};
}

}  // namespace

Record judge_60m() { return of_program("judge.60m", "judge 1"); }

Record report_60m() { return of_program("report.60m", "report 1 --out -"); }

Record merge_40x500() {
    constexpr std::size_t kBooks = 40, kBakesEach = 500;
    const ScratchFolder folder;
    std::vector<fs::path> books;
    for (std::size_t b = 0; b < kBooks; ++b) {
        books.push_back(folder.file("booth-" + std::to_string(b) + ".book"));
        book::Book book = book::Book::open(books.back(), book::Mode::create);
        book::Transaction transaction(book);
        for (std::size_t i = 0; i < kBakesEach; ++i) {
            book::NewBake bake;
            bake.kind = book::BakeKind::logged;
            bake.title = "bake " + std::to_string(i);
            book::TraceRepository(book).store(book::BakeRepository(book).add(bake), logged_bake(b * kBakesEach + i));
        }
        transaction.commit();
    }
    const auto seconds = [](const std::function<void()>& job) {
        const auto from = std::chrono::steady_clock::now();
        job();
        return std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count();
    };
    const auto merge_all = [&](std::size_t expected) {
        book::Book all = book::Book::open(folder.file("all.book"), book::Mode::create);
        std::size_t brought_in = 0;
        for (const fs::path& one : books) brought_in += book::merge(all, one).bakes;
        if (brought_in != expected) throw std::runtime_error("merge.40x500: not all bakes");
    };
    const double ours_s = seconds([&] { merge_all(kBooks * kBakesEach); });
    const double again_s = seconds([&] { merge_all(0); });
    const double plain_s = seconds([&] {
        const Plain plain(folder.file("plain.sqlite"));
        plain.run(
            "CREATE TABLE trace_block (trace_id INTEGER, position INTEGER, sample_count INTEGER, codec INTEGER, sha256 TEXT, "
            "data BLOB)");
        for (const fs::path& one : books) {
            plain.run("ATTACH '" + one.string() + "' AS o");
            plain.run("INSERT INTO trace_block SELECT trace_id, position, sample_count, codec, sha256, data FROM o.trace_block");
            plain.run("DETACH o");
        }
    });
    std::ostringstream note;
    note << std::fixed;
    note.precision(2);
    note << "20,000 bakes of 8 channels, each book checked before, hashes and journal kept; the same again, with nothing new: "
         << again_s << " s";
    return {"merge.40x500", ours_s, "s", "SQLite copying the blocks alone", plain_s, note.str()};
}

}  // namespace bakewright::bench
