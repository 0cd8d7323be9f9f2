// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "bakewright/base/work.hpp"
#include "bakewright/book/book.hpp"

namespace bakewright::book {

/// What a check of the whole book found. `problems` is empty and `complete` true for a sound book.
struct VerifyReport {
    std::vector<std::string> problems;  ///< each names the thing (bake, trace, document, probe file) and what is wrong with it
    bool complete = false;              ///< false where the caller stopped it
    std::uint64_t bakes = 0;
    std::uint64_t traces = 0;
    std::uint64_t samples = 0;
    std::uint64_t documents = 0;
    std::uint64_t raw_files = 0;

    [[nodiscard]] bool sound() const noexcept { return complete && problems.empty(); }
};

/// Reads every byte: SQLite's own integrity check, foreign keys, the hash of every document, block and probe file, and that
/// every trace unpacks to what its row says. Damage is reported, not thrown; changes nothing.
[[nodiscard]] VerifyReport verify(Book& book, const Progress& progress = {});

}  // namespace bakewright::book
