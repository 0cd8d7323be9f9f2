#include "bakewright/book/merge.hpp"

#include <array>
#include <functional>
#include <optional>

#include "bakewright/base/error.hpp"
#include "bakewright/book/verify.hpp"
#include "copy_book.hpp"
#include "file_check.hpp"
#include "merge_sql.hpp"
#include "rows.hpp"
#include "statement.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kMerging = "merge another book into this one";
/// Of the work, checking the other book takes about so much.
constexpr double kCheckShare = 0.7;

[[noreturn]] void refuse_other(const std::filesystem::path& other, const std::string& why) {
    throw InputError(Problem{.file = other.string(), .line = 0, .key = "", .message = why});
}

/// A copy that goes with the object.
class TemporaryCopy {
public:
    TemporaryCopy(const std::filesystem::path& of, const std::filesystem::path& beside) : path_(beside) {
        path_ += ".merging";
        remove();
        Connection connection(of, Mode::read_only, {});
        copy_book(connection, path_);
    }
    ~TemporaryCopy() { remove(); }
    TemporaryCopy(const TemporaryCopy&) = delete;
    TemporaryCopy& operator=(const TemporaryCopy&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const noexcept { return path_; }

private:
    void remove() const noexcept {
        std::error_code ignored;
        for (const char* ending : {"", "-wal", "-shm", "-journal"}) std::filesystem::remove(path_.string() + ending, ignored);
    }
    std::filesystem::path path_;
};

/// The other book as `other` on this one's connection.
class Attachment {
public:
    Attachment(Connection& connection, const std::filesystem::path& other) : connection_(connection) {
        Statement(connection_, "ATTACH DATABASE ?1 AS other", kMerging).bind(other.string()).run();
    }
    ~Attachment() {
        try {
            for (const char* table : {"new_file", "new_bake", "new_coat", "open_entry"})
                connection_.execute((std::string("DROP TABLE IF EXISTS temp.") + table).c_str(), kMerging);
            connection_.execute("DETACH DATABASE other", kMerging);
        } catch (const BookError&) {  // the connection goes soon anyway
        }
    }
    Attachment(const Attachment&) = delete;
    Attachment& operator=(const Attachment&) = delete;

private:
    Connection& connection_;
};

class Merge {
public:
    Merge(Connection& connection, const Progress& progress) : connection_(connection), progress_(progress) {}

    MergeReport run() {
        Transaction transaction(connection_);
        using Step = std::function<void()>;
        const std::array<Step, 4> steps = {Step([this] { take_documents(); }), Step([this] { take_files(); }),
                                           Step([this] { take_bakes(); }), Step([this] { take_history(); })};
        for (std::size_t i = 0; i < steps.size(); ++i) {
            steps[i]();
            const double share =
                kCheckShare + (1.0 - kCheckShare) * static_cast<double>(i + 1) / static_cast<double>(steps.size());
            if (progress_ && !progress_(share)) return {};
        }
        transaction.commit();
        report_.complete = true;
        return report_;
    }

private:
    std::size_t run(std::string_view sql) {
        Statement(connection_, sql, kMerging).run();
        return connection_.changed_rows();
    }
    std::size_t count(std::string_view sql) {
        Statement query(connection_, sql, kMerging);
        return query.step() ? static_cast<std::size_t>(query.integer(0)) : 0;
    }

    void take_documents() {
        run(merge_sql::kKnownDocuments);
        report_.documents = run(merge_sql::kDocuments);
    }
    void take_files() {
        run(merge_sql::kKnownFiles);
        run(merge_sql::kNewFiles);
        report_.raw_files = run(merge_sql::kFiles);
        run(merge_sql::kFilePieces);
    }
    void take_bakes() {
        run(merge_sql::kNewBakes);
        report_.known_bakes = count("SELECT count(*) FROM other.bake") - count("SELECT count(*) FROM temp.new_bake");
        note_bake_conflicts();
        run(merge_sql::kKnownBakes);
        report_.bakes = run(merge_sql::kBakes);
        for (const std::string_view sql :
             {merge_sql::kBakeDocuments, merge_sql::kBakeLogs, merge_sql::kTraces, merge_sql::kTraceBlocks, merge_sql::kPairs})
            run(sql);
    }
    void take_history() {
        run(merge_sql::kNewCoats);
        note_coat_conflicts();
        run(merge_sql::kKnownCoats);
        report_.coats = run(merge_sql::kCoats);
        run(merge_sql::kCoatZones);
        note_history_conflicts();
        run(merge_sql::kKnownHistory);
        run(merge_sql::kWholeShells);
        run(merge_sql::kOpenEntries);
        report_.history_bakes = run(merge_sql::kHistory);
        run(merge_sql::kHistoryZones);
        run(merge_sql::kHistoryItems);
    }

    void note_bake_conflicts() {
        Statement query(connection_, merge_sql::kBakeConflicts, kMerging);
        while (query.step())
            report_.conflicts.push_back("bake " + number_text(query.id<BakeId>(0)) + ": the books have another " + query.text(1) +
                                        "; '" + query.text(2) + "' was kept");
    }
    void note_coat_conflicts() {
        Statement query(connection_, merge_sql::kCoatConflicts, kMerging);
        while (query.step())
            report_.conflicts.push_back("coat " + std::to_string(query.integer(0)) + " ('" + query.text(1) +
                                        "'): the books say something else of it; what sorts last was kept");
    }
    void note_history_conflicts() {
        Statement query(connection_, merge_sql::kHistoryConflicts, kMerging);
        while (query.step())
            report_.conflicts.push_back("history of '" + query.text(0) + "', bake " + std::to_string(query.integer(1)) +
                                        ": the books have another moment; " + query.text(2) + " was kept");
    }

    Connection& connection_;
    const Progress& progress_;
    MergeReport report_;
};

/// @throws BookError where it is damaged; false where progress said no
bool is_checked(Book& other, const Progress& progress) {
    const VerifyReport found = verify(other, [&](double share) { return !progress || progress(kCheckShare * share); });
    if (!found.complete) return false;
    if (!found.problems.empty())
        throw BookError(other.path().string() + ": could not be merged: it is damaged: " + found.problems.front() +
                        "; neither book was changed");
    return true;
}

int version_of(const std::filesystem::path& file) {
    Connection connection(file, Mode::read_only, {});
    return static_cast<int>(connection.pragma("user_version"));
}

}  // namespace

MergeReport merge(Book& book, const std::filesystem::path& other, const Progress& progress) {
    std::error_code error;
    if (std::filesystem::equivalent(book.path(), other, error)) refuse_other(other, "is this very book; nothing was merged");
    std::optional<TemporaryCopy> copy;
    std::filesystem::path file = std::filesystem::absolute(other).lexically_normal();
    refuse_what_is_no_book(file, Mode::read_only);
    if (version_of(file) < newest_schema_version()) {
        copy.emplace(file, book.path());
        file = copy->path();
        static_cast<void>(Book::open(file, Mode::read_write));
    }
    Book from = Book::open(file, Mode::read_only);
    if (from.schema_version() > newest_schema_version())
        throw BookError(file.string() + ": could not be merged: it was made by a newer program; neither book was changed");
    if (!is_checked(from, progress)) return {};
    const Attachment attachment(book.connection(), file);
    return Merge(book.connection(), progress).run();
}

}  // namespace bakewright::book
