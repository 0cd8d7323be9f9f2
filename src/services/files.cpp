// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/files.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <sys/auxv.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string_view>

#include "bakewright/base/error.hpp"
#include "install_paths.hpp"

namespace bakewright::services {
namespace {

namespace fs = std::filesystem;

std::string environment(const char* name) {
    const char* value = std::getenv(name);
    return value == nullptr ? std::string{} : std::string(value);
}

std::string user_data_folder() {
    const std::string data = environment("XDG_DATA_HOME");
    if (!data.empty() && data.front() == '/') return data + "/bakewright";
    const std::string home = environment("HOME");
    return home.empty() ? std::string{} : home + "/.local/share/bakewright";
}

/// Where this program lies; empty where that cannot be told. A narrow root has no /proc: the kernel also hands over the name that
/// the program was started by.
fs::path own_program() {
    std::error_code error;
    const fs::path program = fs::read_symlink("/proc/self/exe", error);
    if (!error) return program;
    const char* const started_by = reinterpret_cast<const char*>(::getauxval(AT_EXECFN));
    return started_by == nullptr ? fs::path() : fs::canonical(started_by, error);
}

/// The prefix this program is installed under, wherever that was moved to; empty where that cannot be told.
fs::path own_prefix() { return own_program().parent_path().parent_path(); }

/// Profiles that came with this program: beside it under its prefix.
std::string shipped_profiles(const fs::path& prefix) {
    std::error_code error;
    const fs::path beside = prefix / kProfilesUnderPrefix;
    return !prefix.empty() && fs::is_directory(beside, error) ? beside.string() : std::string(kInstalledProfiles);
}

/// Adds a folder unless it stands there already, under whatever name.
void add_once(std::vector<std::string>& folders, const std::string& folder) {
    std::error_code error;
    for (const std::string& known : folders)
        if (known == folder || fs::equivalent(known, folder, error)) return;
    folders.push_back(folder);
}

[[noreturn]] void refuse_file(const std::string& path, const char* deed, int reason) {
    throw FileError(fmt::format("{}: could not be {}: {}", path, deed, std::strerror(reason)));
}

}  // namespace

std::string shown_path(const std::string& path) {
    const std::string home = environment("HOME") + "/";
    return home.size() > 1 && path.rfind(home, 0) == 0 ? "~/" + path.substr(home.size()) : path;
}

std::string user_profile_folder() {
    const std::string data = user_data_folder();
    return data.empty() ? data : data + "/own_profiles";
}

std::vector<std::string> old_profile_folders() {
    std::vector<std::string> folders;
    std::error_code error;
    const fs::path prefix = own_prefix();
    for (const fs::path& folder : {fs::path(user_data_folder()) / "profiles", prefix / kOldProfilesUnderPrefix})
        if (folder.is_absolute() && fs::is_directory(folder, error)) add_once(folders, folder);
    return folders;
}

std::vector<std::string> profile_folders(const std::vector<std::string>& given) {
    std::error_code error;
    for (const std::string& folder : given)
        if (!fs::is_directory(folder, error))
            throw InputError(Problem{folder, 0, "--profiles", "is not a folder; name one that holds materials, coatings, ..."});
    std::vector<std::string> folders;
    for (const std::string& folder : given) add_once(folders, folder);
    std::istringstream preset(environment("BAKEWRIGHT_PROFILES"));
    for (std::string folder; std::getline(preset, folder, ':');)
        if (!folder.empty()) add_once(folders, folder);
    const std::string user = user_profile_folder();
    if (!user.empty()) add_once(folders, user);  // also before it is made: the page may make it
    for (const std::string& old : old_profile_folders()) add_once(folders, old);
    add_once(folders, shipped_profiles(own_prefix()));
    return folders;
}

std::string help_folder() {
    const std::string preset = environment("BAKEWRIGHT_HELP");
    return preset.empty() ? (own_prefix() / kHelpUnderPrefix).string() : preset;
}

std::string read_file(const std::string& path, std::size_t largest_bytes, std::size_t longest_line_bytes) {
    struct stat status {};
    if (::stat(path.c_str(), &status) != 0) {
        if (errno == ENOENT || errno == ENOTDIR) throw InputError(Problem{path, 0, {}, "there is no such file"});
        refuse_file(path, "read", errno);
    }
    if (S_ISDIR(status.st_mode)) throw InputError(Problem{path, 0, {}, "is a folder; name a file"});
    if (S_ISREG(status.st_mode) && static_cast<std::size_t>(status.st_size) > largest_bytes)
        throw InputError(
            Problem{path, 0, {}, fmt::format("has {} bytes, at most {} are accepted", status.st_size, largest_bytes)});
    std::ifstream file(path, std::ios::binary);
    if (!file) refuse_file(path, "read", errno);
    std::string content;
    std::size_t line_from = 0;
    char block[65536];
    while (file.read(block, sizeof block) || file.gcount() > 0) {
        content.append(block, static_cast<std::size_t>(file.gcount()));
        const std::size_t end = std::string_view(content).substr(line_from).find_last_of("\r\n");
        if (end != std::string_view::npos) line_from += end + 1;
        if (content.size() - line_from > longest_line_bytes)
            throw InputError(
                Problem{path,
                        0,
                        {},
                        fmt::format("has a line of more than {} bytes: this is not a table of a logger", longest_line_bytes)});
        if (content.size() > largest_bytes)
            throw InputError(Problem{path, 0, {}, fmt::format("is larger than the {} bytes that are accepted", largest_bytes)});
    }
    if (file.bad()) refuse_file(path, "read", errno);
    return content;
}

}  // namespace bakewright::services
