// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/profile/kind.hpp"
#include "bakewright/profile/library.hpp"

namespace bakewright::profile {

/// What a check of one profile file found.
struct CheckReport {
    std::string file;
    std::optional<Kind> kind;  ///< absent where the file does not say
    std::string title;
    std::vector<Problem> problems;   ///< empty for a good profile
    std::vector<std::string> notes;  ///< numbers without a source, defaults that were used

    [[nodiscard]] bool good() const noexcept { return problems.empty(); }
};

/// Checks a profile of any kind; a file that is missing, a directory or not text at all is a problem of the report.
/// @throws FileError where the disk refused to read
[[nodiscard]] CheckReport check_file(const std::string& path, const Library& library);

/// Checks a text as a profile of a kind, whether or not it is in any file.
/// @param file  what problems are said to be in
[[nodiscard]] CheckReport check_text(Kind kind, const std::string& text, const std::string& file, const Library& library);

/// Checks every profile of a library, in the order of kind and name; of one name the file that counts.
[[nodiscard]] std::vector<CheckReport> check_library(const Library& library);

}  // namespace bakewright::profile
