// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "aggregate.hpp"

namespace bakewright::book {

class Connection;

/// Begins the journal of a book that has none: everything in it, as found. Copies of one book begin theirs alike.
void begin_journal(Connection& connection);

/// To be called before an aggregate is changed or removed, inside the transaction that does it. Nothing where it is not there.
/// @throws BookError where its rows are not those the program stored: a change would hide that
void about_to_change(Connection& connection, const std::optional<Aggregate>& aggregate);
/// To be called after rows of a new aggregate were added, inside the transaction that did it.
void was_added(Connection& connection, const std::optional<Aggregate>& aggregate);
/// Adds an entry for each touched aggregate whose rows are no longer those of its last one.
void take_down_changes(Connection& connection);
/// An entry that something was done on purpose; the rows of the aggregate may be as they were.
void take_down(Connection& connection, const Aggregate& aggregate, std::string_view why);

/// That another book, whose last entry this is, was merged: its journal stands beside this one's.
void take_down_merge(Connection& connection, std::string_view other_head);

/// Tells through the connection where what is read has other rows than the journal says, or a history lacks some. What the open
/// transaction changes is left alone.
void check_rows(Connection& connection, const std::optional<Aggregate>& aggregate);
void check_history(Connection& connection, std::string_view shell);

/// One aggregate whose rows are not as the journal says.
struct Discrepancy {
    Aggregate aggregate;
    std::string label;
    std::string problem;  ///< a sentence that names it, the tables and what is wrong
};
/// Every such aggregate of the book. @throws BookError where a table cannot be read
[[nodiscard]] std::vector<Discrepancy> discrepancies(Connection& connection);
[[nodiscard]] std::vector<Discrepancy> discrepancies(Connection& connection, const std::vector<Aggregate>& among);
/// What is wrong with the journal itself: entries that were changed, removed or do not follow one another.
[[nodiscard]] std::vector<std::string> journal_problems(Connection& connection);

}  // namespace bakewright::book
