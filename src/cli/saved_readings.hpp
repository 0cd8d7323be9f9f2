#pragma once

#include <string>
#include <vector>

#include "bakewright/book/book.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// The words of an import with those of the reading that --reading names; what the words give themselves goes before it.
/// @throws InputError where the book keeps no reading of that name
[[nodiscard]] std::vector<std::string> with_saved_reading(const std::vector<std::string>& words, const Options& options);

/// Keeps the reading of an import under the name of --save-reading. An earlier one of that name stays in the book; the newest
/// holds.
void save_reading(book::Book& book, const Options& options);

}  // namespace bakewright::cli
