// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>

#include "bakewright/book/book.hpp"

namespace bakewright::book {

/// Writes a copy of the book as it stands at this moment, also while other programs read and write it; the copy has no unused
/// space. It appears under its name only when it is whole.
/// @throws InputError where there is something under that name already, or no folder to put it in; BookError where the book
/// cannot be read or the disk refuses
void back_up(Book& book, const std::filesystem::path& copy);

}  // namespace bakewright::book
