// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <vector>

#include "bakewright/base/work.hpp"
#include "bakewright/book/book.hpp"

namespace bakewright::book {

/// What a merge brought in.
struct MergeReport {
    bool complete = false;  ///< false where progress said no: the book is then as it was
    std::size_t bakes = 0, known_bakes = 0;
    std::size_t documents = 0, raw_files = 0, coats = 0, history_bakes = 0, hand_notes = 0;
    std::vector<std::string> conflicts;  ///< what both books say differently, and which of the two was kept
};

/// Unites another book with this one, whole or not at all. Bakes are the same where their uid is, documents and probe files where
/// their hash is, coats where shell, name and moment are, entries of a history where shell and bake are. What is there already
/// stays. Histories are united where they are those of one vehicle, which a name alone does not show: the same uid, job number or
/// maker's number do, or a coat or bake that both books have under the name; else the other's comes in under a name of its own.
/// Where both books say something else of the same thing (a title, a note, the moment of a sanding), the text that sorts
/// last is kept and told, zones and items are united: so books merged in any order, and twice, hold the same but for the short
/// numbers. A bake that was removed here comes back with a book that still has it. The other book is checked first as verify()
/// does. One of an older schema is brought up to date in a copy.
/// @throws InputError where the other file is no book or this one; BookError where it is damaged or newer, or where file, folder
/// or disk refuse
[[nodiscard]] MergeReport merge(Book& book, const std::filesystem::path& other, const Progress& progress = {});

}  // namespace bakewright::book
