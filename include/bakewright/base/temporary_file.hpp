#pragma once

#include <cstdint>
#include <span>

namespace bakewright {

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

}  // namespace bakewright
