// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/book/book.hpp"

namespace bakewright::book {

/// The journal of a book, which is only added to: for each bake, coat, entry of a history, profile and probe file, a hash of its
/// rows each time the program changed them. An entry's own hash covers the one before it, so that the last hash stands for
/// everything the book has ever held. Every call may throw BookError.
struct JournalDigest {
    std::string text;  ///< the first 16 digits of the last hash, "5f01-9c2e-77ab-0d34"; empty before the first entry
    std::uint64_t entries = 0;
    std::string written_at;  ///< of the last entry, UTC
    std::string book_uid;    ///< 32 hexadecimal digits, the book's own and that of its copies
};

[[nodiscard]] JournalDigest journal_digest(Book& book);

/// What changed after the moment at which a digest was printed.
struct SinceDigest {
    std::string written_at;            ///< of the entry with that digest, UTC
    std::vector<std::string> changed;  ///< what was there then and was changed or removed since, as people call it, each once
    std::uint64_t added = 0;           ///< what was not there then
};

/// @param digest  as printed, 16 digits or more of a hash; case, hyphens and blanks do not count
/// @return nothing where no entry of this book has it. @throws InputError where it is no digest
[[nodiscard]] std::optional<SinceDigest> since_digest(Book& book, std::string_view digest);

/// Takes the rows of everything that verify() finds changed outside of the program as they are now, with who and why.
/// @return what was taken, as people call it. @throws InputError where `why` is empty
std::vector<std::string> accept_rows(Book& book, std::string_view who, std::string_view why);

}  // namespace bakewright::book
