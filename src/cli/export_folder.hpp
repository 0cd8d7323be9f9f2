// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "bakewright/base/work.hpp"
#include "bakewright/book/book.hpp"

namespace bakewright::cli {

/// What an export of all bakes did.
struct ExportedFolder {
    std::size_t bakes = 0;          ///< written, whole or in part
    std::vector<std::string> lost;  ///< what could not be read of a damaged book, and why
};

/// Writes every bake to shell=NAME/month=YYYY-MM/UID.csv under a new folder, one row a sample, and manifest.csv with one row a
/// bake. The folders are named as programs read partitions of a table; what is no letter, digit, '-', '_' or '.' in a shell's
/// name becomes %XX. The folder appears under its name only when it is whole. Memory: one trace at a time.
/// @param salvage  what cannot be read is told and left out, else it ends the export
/// @throws InputError where there is something under that name already; FileError where the disk refuses or progress says no
ExportedFolder export_to_folder(book::Book& book, const std::string& folder, bool salvage, const Progress& progress);

}  // namespace bakewright::cli
