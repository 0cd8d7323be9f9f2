#pragma once

#include <string>
#include <vector>

#include "bakewright/bake/shell.hpp"
#include "bakewright/book/shell_history_repository.hpp"
#include "bakewright/cure/coating.hpp"

/// Changes of a shell's history, each whole or not at all; one after which the history could not be is refused with InputError.
namespace bakewright::shop {

/// The coat as it may be entered. Its zones are those named, or every coated zone but the test panel, which is sprayed anew each
/// time. @throws InputError for a zone that is not in the shell (with the nearest that is), or text that cannot be kept
[[nodiscard]] book::NewCoat checked_coat(book::NewCoat coat, const bake::Shell& shell);

/// @param coat  checked_coat(); its coating is set here
book::CoatId enter_coat(book::Book& book, book::NewCoat coat, const cure::Coating& coating);
book::StoredCoat enter_sanded(book::Book& book, book::CoatId coat, const std::string& sanded_at);
void enter_bake(book::Book& book, const book::HistoryEntry& entry);

/// What is said about a bake that enters a history; what is left empty is taken from the book, see entry_of().
struct EntryAsked {
    std::string shell;
    book::BakeId bake{};
    std::string at;                  ///< by the shop's clock
    std::vector<std::string> zones;  ///< that took part
    std::vector<std::string> out;    ///< items that were taken out before
};

/// @throws InputError for a zone or item that is not in the bake's shell, or where nobody knows when it began
[[nodiscard]] book::HistoryEntry entry_from(book::Book& book, const EntryAsked& asked);

}  // namespace bakewright::shop
