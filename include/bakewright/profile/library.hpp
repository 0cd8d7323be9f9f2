// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "bakewright/profile/kind.hpp"

namespace bakewright::profile {

/// Directories that hold profiles, searched in order; the first that has a name wins, so that a user's own directory put first
/// overrides the one that came with the program. A profile stands at `<directory>/<kind_folder>/<name>.toml`.
class Library {
public:
    Library() = default;
    explicit Library(std::vector<std::string> directories) : directories_(std::move(directories)) {}

    [[nodiscard]] const std::vector<std::string>& directories() const noexcept { return directories_; }

    /// Path of a profile. A text that contains '/' or ends in ".toml" is a path and is returned as it is, whether or not such a
    /// file exists; any other text is a name.
    /// @throws InputError for a name that no directory has: with the nearest name and the places that were searched
    [[nodiscard]] std::string find(Kind kind, std::string_view name_or_path) const;

    /// Like find(), for names alone: never a path. @throws InputError
    [[nodiscard]] std::string find_name(Kind kind, std::string_view name) const;

    /// Every name of a kind, sorted, each once.
    [[nodiscard]] std::vector<std::string> names(Kind kind) const;

private:
    std::vector<std::string> directories_;
};

}  // namespace bakewright::profile
