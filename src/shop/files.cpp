#include "bakewright/shop/files.hpp"

#include <fcntl.h>
#include <fmt/core.h>
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

namespace bakewright::shop {
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

/// Profiles that came with this program: beside it under its prefix, wherever that was moved to.
std::string installed_profiles() {
    std::error_code error;
    const fs::path program = fs::read_symlink("/proc/self/exe", error);
    if (error) return kInstalledProfiles;
    const fs::path beside = program.parent_path().parent_path() / kProfilesUnderPrefix;
    return fs::is_directory(beside, error) ? beside.string() : std::string(kInstalledProfiles);
}

[[noreturn]] void refuse(const std::string& path, const char* deed, int reason) {
    throw FileError(fmt::format("{}: could not be {}: {}", path, deed, std::strerror(reason)));
}

/// A file descriptor that is closed, and a file that is taken away, unless the work was finished.
class NewFile {
public:
    NewFile(std::string final_path, std::string path) : final_path_(std::move(final_path)), path_(std::move(path)) {
        descriptor_ = ::open(path_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (descriptor_ < 0) refuse(final_path_, "written", errno);
    }
    ~NewFile() {
        if (descriptor_ >= 0) ::close(descriptor_);
        if (!kept_) ::unlink(path_.c_str());
    }
    NewFile(const NewFile&) = delete;
    NewFile& operator=(const NewFile&) = delete;

    void write(std::string_view content) {
        while (!content.empty()) {
            const ssize_t count = ::write(descriptor_, content.data(), content.size());
            if (count < 0 && errno == EINTR) continue;
            if (count < 0) refuse(final_path_, "written", errno);
            content.remove_prefix(static_cast<std::size_t>(count));
        }
    }
    void keep() {
        if (::fsync(descriptor_) != 0 && errno != EINVAL) refuse(final_path_, "written", errno);
        const int closed = ::close(descriptor_);
        descriptor_ = -1;
        if (closed != 0 || std::rename(path_.c_str(), final_path_.c_str()) != 0) refuse(final_path_, "written", errno);
        kept_ = true;
    }

private:
    std::string final_path_, path_;
    int descriptor_ = -1;
    bool kept_ = false;
};

}  // namespace

std::string user_profile_folder() {
    const std::string data = user_data_folder();
    return data.empty() ? data : data + "/profiles";
}

std::vector<std::string> profile_folders(const std::vector<std::string>& given) {
    std::error_code error;
    for (const std::string& folder : given)
        if (!fs::is_directory(folder, error))
            throw InputError(Problem{folder, 0, "--profiles", "is not a folder; name one that holds materials, coatings, ..."});
    std::vector<std::string> folders = given;
    std::istringstream preset(environment("BAKEWRIGHT_PROFILES"));
    for (std::string folder; std::getline(preset, folder, ':');)
        if (!folder.empty()) folders.push_back(folder);
    const std::string user = user_profile_folder();
    if (!user.empty() && fs::is_directory(user, error)) folders.push_back(user);
    folders.push_back(installed_profiles());
    return folders;
}

std::string read_file(const std::string& path, std::size_t largest_bytes, std::size_t longest_line_bytes) {
    struct stat status {};
    if (::stat(path.c_str(), &status) != 0) {
        if (errno == ENOENT || errno == ENOTDIR) throw InputError(Problem{path, 0, {}, "there is no such file"});
        refuse(path, "read", errno);
    }
    if (S_ISDIR(status.st_mode)) throw InputError(Problem{path, 0, {}, "is a folder; name a file"});
    if (S_ISREG(status.st_mode) && static_cast<std::size_t>(status.st_size) > largest_bytes)
        throw InputError(
            Problem{path, 0, {}, fmt::format("has {} bytes, at most {} are accepted", status.st_size, largest_bytes)});
    std::ifstream file(path, std::ios::binary);
    if (!file) refuse(path, "read", errno);
    std::string content;
    std::size_t line_from = 0;
    char block[65536];
    while (file.read(block, sizeof block) || file.gcount() > 0) {
        content.append(block, static_cast<std::size_t>(file.gcount()));
        const std::size_t end = std::string_view(content).substr(line_from).find_last_of("\r\n");
        if (end != std::string_view::npos) line_from += end + 1;
        if (content.size() - line_from > longest_line_bytes)
            throw InputError(Problem{
                path, 0, {}, fmt::format("has a line of more than {} bytes: this is no table of a logger", longest_line_bytes)});
        if (content.size() > largest_bytes)
            throw InputError(Problem{path, 0, {}, fmt::format("is larger than the {} bytes that are accepted", largest_bytes)});
    }
    if (file.bad()) refuse(path, "read", errno);
    return content;
}

void write_file(const std::string& path, std::string_view content) {
    if (path == "-") {
        if (std::fwrite(content.data(), 1, content.size(), stdout) != content.size()) refuse("standard output", "written", errno);
        return;
    }
    if (fs::is_directory(path)) throw InputError(Problem{path, 0, {}, "is a folder; name a file"});
    NewFile file(path, fmt::format("{}.{}.new", path, ::getpid()));
    file.write(content);
    file.keep();
}

}  // namespace bakewright::shop
