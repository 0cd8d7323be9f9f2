// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "bakewright/book/shell_history_repository.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// Adds --at, --zone and --out, by which a bake is entered into a history.
void describe_entry(Options& options);

/// A bake as it is entered: what the user says, else what the book knows of it.
/// @throws InputError where nobody knows when it began, or a zone or item is not of the shell it was made with
[[nodiscard]] book::HistoryEntry entry_from(book::Book& book, const Options& options, book::BakeId bake);

}  // namespace bakewright::cli
