#pragma once

#include <limits>
#include <string>
#include <string_view>
#include <vector>

namespace bakewright::shop {

/// Folders with profiles, in the order they are searched: the given ones, those of $BAKEWRIGHT_PROFILES (separated by colons),
/// the user's ($XDG_DATA_HOME/bakewright/profiles), and the installed ones beside the program.
[[nodiscard]] std::vector<std::string> profile_folders(const std::vector<std::string>& given);

/// $XDG_DATA_HOME/bakewright/profiles, where the user's own are kept, whether or not it is there yet; empty without a home.
[[nodiscard]] std::string user_profile_folder();

/// The whole of a file. A line longer than longest_line_bytes ends the reading at once, so that an endless line of a pipe or a
/// huge file takes no more memory than that.
/// @throws InputError where it is missing, a folder, larger than largest_bytes or has too long a line; FileError where the disk
/// refuses
[[nodiscard]] std::string read_file(const std::string& path, std::size_t largest_bytes,
                                    std::size_t longest_line_bytes = std::numeric_limits<std::size_t>::max());

/// Writes a file whole or not at all: into a new file beside it, which then takes its name. "-" is standard output.
/// @throws FileError that names the file and the system's reason
void write_file(const std::string& path, std::string_view content);

}  // namespace bakewright::shop
