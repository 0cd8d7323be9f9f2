// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/verify.hpp"

#include <functional>
#include <optional>

#include "bakewright/base/error.hpp"
#include "bakewright/book/document_repository.hpp"
#include "bakewright/book/hash.hpp"
#include "bakewright/book/raw_file_repository.hpp"
#include "journal.hpp"
#include "rows.hpp"
#include "statement.hpp"
#include "trace_rows.hpp"
#include "verify_part.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kChecking = "check the book";

class Check {
public:
    Check(Book& book, const Progress& progress) : book_(book), connection_(book.connection()), progress_(progress) {}

    VerifyReport run_part(const std::vector<Aggregate>& part) {
        const ReadScope scope(connection_);
        guarded([&] { check_file(); });
        guarded([&] { check_journal(part); });
        std::vector<std::int64_t> documents, files, traces;
        const auto add = [&](std::vector<std::int64_t>& to, std::string_view sql, const Aggregate& one) {
            Statement query(connection_, sql, kChecking);
            query.bind_texts(one.key);
            while (query.step()) to.push_back(query.integer(0));
        };
        guarded([&] {
            for (const Aggregate& one : part) {
                if (one.kind == AggregateKind::document)
                    add(documents, "SELECT document_id FROM document WHERE kind = ?1 AND sha256 = ?2", one);
                if (one.kind == AggregateKind::raw_file) add(files, "SELECT raw_file_id FROM raw_file WHERE sha256 = ?1", one);
                if (one.kind == AggregateKind::bake)
                    add(traces, "SELECT trace_id FROM trace JOIN bake USING (bake_id) WHERE uid = ?1 ORDER BY position", one);
            }
        });
        check_each(documents, files, traces);
        return report_;
    }

    VerifyReport run() {
        const ReadScope scope(connection_);
        guarded([&] { check_file(); });
        guarded([&] { check_references(); });
        guarded([&] { check_journal(); });
        guarded([&] { report_.bakes = ids("SELECT bake_id FROM bake").size(); });
        const auto documents = collect("SELECT document_id FROM document");
        const auto files = collect("SELECT raw_file_id FROM raw_file");
        const auto traces = collect("SELECT trace_id FROM trace ORDER BY bake_id, position");
        check_each(documents, files, traces);
        return report_;
    }

private:
    void check_each(const std::vector<std::int64_t>& documents, const std::vector<std::int64_t>& files,
                    const std::vector<std::int64_t>& traces) {
        items_ = documents.size() + files.size() + traces.size();
        report_.complete = each(documents, [&](std::int64_t id) { check_document(id); }) &&
                           each(files, [&](std::int64_t id) { check_file_content(id); }) &&
                           each(traces, [&](std::int64_t id) { check_trace(id); });
    }

    /// Damage in one place must not hide damage in another.
    void guarded(const std::function<void()>& work) {
        try {
            work();
        } catch (const BookError& error) {
            report_.problems.emplace_back(error.what());
        }
    }

    std::vector<std::int64_t> ids(std::string_view sql) {
        Statement query(connection_, sql, kChecking);
        std::vector<std::int64_t> found;
        while (query.step()) found.push_back(query.integer(0));
        return found;
    }

    std::vector<std::int64_t> collect(std::string_view sql) {
        std::vector<std::int64_t> found;
        guarded([&] { found = ids(sql); });
        return found;
    }

    bool each(const std::vector<std::int64_t>& items, const std::function<void(std::int64_t)>& check) {
        for (const std::int64_t id : items) {
            guarded([&] { check(id); });
            ++items_done_;
            if (progress_ && !progress_(static_cast<double>(items_done_) / static_cast<double>(items_))) return false;
        }
        return true;
    }

    void check_file() {
        Statement query(connection_, "PRAGMA integrity_check", kChecking);
        while (query.step()) {
            if (query.text(0) != "ok") report_.problems.push_back("file: " + query.text(0));
        }
    }

    void check_references() {
        Statement query(connection_, "PRAGMA foreign_key_check", kChecking);
        while (query.step()) {
            report_.problems.push_back("table " + query.text(0) + ": a row refers to a missing row of table " + query.text(2));
        }
    }

    /// @param part  the aggregates that count; nothing: all
    void check_journal(const std::optional<std::vector<Aggregate>>& part = {}) {
        if (connection_.pragma("user_version") != newest_schema_version()) return;
        for (std::string& problem : journal_problems(connection_)) report_.problems.push_back(std::move(problem));
        for (Discrepancy& one : part ? discrepancies(connection_, *part) : discrepancies(connection_))
            report_.problems.push_back(std::move(one.problem));
    }

    void check_document(std::int64_t id) {
        ++report_.documents;
        static_cast<void>(DocumentRepository(book_).get(DocumentId{id}));
    }

    void check_file_content(std::int64_t id) {
        ++report_.raw_files;
        std::uint64_t size = 0;
        const RawFileRepository files(book_);
        files.fetch(RawFileId{id}, [&](std::string_view piece) { size += piece.size(); });
        if (files.find(RawFileId{id})->size_bytes != size)
            report_.problems.push_back("probe file " + std::to_string(id) + ": its size is wrong");
    }

    void check_trace(std::int64_t id) {
        ++report_.traces;
        Statement query(connection_, std::string(kSelectTrace) + "WHERE trace_id = ?1", kChecking);
        if (!query.bind(id).step()) return;
        const StoredTrace stored = stored_trace_of(connection_, query);
        check_block_hashes(stored);
        const Trace trace = load_trace(connection_, stored);
        report_.samples += trace.size();
        check_summary(stored, summarise(trace));
    }

    void check_block_hashes(const StoredTrace& stored) {
        Statement query(connection_, "SELECT sha256, data FROM trace_block WHERE trace_id = ?1", kChecking);
        query.bind(stored.trace_id);
        while (query.step()) {
            if (sha256_hex(query.blob(1)) != query.text(0))
                report_.problems.push_back(stored.label() + ": a block no longer has its hash");
        }
    }

    /// The mean is left out: another compiler may round its sum otherwise.
    void check_summary(const StoredTrace& stored, const TraceSummary& counted) {
        const auto same = [](double a, double b) { return a == b || (a != a && b != b); };
        const TraceSummary& row = stored.summary;
        if (row.usable_count != counted.usable_count || !same(row.min_temperature_k, counted.min_temperature_k) ||
            !same(row.max_temperature_k, counted.max_temperature_k)) {
            report_.problems.push_back(stored.label() + ": its row does not sum up its samples");
        }
    }

    Book& book_;
    Connection& connection_;
    const Progress& progress_;
    VerifyReport report_;
    std::size_t items_ = 0;
    std::size_t items_done_ = 0;
};

}  // namespace

VerifyReport verify_part(Book& book, const std::vector<Aggregate>& part, const Progress& progress) {
    return Check(book, progress).run_part(part);
}

VerifyReport verify(Book& book, const Progress& progress) { return Check(book, progress).run(); }

}  // namespace bakewright::book
