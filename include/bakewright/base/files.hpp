// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <span>
#include <string>
#include <string_view>

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

/// A file without a name in the folder of temporary files ($TMPDIR, else /tmp), for what does not fit into memory; it goes with
/// the object, and with the program however that ends. Several threads may read and write different places at a time.
class TemporaryFile {
public:
    /// @throws FileError where the folder refuses
    TemporaryFile();
    ~TemporaryFile();
    TemporaryFile(const TemporaryFile&) = delete;
    TemporaryFile& operator=(const TemporaryFile&) = delete;

    /// @throws FileError where the disk refuses or is full
    void write_at(std::uint64_t offset, std::span<const char> bytes) const;
    /// Fills the span. @throws FileError where there is less in the file
    void read_at(std::uint64_t offset, std::span<char> into) const;

private:
    int descriptor_ = -1;
};

/// Writing of what must be whole or not there at all, and must destroy nothing.

/// Writes a result where the user wants it.
///
/// A regular file, or what is not there yet, is written whole or not at all: the bytes go into a file without a name in the same
/// folder (where the file system has such files; else into one of unfinished_name()), which then takes the place of the old one
/// with its permissions. A link is followed to its file. Devices, pipes and /dev/stdout are written into as they are. "-" is
/// standard output.
/// @throws InputError for a folder, an empty name, a link in a circle; FileError that names the file and the system's reason,
/// such as a file that is write-protected or a disk that is full
void write_file(const std::string& path, std::string_view content);

/// Takes a result piece by piece.
using TakePiece = std::function<void(std::string_view piece)>;
/// The same for what is too large to be held whole: `make` hands over the pieces; where it throws, nothing is kept.
void write_file_in_pieces(const std::string& path, const std::function<void(const TakePiece& take)>& make);

/// "PATH.PID.new": under this name stands what this process is making and has not finished.
[[nodiscard]] std::string unfinished_name(const std::string& path);

/// Keeps a file or folder of unfinished_name() from being swept while this object lives.
class UnfinishedMark {
public:
    /// @param unfinished  is there
    explicit UnfinishedMark(const std::string& unfinished);
    ~UnfinishedMark();
    UnfinishedMark(const UnfinishedMark&) = delete;
    UnfinishedMark& operator=(const UnfinishedMark&) = delete;

private:
    int descriptor_;
};

/// Takes away what programs that were killed left unfinished of this path: everything named like unfinished_name() that no
/// process holds a mark on. Never throws: what cannot be taken away stays.
void sweep_unfinished(const std::string& path) noexcept;

}  // namespace bakewright
