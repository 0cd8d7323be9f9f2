// SPDX-License-Identifier: Apache-2.0
#include "bakewright/base/files.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <poll.h>
#include <stdlib.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <charconv>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <functional>
#include <mutex>
#include <optional>
#include <string>
#include <utility>

#include "bakewright/base/error.hpp"

namespace bakewright {
namespace {

[[noreturn]] void refuse_to_read(const std::string& path, int reason) {
    throw FileError(path + ": could not be read: " + std::strerror(reason));
}

}  // namespace

// Without blocking, so that a pipe nobody writes to is refused and not waited for; files do not know the difference.
FileBytes::FileBytes(const std::string& path)
    : path_(path), descriptor_(::open(path.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC)) {
    if (descriptor_ < 0) {
        if (errno == ENOENT || errno == ENOTDIR) throw InputError(Problem{path, 0, {}, "there is no such file"});
        refuse_to_read(path, errno);
    }
    struct stat status {};
    const bool known = ::fstat(descriptor_, &status) == 0;
    if (!known || !S_ISREG(status.st_mode)) {
        const int reason = errno;
        ::close(descriptor_);
        if (!known) refuse_to_read(path, reason);
        throw InputError(Problem{path, 0, {}, "is not a regular file; a pipe or a device cannot be read here"});
    }
    size_ = static_cast<std::uint64_t>(status.st_size);
    modified_s_ = status.st_mtim.tv_sec;
    modified_ns_ = status.st_mtim.tv_nsec;
}

FileBytes::~FileBytes() { ::close(descriptor_); }

std::size_t FileBytes::read_at(std::uint64_t offset, std::span<char> into) const {
    std::size_t done = 0;
    while (done < into.size()) {
        const ssize_t count = ::pread(descriptor_, into.data() + done, into.size() - done, static_cast<off_t>(offset + done));
        if (count < 0 && errno == EINTR) continue;
        if (count < 0) refuse_to_read(path_, errno);
        if (count == 0) break;
        done += static_cast<std::size_t>(count);
    }
    return done;
}

void FileBytes::ensure_unchanged() const {
    struct stat status {};
    if (::fstat(descriptor_, &status) != 0) refuse_to_read(path_, errno);
    if (static_cast<std::uint64_t>(status.st_size) != size_ || status.st_mtim.tv_sec != modified_s_ ||
        status.st_mtim.tv_nsec != modified_ns_)
        throw InputError(Problem{path_, 0, {}, "was written to while it was read; import it when the logger is done with it"});
}

namespace {

std::string folder() {
    std::error_code error;
    const std::filesystem::path path = std::filesystem::temp_directory_path(error);
    return error ? std::string("/tmp") : path.string();
}

[[noreturn]] void refuse(const char* deed, int reason) {
    throw FileError(folder() + ": a temporary file could not be " + deed + ": " + std::strerror(reason) +
                    "; another folder can be named with TMPDIR");
}

}  // namespace

TemporaryFile::TemporaryFile() {
    std::string name = folder() + "/bakewright-XXXXXX";
    descriptor_ = ::mkostemp(name.data(), O_CLOEXEC);
    if (descriptor_ < 0) refuse("made", errno);
    ::unlink(name.c_str());
}

TemporaryFile::~TemporaryFile() { ::close(descriptor_); }

void TemporaryFile::write_at(std::uint64_t offset, std::span<const char> bytes) const {
    while (!bytes.empty()) {
        const ssize_t count = ::pwrite(descriptor_, bytes.data(), bytes.size(), static_cast<off_t>(offset));
        if (count < 0 && errno == EINTR) continue;
        if (count < 0) refuse("written", errno);
        bytes = bytes.subspan(static_cast<std::size_t>(count));
        offset += static_cast<std::uint64_t>(count);
    }
}

void TemporaryFile::read_at(std::uint64_t offset, std::span<char> into) const {
    while (!into.empty()) {
        const ssize_t count = ::pread(descriptor_, into.data(), into.size(), static_cast<off_t>(offset));
        if (count < 0 && errno == EINTR) continue;
        if (count <= 0) refuse("read", count < 0 ? errno : EIO);
        into = into.subspan(static_cast<std::size_t>(count));
        offset += static_cast<std::uint64_t>(count);
    }
}

namespace {

namespace fs = std::filesystem;

constexpr int kMostLinks = 40;  // as the kernel follows

[[noreturn]] void refuse_to_write(const std::string& path, int reason) {
    throw FileError(fmt::format("{}: could not be written: {}", path, std::strerror(reason)));
}

[[noreturn]] void refuse_name(const std::string& path, const char* why) { throw InputError(Problem{path, 0, {}, why}); }

/// Writes all of it, also to a pipe that takes no more for the moment.
void write_all(int descriptor, std::string_view content, const std::string& path) {
    while (!content.empty()) {
        const ssize_t count = ::write(descriptor, content.data(), content.size());
        if (count < 0 && errno == EINTR) continue;
        if (count < 0 && errno == EAGAIN) {
            pollfd ready{descriptor, POLLOUT, 0};
            ::poll(&ready, 1, -1);
            continue;
        }
        if (count < 0) refuse_to_write(path, errno);
        content.remove_prefix(static_cast<std::size_t>(count));
    }
}

/// An open descriptor of this process or another place.
struct Target {
    fs::path path;
    std::optional<int> descriptor;
};

/// The number N of /proc/PID/fd/N where PID is this process.
std::optional<int> own_descriptor(const fs::path& folder, const std::string& name) {
    if (folder != fmt::format("/proc/{}/fd", ::getpid())) return std::nullopt;
    int number = -1;
    const auto [end, status] = std::from_chars(name.data(), name.data() + name.size(), number);
    return status == std::errc{} && end == name.data() + name.size() ? std::optional(number) : std::nullopt;
}

/// Follows links to the file that is meant, whether it is there or not: what stands at its end is replaced, not the link.
Target target_of(const std::string& asked) {
    fs::path path = asked;
    for (int links = 0; links < kMostLinks; ++links) {
        std::error_code error;
        const fs::path folder = fs::canonical(path.has_parent_path() ? path.parent_path() : fs::path("."), error);
        if (error) refuse_to_write(asked, error.value());
        path = folder / path.filename();
        if (const auto descriptor = own_descriptor(folder, path.filename())) return {path, descriptor};
        if (!fs::is_symlink(path, error)) return {path, std::nullopt};
        const fs::path next = fs::read_symlink(path, error);
        if (error) refuse_to_write(asked, error.value());
        path = next.is_absolute() ? next : folder / next;
    }
    refuse_name(asked, "is a link that leads in a circle; name a file");
}

class Descriptor {
public:
    explicit Descriptor(int number) noexcept : number_(number) {}
    ~Descriptor() {
        if (number_ >= 0) ::close(number_);
    }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    [[nodiscard]] int number() const noexcept { return number_; }
    [[nodiscard]] bool is_open() const noexcept { return number_ >= 0; }
    /// Closes it and tells whether the bytes arrived.
    [[nodiscard]] bool close() noexcept { return ::close(std::exchange(number_, -1)) == 0; }

private:
    int number_;
};

/// Bytes beside a file that take its place once they are whole.
class Replacement {
public:
    /// @param old  status of the file that is replaced; nothing where there is none
    Replacement(const std::string& path, const struct stat* old)
        : path_(path), unfinished_(unfinished_name(path)), file_(open()) {
        if (!file_.is_open()) refuse_to_write(path_, errno);
        if (old == nullptr) return;
        // Owner first: a change of owner takes away bits of the mode. Who may not give files away keeps them.
        static_cast<void>(::fchown(file_.number(), old->st_uid, old->st_gid) == 0);
        static_cast<void>(::fchmod(file_.number(), old->st_mode & 07777U) == 0);
    }
    ~Replacement() {
        if (has_name_) ::unlink(unfinished_.c_str());
    }
    Replacement(const Replacement&) = delete;
    Replacement& operator=(const Replacement&) = delete;

