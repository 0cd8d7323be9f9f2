#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>

namespace bakewright {

/// A regular file open for reading at any place, for files that should not be held whole. Several threads may read at a time.
class FileBytes {
public:
    /// @throws InputError where the file is missing or no regular file; FileError where the system refuses
    explicit FileBytes(const std::string& path);
    ~FileBytes();
    FileBytes(const FileBytes&) = delete;
    FileBytes& operator=(const FileBytes&) = delete;

    [[nodiscard]] const std::string& path() const noexcept { return path_; }
    /// Bytes, as when the file was opened.
    [[nodiscard]] std::uint64_t size() const noexcept { return size_; }
    /// Fills the span from a place on; returns how many bytes there were, fewer than asked for only at the end of the file.
    /// @throws FileError where the disk refuses
    std::size_t read_at(std::uint64_t offset, std::span<char> into) const;
    /// @throws InputError where the file was written to since it was opened, so that two readings of it may differ
    void ensure_unchanged() const;

private:
    std::string path_;
    int descriptor_ = -1;
    std::uint64_t size_ = 0;
    std::int64_t modified_s_ = 0, modified_ns_ = 0;
};

}  // namespace bakewright
