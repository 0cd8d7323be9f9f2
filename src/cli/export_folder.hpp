#pragma once

#include <cstddef>
#include <string>

#include "bakewright/base/progress.hpp"
#include "bakewright/book/book.hpp"

namespace bakewright::cli {

/// Writes every bake to shell=NAME/month=YYYY-MM/UID.csv under a new folder, one row a sample, and manifest.csv with one row a
/// bake. The folders are named as programs read partitions of a table; what is no letter, digit, '-', '_' or '.' in a shell's
/// name becomes %XX. The folder appears under its name only when it is whole. Memory: one trace at a time.
/// @return the number of bakes
/// @throws InputError where there is something under that name already; FileError where the disk refuses or progress says no
std::size_t export_to_folder(book::Book& book, const std::string& folder, const Progress& progress);

}  // namespace bakewright::cli