    void write(std::string_view content) const { write_all(file_.number(), content, path_); }

    void keep() {
        if (::fsync(file_.number()) != 0 && errno != EINVAL) refuse_to_write(path_, errno);
        if (!has_name_ && !give_name(path_)) {
            if (errno != EEXIST || !give_name(unfinished_)) refuse_to_write(path_, errno);
            has_name_ = true;
        }
        if (!file_.close()) refuse_to_write(path_, errno);
        if (has_name_ && std::rename(unfinished_.c_str(), path_.c_str()) != 0) refuse_to_write(path_, errno);
        has_name_ = false;
    }

private:
    /// A file without a name is gone with the process, however that ends.
    [[nodiscard]] int open() {
        const std::string folder = fs::path(path_).parent_path();
        const bool can_be_named = ::access("/proc/self/fd", X_OK) == 0;
        const int unnamed = can_be_named ? ::open(folder.c_str(), O_TMPFILE | O_WRONLY | O_CLOEXEC, 0666) : -1;
        if (unnamed >= 0 || (can_be_named && errno != EOPNOTSUPP && errno != EISDIR && errno != ENOENT && errno != EINVAL))
            return unnamed;
        const int named = ::open(unfinished_.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        has_name_ = named >= 0;
        if (has_name_) static_cast<void>(::flock(named, LOCK_EX | LOCK_NB) == 0);
        return named;
    }
    /// Never over what is there.
    [[nodiscard]] bool give_name(const std::string& name) const {
        const std::string unnamed = fmt::format("/proc/self/fd/{}", file_.number());
        return ::linkat(AT_FDCWD, unnamed.c_str(), AT_FDCWD, name.c_str(), AT_SYMLINK_FOLLOW) == 0;
    }

    std::string path_, unfinished_;
    bool has_name_ = false;
    Descriptor file_;
};

void write_into(int descriptor, std::string_view content, const std::string& path) {
    if (descriptor == STDOUT_FILENO && std::fflush(stdout) != 0) refuse_to_write(path, errno);
    write_all(descriptor, content, path);
}

/// "PATH.NUMBER.new" for this path.
bool is_unfinished_of(std::string_view name, std::string_view of) {
    constexpr std::string_view kEnd = ".new";
    if (!name.starts_with(of) || !name.ends_with(kEnd) || name.size() < of.size() + kEnd.size() + 2) return false;
    const std::string_view middle = name.substr(of.size(), name.size() - of.size() - kEnd.size());
    return middle.front() == '.' && middle.find_first_not_of("0123456789", 1) == std::string_view::npos;
}

void sweep(const fs::path& leftover) {
    const Descriptor held(::open(leftover.c_str(), O_RDONLY | O_NONBLOCK | O_NOFOLLOW | O_CLOEXEC));
    struct stat status {};
    if (!held.is_open() || ::fstat(held.number(), &status) != 0) return;
    if (!S_ISREG(status.st_mode) && !S_ISDIR(status.st_mode)) return;
    if (::flock(held.number(), LOCK_EX | LOCK_NB) != 0) return;  // its maker lives
    std::error_code ignored;
    fs::remove_all(leftover, ignored);
}

}  // namespace

void write_file(const std::string& path, std::string_view content) {
    write_file_in_pieces(path, [&](const TakePiece& take) { take(content); });
}

void write_file_in_pieces(const std::string& path, const std::function<void(const TakePiece& take)>& make) {
    if (path.empty()) refuse_name(path, "the name of the file to write is empty");
    if (path == "-") return make([](std::string_view piece) { write_into(STDOUT_FILENO, piece, "standard output"); });
    const Target target = target_of(path);
    if (target.descriptor) return make([&](std::string_view piece) { write_into(*target.descriptor, piece, path); });
    struct stat status {};
    const bool is_there = ::stat(target.path.c_str(), &status) == 0;
    if (!is_there && errno != ENOENT) refuse_to_write(path, errno);
    if (path.ends_with('/') || (is_there && S_ISDIR(status.st_mode))) refuse_name(path, "is a folder; name a file");
    if (is_there && !S_ISREG(status.st_mode)) {
        const Descriptor into(::open(target.path.c_str(), O_WRONLY | O_NOCTTY | O_CLOEXEC));
        if (!into.is_open()) refuse_to_write(path, errno);
        return make([&](std::string_view piece) { write_all(into.number(), piece, path); });
    }
    if (is_there && ::access(target.path.c_str(), W_OK) != 0) refuse_to_write(path, errno);
    static std::mutex one_at_a_time;  // unfinished names are those of the process
    const std::lock_guard lock(one_at_a_time);
    sweep_unfinished(target.path);
    Replacement file(target.path, is_there ? &status : nullptr);
    make([&](std::string_view piece) { file.write(piece); });
    file.keep();
}

std::string unfinished_name(const std::string& path) { return fmt::format("{}.{}.new", path, ::getpid()); }

UnfinishedMark::UnfinishedMark(const std::string& unfinished) : descriptor_(::open(unfinished.c_str(), O_RDONLY | O_CLOEXEC)) {
    if (descriptor_ >= 0) static_cast<void>(::flock(descriptor_, LOCK_EX | LOCK_NB) == 0);
}

UnfinishedMark::~UnfinishedMark() {
    if (descriptor_ >= 0) ::close(descriptor_);
}

void sweep_unfinished(const std::string& path) noexcept try {
    const fs::path whole(path);
    const std::string name = whole.filename();
    std::error_code error;
    for (const fs::directory_entry& entry : fs::directory_iterator(whole.has_parent_path() ? whole.parent_path() : ".", error))
        if (is_unfinished_of(entry.path().filename().native(), name)) sweep(entry.path());
} catch (...) {  // a folder that cannot be read, or no memory: the leftovers stay
}

}  // namespace bakewright
