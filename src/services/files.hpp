// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <limits>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/files.hpp"

namespace bakewright::services {

/// Folders with profiles, in the order they are searched, each once: the given ones, those of $BAKEWRIGHT_PROFILES (separated by
/// colons), the shop's own, old_profile_folders(), and those that came with the program, installed beside it.
[[nodiscard]] std::vector<std::string> profile_folders(const std::vector<std::string>& given);

/// $XDG_DATA_HOME/bakewright/own_profiles, where the shop's own are kept, whether or not it is there yet; empty without a home.
/// No installation writes there, under any prefix.
[[nodiscard]] std::string user_profile_folder();

/// Where a shop's own profiles stood before they had a folder to themselves, as far as it is there:
/// $XDG_DATA_HOME/bakewright/profiles and share/bakewright/profiles under the program's prefix. They are read, and nothing is
/// written there any more.
[[nodiscard]] std::vector<std::string> old_profile_folders();

/// A path as people know it: "~/..." for what lies in the home folder.
[[nodiscard]] std::string shown_path(const std::string& path);

/// The documentation as a site: $BAKEWRIGHT_HELP, or what is installed beside the program; it need not be there.
[[nodiscard]] std::string help_folder();

/// The whole of a file. A line longer than longest_line_bytes ends the reading at once, so that an endless line of a pipe or a
/// huge file takes no more memory than that.
/// @throws InputError where it is missing, a folder, larger than largest_bytes or has too long a line; FileError where the disk
/// refuses
[[nodiscard]] std::string read_file(const std::string& path, std::size_t largest_bytes,
                                    std::size_t longest_line_bytes = std::numeric_limits<std::size_t>::max());

/// How every command and the page write: see base.
using bakewright::write_file;

}  // namespace bakewright::services
