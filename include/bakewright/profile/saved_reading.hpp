// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace bakewright::profile {

/// How logs of one kind of file are read, kept under a name for the next file of that kind.
struct SavedReading {
    std::string name;
    int number = 1;  ///< of the readings that were kept under this name, which is never changed: 1 or more
    std::vector<std::pair<std::string, std::string>>
        options;  ///< option of the import without dashes, value; an option may repeat
};

/// Canonical TOML (kind = "log_reading") that saved_reading_from_toml gives back.
[[nodiscard]] std::string to_toml(const SavedReading& reading);

/// @param origin  for messages
/// @throws InputError for a text that is none
[[nodiscard]] SavedReading saved_reading_from_toml(std::string_view text, const std::string& origin);

}  // namespace bakewright::profile
