#pragma once

#include <functional>
#include <string>
#include <string_view>

/// Writing of what must be whole or not there at all, and must destroy nothing.
namespace bakewright {

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
