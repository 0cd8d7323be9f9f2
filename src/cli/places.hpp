#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace bakewright::cli {

/// Folders with profiles, in the order they are searched: the given ones, those of $BAKEWRIGHT_PROFILES (separated by colons),
/// the user's ($XDG_DATA_HOME/bakewright/profiles), and the installed ones beside the program.
[[nodiscard]] std::vector<std::string> profile_folders(const std::vector<std::string>& given);

/// The whole of a file. @throws InputError where it is missing, a folder or larger than largest_bytes; FileError where the disk
/// refuses
[[nodiscard]] std::string read_file(const std::string& path, std::size_t largest_bytes);

/// Writes a file whole or not at all: into a new file beside it, which then takes its name. "-" is standard output.
/// @throws FileError that names the file and the system's reason
void write_file(const std::string& path, std::string_view content);

}  // namespace bakewright::cli
