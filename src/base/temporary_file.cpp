#include "bakewright/base/temporary_file.hpp"

#include <fcntl.h>
#include <stdlib.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <string>

#include "bakewright/base/error.hpp"

namespace bakewright {
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

}  // namespace bakewright
