// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/shell.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/book/identity_repository.hpp"
#include "bakewright/book/shell_history_repository.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/cure/history.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/services/stored_bake.hpp"

namespace bakewright::services {

/// A history with the traces it points to.
struct LoadedHistory {
    std::vector<std::unique_ptr<StoredBake>> halves;
    cure::ShellHistory history;
    std::vector<std::string> damage;  ///< rows that are not those the program stored
    /// Of logs that were estimated (estimate_logs()), by bake and name: standard deviation of their traces [K].
    std::map<book::BakeId, std::map<std::string, double>> estimated_standard_k{};
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

/// Changes of a shell's history, each whole or not at all; one after which the history could not be is refused with InputError.
/// The coat as it may be entered. Its zones are those named, or every coated zone but the test panel, which is sprayed anew each
/// time. @throws InputError for a zone that is not in the shell (with the nearest that is), or text that cannot be kept
[[nodiscard]] book::NewCoat checked_coat(book::NewCoat coat, const bake::Shell& shell);

/// @param coat  checked_coat(); its coating is set here
book::CoatId enter_coat(book::Book& book, book::NewCoat coat, const cure::Coating& coating);
book::StoredCoat enter_sanded(book::Book& book, book::CoatId coat, const std::string& sanded_at);
void enter_bake(book::Book& book, const book::HistoryEntry& entry);

/// Gives the vehicle of a history its numbers; what is not given stays. @throws InputError where there is no such history, or
/// another vehicle has one of them
book::Vehicle enter_vehicle_numbers(book::Book& book, const std::string& shell, const std::optional<std::string>& job_number,
                                    const std::optional<std::string>& maker_number);

/// What of one vehicle's history is another's.
struct HistoryMove {
    std::string from, into;             ///< the names of the two histories; `into` need not be there yet
    std::vector<book::CoatId> coats{};  ///< with `bakes` empty too: everything, and the two were one vehicle
    std::vector<book::BakeId> bakes{};
    std::string by, why;
};

/// Puts right that one vehicle was entered or merged as two, or two as one; whole or not at all, with an entry in the journal.
/// Where everything goes over, so do the vehicle's numbers.
/// @return the vehicles that are left of the two  @throws InputError where there is no such history, coat or bake, both vehicles
/// have a number and not the same, or either history could not be then
std::vector<book::Vehicle> move_history(book::Book& book, const HistoryMove& move);

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

/// The history of a shell of the book, for a plan: what coats and items have had so far, and what they have after a planned bake.
class PlanHistory {
public:
    /// @param without  a bake that is not over, and that the plan is about
    /// @throws InputError where the book knows no coat and no bake of the shell, or the history cannot be
    PlanHistory(book::Book& book, const std::string& shell, const std::vector<cure::HeatSensitiveItem>& items,
                std::optional<book::BakeId> without = std::nullopt);

    [[nodiscard]] const plan::SoFar& so_far() const noexcept { return so_far_; }
    [[nodiscard]] cure::ShellVerdict after(const plan::PlannedBake& bake) const;
    [[nodiscard]] const cure::ShellHistory& history() const noexcept { return loaded_.history; }

private:
    LoadedHistory loaded_;
    plan::SoFar so_far_;
};

[[nodiscard]] std::vector<std::string> names_of(const std::vector<cure::HeatSensitiveItem>& items);

}  // namespace bakewright::services
