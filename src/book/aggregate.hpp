// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/book/ids.hpp"

namespace bakewright::book {

class Connection;

/// Rows that are stored and changed together, and that the journal answers for as one.
enum class AggregateKind { document, raw_file, bake, coat, history_entry, vehicle, site };

/// One of them, by what names it in every book whatever its short number there.
struct Aggregate {
    AggregateKind kind = AggregateKind::bake;
    /// document: kind, SHA-256; probe file: SHA-256; bake: uid; coat: shell, name, moment; entry of a history: shell, uid of the
    /// bake; vehicle: uid; site: uid of the book
    std::vector<std::string> key{};

    auto operator<=>(const Aggregate&) const = default;

    /// The key as one text, and back.
    [[nodiscard]] std::string identity() const;
    [[nodiscard]] static Aggregate from(AggregateKind kind, std::string_view identity);
    /// The shell whose history it is a part of; empty for what is none.
    [[nodiscard]] std::string shell() const;
};

/// "bake", "coat", ... as the journal stores it and people read it.
[[nodiscard]] std::string_view aggregate_kind_name(AggregateKind kind) noexcept;
[[nodiscard]] std::optional<AggregateKind> aggregate_kind_from_name(std::string_view name) noexcept;

/// What the rows of an aggregate are now.
struct AggregateState {
    std::int64_t number = 0;  ///< its short number in this book; 0 for what has none
    std::string label;        ///< as people call it: "bake 3 'van, as baked'"
    /// Each table with its count of rows and a hash of them in order, "bake 1 5f01..., trace 12 9c...". A value counts by its
    /// type and all its digits, a reference by what it refers to, so that the same aggregate has the same text in every book.
    /// Blocks of samples and pieces of files stand in it by hash and length.
    std::string rows;
};

/// Its notes belong to a bake whichever way its log is read.
inline constexpr std::string_view kHandNoteTable = "hand_note";

/// Nothing where it has no row. @throws BookError where the rows cannot be read
[[nodiscard]] std::optional<AggregateState> state_of(Connection& connection, const Aggregate& aggregate);
/// Every aggregate of the book, in order.
[[nodiscard]] std::vector<Aggregate> all_aggregates(Connection& connection);

/// By its short number; nothing where it is not there.
[[nodiscard]] std::optional<Aggregate> aggregate_of(Connection& connection, BakeId id);
[[nodiscard]] std::optional<Aggregate> aggregate_of(Connection& connection, CoatId id);
[[nodiscard]] std::optional<Aggregate> aggregate_of(Connection& connection, DocumentId id);
[[nodiscard]] std::optional<Aggregate> aggregate_of(Connection& connection, RawFileId id);
[[nodiscard]] std::optional<Aggregate> history_entry(Connection& connection, std::string_view shell, BakeId bake);
/// The coats and entries of a shell's history.
[[nodiscard]] std::vector<Aggregate> history_of(Connection& connection, std::string_view shell);

}  // namespace bakewright::book
