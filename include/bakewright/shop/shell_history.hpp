#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/book/book.hpp"
#include "bakewright/book/shell_history_repository.hpp"
#include "bakewright/cure/history.hpp"
#include "bakewright/shop/stored_bake.hpp"

namespace bakewright::shop {

/// A history with the traces it points to.
struct LoadedHistory {
    std::vector<std::unique_ptr<StoredBake>> halves;
    cure::ShellHistory history;
};

/// Reads the coats and bakes of a shell out of the book. A bake's log counts where there is one, else its prediction: of an entry
/// both halves are read. The items are those of the shells kept with the bakes; of one name the latest limits count.
/// @param planned  a bake still to come, added at its time
/// @param without  a bake that is left out, under the number of either half
[[nodiscard]] LoadedHistory load_history(book::Book& book, const std::string& shell,
                                         const std::optional<book::HistoryEntry>& planned = std::nullopt,
                                         std::optional<book::BakeId> without = std::nullopt);

/// Under which name the book knows what a shell went through: its own, or of a tuned one the nearest of those it was tuned from.
/// Nothing where it knows none. What a name looks like says nothing: the link is in the profile (`tuned_from`).
[[nodiscard]] std::optional<std::string> history_name(book::Book& book, const std::string& shell, const bake::Learned& learned);

/// Reads the history and refuses one that cannot be. @throws InputError
void require_sound_history(book::Book& book, const std::string& shell);

/// What a bake is entered with where the user does not say: when it began (its log's or its own start), the zones of the shell it
/// was made with, and the items of that shell. began_at is empty where unknown.
[[nodiscard]] book::HistoryEntry entry_of(book::Book& book, const std::string& shell, book::BakeId bake);

}  // namespace bakewright::shop
