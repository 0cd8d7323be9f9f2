// SPDX-License-Identifier: Apache-2.0
#include "bakewright/profile/library.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <system_error>

#include "bakewright/base/error.hpp"
#include "bakewright/profile/text_rules.hpp"

namespace bakewright::profile {
namespace {

bool is_path(std::string_view text) { return text.find('/') != std::string_view::npos || text.ends_with(".toml"); }

/// Names are file names without their ending: no folder can be left with one, nothing hidden be reached.
bool can_be_name(std::string_view text) {
    constexpr std::string_view kLetters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-.";
    return !text.empty() && text.size() <= kLongestName && text.front() != '.' &&
           text.find_first_not_of(kLetters) == std::string_view::npos;
}

std::string folder_of(const std::string& directory, Kind kind) {
    return (std::filesystem::path(directory) / kind_folder(kind)).string();
}

std::vector<std::string> searched_folders(const std::vector<std::string>& directories, Kind kind) {
    std::vector<std::string> folders;
    for (const std::string& directory : directories) folders.push_back(folder_of(directory, kind));
    return folders;
}

[[noreturn]] void refuse_name(const Library& library, Kind kind, std::string_view name) {
    const std::vector<std::string> folders = searched_folders(library.directories(), kind);
    const std::vector<std::string> names = library.names(kind);
    const std::string near = name.size() > kLongestName ? std::string() : nearest_name(name, names);
    std::string message = fmt::format("there is no {} named {}", kind_name(kind), shown(name));
    if (!near.empty())
        message += fmt::format("; did you mean \"{}\"?", near);
    else if (!names.empty())
        message += fmt::format("; known: {}", fmt::join(names, ", "));
    message +=
        folders.empty() ? "; there is no profile folder to look in" : fmt::format(" (looked in {})", fmt::join(folders, ", "));
    throw InputError(Problem{.file = {}, .line = 0, .key = {}, .message = std::move(message)});
}

}  // namespace

std::string Library::find(Kind kind, std::string_view name_or_path) const {
    return is_path(name_or_path) ? std::string(name_or_path) : find_name(kind, name_or_path);
}

std::string Library::find_name(Kind kind, std::string_view name) const {
    if (!can_be_name(name)) refuse_name(*this, kind, name);
    for (const std::string& directory : directories_) {
        std::string path = (std::filesystem::path(folder_of(directory, kind)) / (std::string(name) + ".toml")).string();
        std::error_code ignored;
        if (std::filesystem::exists(path, ignored)) return path;
    }
    refuse_name(*this, kind, name);
}

std::vector<std::string> Library::names(Kind kind) const {
    std::vector<std::string> names;
    for (const std::string& directory : directories_) {
        std::error_code error;
        for (const auto& entry : std::filesystem::directory_iterator(folder_of(directory, kind), error))
            if (entry.path().extension() == ".toml" && can_be_name(entry.path().stem().string()))
                names.push_back(entry.path().stem().string());
    }
    std::sort(names.begin(), names.end());
    names.erase(std::unique(names.begin(), names.end()), names.end());
    return names;
}

}  // namespace bakewright::profile
