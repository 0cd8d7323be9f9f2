// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/book/book.hpp"
#include "bakewright/profile/saved_reading.hpp"
#include "bakewright/services/reading_options.hpp"

namespace bakewright::services {

/// How logs of one kind of file are read, kept in the book under names. An earlier one of a name stays in the book; the newest
/// holds.
[[nodiscard]] std::vector<profile::SavedReading> saved_readings(book::Book& book);

/// @throws InputError that names the option `--reading` and the names there are
[[nodiscard]] profile::SavedReading saved_reading(book::Book& book, const std::string& name);

/// What was given, and what a saved reading adds to it: an option that was given goes before the saved one.
[[nodiscard]] GivenOptions with_saved(const GivenOptions& given, const profile::SavedReading& saved);

/// Those that belong to the kind of file, not to one file, are kept: not which lines were taken.
void save_reading(book::Book& book, const std::string& name, const GivenOptions& reading);

}  // namespace bakewright::services
