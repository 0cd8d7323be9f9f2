#include "bakewright/base/file_bytes.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

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
        throw InputError(Problem{path, 0, {}, "is no regular file; a pipe or a device cannot be read here"});
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

}  // namespace bakewright
