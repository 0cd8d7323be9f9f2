// SPDX-License-Identifier: Apache-2.0
#include "bakewright/profile/file_text.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <system_error>

#include "bakewright/base/error.hpp"
#include "bakewright/base/files.hpp"
#include "bakewright/profile/read.hpp"

namespace bakewright::profile {
namespace {

[[noreturn]] void refuse_profile(const std::string& path, std::string message) {
    throw InputError(Problem{.file = path, .line = 0, .key = {}, .message = std::move(message)});
}

void refuse_unless_file(const std::string& path) {
    if (path.find('\0') != std::string::npos) refuse_profile("", "a file name holds a null character");
    std::error_code error;
    const std::filesystem::file_status status = std::filesystem::status(path, error);
    if (status.type() == std::filesystem::file_type::not_found) refuse_profile(path, "there is no such file");
    if (error) throw FileError(fmt::format("{}: cannot be read: {}", path, error.message()));
    if (std::filesystem::is_directory(status))
        refuse_profile(path, "is a directory; expected a profile, a file that ends in .toml");
    if (!std::filesystem::is_regular_file(status)) refuse_profile(path, "is not a plain file");
}

}  // namespace

std::string file_text(const std::string& path) {
    refuse_unless_file(path);
    const FileBytes file(path);
    std::string text(kLargestProfileBytes + 1, '\0');
    text.resize(file.read_at(0, text));
    if (text.size() > kLargestProfileBytes) refuse_profile(path, "is larger than 1 MiB; a profile is a page or two of text");
    return text;
}

}  // namespace bakewright::profile
