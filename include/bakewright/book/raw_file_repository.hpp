// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/files.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/book/ids.hpp"

namespace bakewright::book {

/// A stored probe file without its bytes.
struct RawFile {
    RawFileId id{};
    std::string original_name{};  ///< as given when it was first stored
    std::string sha256{};         ///< of the original bytes
    std::uint64_t size_bytes = 0;
    std::uint64_t stored_bytes = 0;  ///< compressed
    std::string stored_at{};         ///< UTC
};

/// A file that is too large to be held whole, hashed and compressed for a book; the compressed pieces lie in a temporary file.
/// Makes its way without a book, so that no other program has to wait for it.
class PackedFile {
public:
    /// Reads the file from end to end on one thread more than it is called from. @throws FileError where a disk refuses
    explicit PackedFile(const FileBytes& file);
    [[nodiscard]] const std::string& sha256() const noexcept { return sha256_; }
    [[nodiscard]] std::uint64_t size_bytes() const noexcept { return size_bytes_; }

private:
    friend class RawFileRepository;
    struct Piece {
        std::uint64_t offset, packed_bytes, size_bytes;
    };
    TemporaryFile packed_;
    std::vector<Piece> pieces_;
    std::string sha256_;
    std::uint64_t size_bytes_ = 0;
};

/// Probe files kept byte for byte, compressed, each once however often it is imported. Bytes are any bytes.
/// Every call may throw BookError.
class RawFileRepository {
public:
    explicit RawFileRepository(Book& book) noexcept : connection_(&book.connection()) {}

    /// Stores a file. One with the same bytes that is there already is kept (its first name too) and its id is returned.
    RawFileId store(std::string_view original_name, std::string_view content);
    RawFileId store(std::string_view original_name, const PackedFile& file);
    /// The bytes as they were. @throws InputError where there is no such file; BookError where they no longer have their hash
    [[nodiscard]] std::string fetch(RawFileId id) const;
    /// The same in pieces of at most 4 MiB, for files that should not be held whole. The hash is known to be right only
    /// when the call returns.
    void fetch(RawFileId id, const std::function<void(std::string_view piece)>& take) const;
    [[nodiscard]] std::optional<RawFile> find(RawFileId id) const;
    [[nodiscard]] std::optional<RawFile> find_by_sha256(std::string_view sha256) const;
    /// Newest first.
    [[nodiscard]] std::vector<RawFile> list() const;

private:
    Connection* connection_;
};

}  // namespace bakewright::book
