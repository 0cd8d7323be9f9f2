// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/book/hand_note_repository.hpp"
#include "bakewright/report/hand_text.hpp"
#include "bakewright/services/stored_bake.hpp"

namespace bakewright::services {

/// How a reading or a test is taken, by kind; the first is what counts where nobody says. For a temperature these tell its
/// standard uncertainty: 2 K by infrared, 1 K by a contact probe (common practice, no source).
[[nodiscard]] const std::vector<std::string>& hand_methods(book::HandNoteKind kind);
[[nodiscard]] double usual_hand_standard_k(const std::string& method);

/// Checks a note and keeps it. An empty method is the first of hand_methods(), a temperature without an uncertainty has that of
/// its method. @throws InputError for a zone that the bake does not have (with the nearest that it has), a method that is none,
/// or a number that is out of range; keys are the options of `note`  @return its uid
std::string enter_hand_note(book::Book& book, book::NewHandNote note);

/// The names of the zones that a note on a bake may speak of.
[[nodiscard]] std::vector<std::string> notable_zones(const StoredBake& bake);

/// Puts the temperatures that were taken by hand into the traces of a log as channels of their own: under the zone's name where
/// the log has none of it, so that it is judged (what lies between readings more than two minutes apart is not known), else
/// beside it as "NAME (by hand)".
void add_hand_channels(StoredBake& bake);

/// The bake's notes beside the log, the sheet, and what its readings say of the zones. A temperature is a doubt where it and the
/// log differ by more than twice their standard uncertainties together (coverage factor 2: about 95 %); a test where it found the
/// film soft; a film build outside of the sheet's.
/// @param coating  the one it is judged by; null where there is none
/// @param verdict  null where it was not judged
[[nodiscard]] std::vector<report::HandRow> hand_rows(const StoredBake& bake, const cure::Coating* coating,
                                                     const cure::BakeVerdict* verdict);

/// The same by the coating the bake was kept with.
[[nodiscard]] std::vector<report::HandRow> hand_rows(const StoredBake& bake);

/// How often film that was tested by hand was soft, by coating and word, of all bakes of the book.
[[nodiscard]] std::vector<report::SoftCount> soft_counts(book::Book& book);

/// The largest share that is not refused by `count` of `tested`: one-sided, with 95 % confidence.
/// Source: Clopper and Pearson, Biometrika 26 (1934) 404 (from memory).
[[nodiscard]] double most_share(std::size_t count, std::size_t tested);

}  // namespace bakewright::services
