// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/merge.hpp"

#include <algorithm>
#include <array>
#include <functional>
#include <optional>
#include <set>

#include "bakewright/base/error.hpp"
#include "copy_book.hpp"
#include "earlier_reading.hpp"
#include "file_check.hpp"
#include "journal.hpp"
#include "merge_sql.hpp"
#include "rows.hpp"
#include "same_vehicles.hpp"
#include "statement.hpp"
#include "verify_part.hpp"

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
    TemporaryCopy(Connection& of, const std::filesystem::path& beside) : path_(beside) {
        path_ += ".merging";
        remove();
        copy_book(of, path_);
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
            for (const char* table : {"fresh", "new_file", "same_bake", "new_bake", "filled_bake", "new_coat", "sorted_coat",
                                      "entry", "sorted_entry", "open_entry"})
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
    Merge(Connection& connection, const std::vector<Aggregate>& fresh, const SameVehicles& vehicles, const Progress& progress)
        : connection_(connection), fresh_(fresh), vehicles_(vehicles), progress_(progress) {}

    MergeReport run() {
        Transaction transaction(connection_);
        using Step = std::function<void()>;
        const std::array<Step, 7> steps = {Step([this] { note_fresh(); }),    Step([this] { take_documents(); }),
                                           Step([this] { take_files(); }),    Step([this] { take_bakes(); }),
                                           Step([this] { take_vehicles(); }), Step([this] { take_history(); }),
                                           Step([this] { take_journal(); })};
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

    /// What may change here must be as the journal says: a merge must not hide damage.
    void note_fresh() {
        run(merge_sql::kFresh);
        Statement insert(connection_, "INSERT INTO temp.fresh VALUES (?1, ?2)", kMerging);
        for (const Aggregate& there : fresh_) {
            const Aggregate aggregate = vehicles_.here(there);
            insert.bind(aggregate_kind_name(aggregate.kind), aggregate.identity()).run();
            about_to_change(connection_, aggregate);
        }
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
        for (const std::string_view sql : {merge_sql::kSameUid, merge_sql::kSameAlias, merge_sql::kSameLog}) run(sql);
        report_.known_bakes = count("SELECT count(*) FROM temp.same_bake");
        touch_same_bakes();
        run(merge_sql::kNewBakes);
        run(merge_sql::kFilledBakes);
        note_bake_conflicts();
        note_other_readings();
        take_readings();
        run(merge_sql::kKnownBakes);
        report_.bakes = run(merge_sql::kBakes);
        for (const std::string_view sql :
             {merge_sql::kNewSameBakes, merge_sql::kAliases, merge_sql::kBakeDocuments, merge_sql::kBakeLogs, merge_sql::kTraces,
              merge_sql::kTraceBlocks, merge_sql::kPairs, merge_sql::kEarlierReadings})
            run(sql);
        for (const std::string_view sql : merge_sql::kRecordings) run(sql);
        note_open_recordings();
        report_.hand_notes = run(merge_sql::kHandNotes);
    }
    /// A log that was read again there since: its new reading is this book's too, and what it was here stays, set aside.
    void take_readings() {
        struct Reading {
            BakeId here;
            std::int64_t there;
            bool is_newer;
            bool both;
        };
        std::vector<Reading> readings;
        Statement query(connection_, merge_sql::kReadings, kMerging);
        while (query.step())
            readings.push_back({query.id<BakeId>(0), query.integer(1), query.text(2) > query.text(3),
                                !query.text(2).empty() && !query.text(3).empty()});
        for (const Reading& reading : readings) {
            if (reading.both)
                report_.conflicts.push_back("bake " + number_text(reading.here) +
                                            ": both books read its log again; the later reading counts" +
                                            (reading.is_newer ? ", this book's own is kept beside it" : ""));
            if (reading.is_newer) take_reading(reading.here, reading.there);
        }
    }
    void take_reading(BakeId here, std::int64_t there) {
        about_to_change(connection_, aggregate_of(connection_, here));
        Statement known(connection_, "SELECT 1 FROM other.bake WHERE uid = ?1", kMerging);
        if (known.bind(uid_of_reading(connection_, here)).step()) {
            for (const std::string_view table : {"trace", "bake_log", "bake_document"})
                Statement(connection_, "DELETE FROM main." + std::string(table) + " WHERE bake_id = ?1", kMerging)
                    .bind(here)
                    .run();
        } else {
            static_cast<void>(set_reading_aside(connection_, here, "merge", "read again in a book that was merged"));
        }
        Statement(connection_, merge_sql::kReadAgain, kMerging).bind(here, there).run();
        Statement(connection_, "INSERT INTO temp.filled_bake (other_id) VALUES (?1)", kMerging).bind(there).run();
    }
    /// A bake that has another uid here, and its entries in histories.
    void touch_same_bakes() {
        Statement query(connection_,
                        "SELECT s.main_id, o.uid FROM temp.same_bake AS s JOIN other.bake AS o ON o.bake_id = s.other_id JOIN "
                        "main.bake AS m ON m.bake_id = s.main_id JOIN temp.fresh AS f ON f.kind = 'bake' AND f.identity = o.uid "
                        "WHERE m.uid <> o.uid",
                        kMerging);
        while (query.step()) about_to_change(connection_, aggregate_of(connection_, query.id<BakeId>(0)));
        Statement entries(
            connection_,
            "SELECT h.shell, s.main_id FROM other.history_bake AS h JOIN temp.same_bake AS s ON s.other_id = h.bake_id "
            "JOIN main.history_bake AS m ON m.shell = h.shell AND m.bake_id = s.main_id",
            kMerging);
        while (entries.step()) about_to_change(connection_, history_entry(connection_, entries.text(0), entries.id<BakeId>(1)));
    }
    /// Vehicles and sites. A number that is not known here is taken over; of two the one that sorts last is kept and told.
    void take_vehicles() {
        for (const SameVehicles::One& one : vehicles_.all()) {
            if (one.uid_here.empty()) {
                Statement(connection_, merge_sql::kVehicle, kMerging)
                    .bind(one.there.uid, one.here, one.there.job_number, one.there.maker_number)
                    .run();
                was_added(connection_, Aggregate{AggregateKind::vehicle, {one.there.uid}});
            } else {
                about_to_change(connection_, Aggregate{AggregateKind::vehicle, {one.uid_here}});
                Statement(connection_, merge_sql::kVehicleNumbers, kMerging)
                    .bind(one.uid_here, one.there.job_number, one.there.maker_number)
                    .run();
            }
            if (one.is_renamed)
                report_.conflicts.push_back("both books have a vehicle '" + one.there.shell +
                                            "', and nothing says that they are one: the other book's goes by '" + one.here +
                                            "' here");
        }
        Statement sites(connection_, merge_sql::kSites, kMerging);
        std::vector<std::pair<std::string, std::string>> found;
        while (sites.step()) found.emplace_back(sites.text(0), sites.text(1));
        for (const auto& [book, name] : found) {
            about_to_change(connection_, Aggregate{AggregateKind::site, {book}});
            Statement(connection_, merge_sql::kSite, kMerging).bind(book, name).run();
        }
    }
    void take_history() {
        run(merge_sql::kNewCoats);
        note_coat_conflicts();
        run(merge_sql::kOtherZones);
        run(merge_sql::kKnownCoats);
        report_.coats = run(merge_sql::kCoats);
        for (const std::string_view sql :
             {merge_sql::kCoatZones, merge_sql::kSortZonesAside, merge_sql::kSortZones, merge_sql::kEntries})
            run(sql);
        note_history_conflicts();
        for (const std::string_view sql :
             {merge_sql::kSortedEntries, merge_sql::kKnownHistory, merge_sql::kWholeShells, merge_sql::kOpenEntries})
            run(sql);
        report_.history_bakes = run(merge_sql::kHistory);
        touch_new_entries();
        for (const std::string_view sql :
             {merge_sql::kHistoryZones, merge_sql::kHistoryItems, merge_sql::kSortHistoryZonesAside, merge_sql::kSortHistoryZones,
              merge_sql::kSortHistoryItemsAside, merge_sql::kSortHistoryItems})
            run(sql);
    }
    void touch_new_entries() {
        Statement query(connection_, "SELECT shell, main_id FROM temp.entry", kMerging);
        while (query.step()) was_added(connection_, history_entry(connection_, query.text(0), query.id<BakeId>(1)));
    }
    /// The other's journal beside this one's: an entry of a merge holds the two together.
    void take_journal() {
        Statement heads(connection_, "SELECT journal_sha256 FROM other.book", kMerging);
        const std::string head = heads.step() ? heads.text(0) : std::string();
        Statement known(connection_, "SELECT 1 FROM main.journal WHERE entry_sha256 = ?1", kMerging);
        if (head.empty() || known.bind(head).step()) return;
        run(merge_sql::kJournal);
        take_down_merge(connection_, head);
    }

    void note_bake_conflicts() {
        Statement query(connection_, merge_sql::kBakeConflicts, kMerging);
        while (query.step())
            report_.conflicts.push_back("bake " + number_text(query.id<BakeId>(0)) + ": the books have another " + query.text(1) +
                                        "; '" + query.text(2) + "' was kept");
    }
    void note_open_recordings() {
        Statement query(connection_, merge_sql::kOpenRecordings, kMerging);
        while (query.step())
            report_.conflicts.push_back(
                "bake " + std::to_string(query.integer(0)) + " ('" + query.text(1) +
                "') of the other book is still being recorded and was left out; merge again when it has ended");
    }
    void note_other_readings() {
        Statement query(connection_, merge_sql::kOtherReadings, kMerging);
        while (query.step())
            report_.conflicts.push_back("bake " + number_text(query.id<BakeId>(0)) +
                                        ": both books have this log, read with other options; this book's reading was kept");
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
    const std::vector<Aggregate>& fresh_;
    const SameVehicles& vehicles_;
    const Progress& progress_;
    MergeReport report_;
};

/// What the other book says that this one does not know: what is new in its journal, and what this book lacks.
std::vector<Aggregate> fresh_of(Connection& connection, Connection& other, const SameVehicles& vehicles) {
    std::set<std::string> known;
    Statement own(connection, "SELECT entry_sha256 FROM journal", kMerging);
    while (own.step()) known.insert(own.text(0));
    std::set<Aggregate> fresh;
    Statement theirs(other, "SELECT kind, identity, entry_sha256 FROM journal", kMerging);
    while (theirs.step()) {
        const auto kind = aggregate_kind_from_name(theirs.text(0));
        if (kind && !known.contains(theirs.text(2))) fresh.insert(Aggregate::from(*kind, theirs.text(1)));
    }
    const std::vector<Aggregate> here = all_aggregates(connection);
    for (const Aggregate& one : all_aggregates(other))
        if (!std::binary_search(here.begin(), here.end(), vehicles.here(one))) fresh.insert(one);
    return {fresh.begin(), fresh.end()};
}

/// @throws BookError where it is damaged; false where progress said no
bool is_checked(Book& other, const std::vector<Aggregate>& fresh, const Progress& progress) {
    const VerifyReport found =
        verify_part(other, fresh, [&](double share) { return !progress || progress(kCheckShare * share); });
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
    std::optional<Book> from(Book::open(file, Mode::read_only));
    if (from->schema_version() > newest_schema_version())
        throw BookError(file.string() + ": could not be merged: it was made by a newer program; neither book was changed");
    const SameVehicles vehicles(book, *from);
    const std::vector<Aggregate> fresh = fresh_of(book.connection(), from->connection(), vehicles);
    if (!is_checked(*from, fresh, progress)) return {};
    if (vehicles.any_other_name()) {
        from.reset();
        if (!copy) copy.emplace(file, book.path());
        file = copy->path();
        vehicles.rename_in(file);
    }
    const Attachment attachment(book.connection(), file);
    return Merge(book.connection(), fresh, vehicles, progress).run();
}

MergeReport merge_into(const std::filesystem::path& path, const std::filesystem::path& other, const OpenOptions& options,
                       const Progress& progress) {
    const auto file = std::filesystem::absolute(path).lexically_normal();
    refuse_what_is_no_book(file, Mode::create);
    std::error_code error;
    const int version = std::filesystem::exists(file, error) ? version_of(file) : 0;
    if (version == 0 || version >= newest_schema_version()) {
        Book book = Book::open(file, Mode::create, options);
        return merge(book, other, progress);
    }
    if (std::filesystem::equivalent(file, other, error)) refuse_other(other, "is this very book; nothing was merged");
    Connection older(file, Mode::read_write, options);
    // Held until the end: nobody writes to what is about to be replaced.
    older.execute("PRAGMA locking_mode = EXCLUSIVE; BEGIN IMMEDIATE; COMMIT", kMerging);
    const TemporaryCopy copy(older, file);
    MergeReport report;
    {
        Book book = Book::open(copy.path(), Mode::read_write, options);
        report = merge(book, other, progress);
    }
    if (!report.complete) return report;
    Connection merged(copy.path(), Mode::read_only, {});
    older.become(merged);
    return report;
}

}  // namespace bakewright::book
