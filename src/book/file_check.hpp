// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>

#include "bakewright/book/book.hpp"

namespace bakewright::book {

/// Looks at a path and at the first bytes of its file, without SQLite, so that another program's file is not even locked.
/// @throws InputError where the user named something that cannot be a book; BookError where the file cannot be read
void refuse_what_is_no_book(const std::filesystem::path& file, Mode mode);

}  // namespace bakewright::book
