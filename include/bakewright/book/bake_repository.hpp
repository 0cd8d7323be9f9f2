// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/book/book.hpp"
#include "bakewright/book/document_repository.hpp"
#include "bakewright/book/ids.hpp"

namespace bakewright::book {

enum class BakeKind { predicted, logged };

/// "predicted" or "logged".
[[nodiscard]] std::string_view bake_kind_name(BakeKind kind) noexcept;
[[nodiscard]] std::optional<BakeKind> bake_kind_from_name(std::string_view name) noexcept;

/// A probe file a bake was read from, and how.
struct LogSource {
    RawFileId raw_file{};
    std::string reading_options_json = "{}";  ///< JSON text
};

struct NewBake {
    BakeKind kind = BakeKind::predicted;
    std::string title{};
    std::string created_at{};             ///< is_utc_timestamp(); empty: the book's clock
    std::string started_at{};             ///< ISO 8601, local or zoned, of time 0; empty where unknown
    std::vector<DocumentId> documents{};  ///< what it was computed from or baked with; at most one shell, one booth, one cycle
    /// The other half, of the other kind: the prediction a log belongs to, or the log whose air a prediction was driven with.
    std::optional<BakeId> paired_bake{};
    std::vector<LogSource> logs{};  ///< probe files, in the order they were merged
    std::string program_version{};
    std::string options_json = "{}";  ///< JSON text: what was asked of the model or the import
    std::string note{};
};

/// A probe file of a stored bake.
struct BakeLog : LogSource {
    std::string original_name{};
    std::string sha256{};
};

/// A log's bake that was read again: what it was before.
struct EarlierReading {
    BakeId bake{};              ///< the number it has now
    BakeId of{};                ///< the bake whose reading it was
    std::string replaced_at{};  ///< UTC
    std::string replaced_by{};  ///< who
    std::string why{};
};

/// How a log is read again. Documents of a kind that is not given stay those of the reading before.
struct NewReading {
    std::vector<DocumentId> documents{};
    std::vector<LogSource> logs{};  ///< the same files, in the same order
    std::string started_at{};
    std::string program_version{};
    std::string options_json = "{}";
    std::string who{};
    std::string why{};  ///< not empty
};

/// A stored bake; its traces are in the TraceRepository.
struct Bake {
    BakeId id{};
    std::string uid{};  ///< 32 hexadecimal digits, the same in every book the bake is copied to
    BakeKind kind = BakeKind::predicted;
    std::string title{};
    std::string created_at{};
    std::string started_at{};
    std::vector<DocumentSummary> documents{};  ///< in the order given
    std::optional<BakeId> paired_bake{};
    std::vector<BakeLog> logs{};
    std::string program_version{};
    std::string options_json{};
    std::string note{};
    std::optional<EarlierReading> replaced{};        ///< where this is a reading that was replaced
    std::vector<EarlierReading> earlier_readings{};  ///< of this bake, oldest first

    /// The first document of a kind; null where there is none.
    [[nodiscard]] const DocumentSummary* document(std::string_view document_kind) const noexcept;
};

/// One line of a list. A document shows its title, or its name where it has no title; empty where the bake has none.
struct BakeSummary {
    BakeId id{};
    std::string uid{};
    BakeKind kind = BakeKind::predicted;
    std::string title{};
    std::string created_at{};
    std::string started_at{};
    std::string shell{};
    std::string booth{};
    std::string cycle{};
    std::string coating{};
    std::string log_name{};  ///< original name of its first probe file
    std::optional<BakeId> paired_bake{};
    std::size_t trace_count = 0;
    double end_s = 0.0;  ///< latest time of any trace [s]; 0 without traces
};

struct ListFilter {
    std::size_t limit = 20;
    std::size_t offset = 0;
    std::optional<BakeKind> kind{};
    std::string shell_name{};  ///< only bakes of a shell of this name, whatever its content was then; empty: all
    /// Only bakes that have this, in any case of letters, in their title or note, in the name or title of a document, in the name
    /// of a log, at the front of their uid or in a date; empty: all.
    std::string words{};
    bool earlier_readings = false;  ///< also readings that were replaced
};

/// What went with a bake because nothing else used it.
struct RemovedWithBake {
    std::size_t documents = 0;
    std::size_t raw_files = 0;
};

/// The bakes of a book. Every call may throw BookError.
class BakeRepository {
public:
    explicit BakeRepository(Book& book) noexcept : connection_(&book.connection()) {}

    /// @throws InputError where the pair is not there or of the same kind; PromiseError where a time or a JSON text is not what
    /// it should be, or there are two shells, booths or cycles
    BakeId add(const NewBake& bake);
    [[nodiscard]] std::optional<Bake> find(BakeId id) const;
    /// Like find(). @throws InputError that says which bakes there are
    [[nodiscard]] Bake get(BakeId id) const;
    /// Newest first by created_at, then by id.
    [[nodiscard]] std::vector<BakeSummary> list(const ListFilter& filter = {}) const;
    [[nodiscard]] std::size_t count() const;
    /// Bakes read from a probe file with this hash, oldest first, without readings that were replaced. To import a file once, ask
    /// inside the Transaction that adds it.
    [[nodiscard]] std::vector<BakeId> find_by_raw_file(std::string_view sha256) const;
    /// Bakes that name this one as their pair, oldest first.
    [[nodiscard]] std::vector<BakeId> paired_with(BakeId id) const;

    /// Names the other half of a bake. @throws InputError as add() does
    void pair(BakeId bake, BakeId with);
    /// @throws InputError where there is no such bake
    void set_title(BakeId id, std::string_view title);
    void set_note(BakeId id, std::string_view note);
    /// The log of a bake was read again: what the bake was becomes a bake of its own, marked as replaced, with its traces; the
    /// bake keeps number, uid, title, pair and its place in histories, has the new reading and, until they are stored, no traces.
    /// @return the number of the reading before
    /// @throws InputError where there is no such bake, it is no log, other files were read, or it is itself a replaced reading
    BakeId read_again(BakeId id, const NewReading& reading);
    /// The bake with this uid, whole or at least eight digits of its front, also one it had in a book that was merged.
    /// @throws InputError where several have it
    [[nodiscard]] std::optional<BakeId> find_by_uid(std::string_view uid) const;
    /// Removes a bake, its earlier readings, its traces, and those of its documents and probe files that no other bake uses.
    /// Bakes paired with it stay and lose the pairing. @throws InputError where there is no such bake
    RemovedWithBake remove(BakeId id);

private:
    Connection* connection_;
};

}  // namespace bakewright::book
