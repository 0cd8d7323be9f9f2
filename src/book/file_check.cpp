// SPDX-License-Identifier: Apache-2.0
#include "file_check.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <fstream>
#include <string>
#include <string_view>

#include "bakewright/base/error.hpp"
#include "schema.hpp"

namespace bakewright::book {
namespace {

// Offsets in an SQLite file. Source: sqlite.org/fileformat2.html, sections 1.3 and 1.6.
constexpr std::string_view kMagic{"SQLite format 3\0", 16};
constexpr std::size_t kApplicationIdOffset = 68;
constexpr std::size_t kFirstPageOffset = 100;
constexpr std::size_t kHeaderSize = 108;
constexpr char kLeafPage = 0x0d;

[[noreturn]] void refuse(const std::filesystem::path& file, std::string_view message) {
    throw InputError(Problem{.file = file.string(), .line = 0, .key = {}, .message = std::string(message)});
}

std::string read_header(const std::filesystem::path& file) {
    errno = 0;
    std::ifstream stream(file, std::ios::binary);
    std::string header(kHeaderSize, '\0');
    if (!stream) {
        throw BookError(file.string() + ": could not open the book: " + std::strerror(errno) + "; the file was not changed");
    }
    stream.read(header.data(), static_cast<std::streamsize>(header.size()));
    header.resize(static_cast<std::size_t>(stream.gcount()));
    return header;
}

std::uint32_t application_id_of(std::string_view header) {
    std::uint32_t id = 0;
    for (std::size_t i = 0; i < 4; ++i) id = id << 8U | static_cast<unsigned char>(header[kApplicationIdOffset + i]);
    return id;
}

/// The first page holds the table of tables: a leaf without cells.
bool without_tables(std::string_view header) {
    return header[kFirstPageOffset] == kLeafPage && header[kFirstPageOffset + 3] == 0 && header[kFirstPageOffset + 4] == 0;
}

void refuse_header(const std::filesystem::path& file, std::string_view header, Mode mode) {
    if (header.empty()) {
        if (mode != Mode::create) refuse(file, "is an empty file, not a book");
        return;
    }
    if (header.substr(0, kMagic.size()) != kMagic) refuse(file, "is not a book: not an SQLite file; it was not changed");
    if (header.size() < kHeaderSize) refuse(file, "is not a book: an SQLite file cut off in its header; it was not changed");
    const std::uint32_t id = application_id_of(header);
    if (id == kApplicationId) return;
    if (id != 0 || !without_tables(header)) {
        refuse(file,
               "is not a book: an SQLite file of another program; it was not changed; name a book, or a new file to make one");
    }
    if (mode != Mode::create) refuse(file, "is an SQLite file without tables, not a book");
}

/// SQLite would only say that it cannot open the file.
void refuse_folder(const std::filesystem::path& file) {
    const auto folder = file.parent_path();
    std::error_code error;
    if (!std::filesystem::is_directory(folder, error))
        refuse(file, "no book can be made here: there is no folder " + folder.string());
    if (faccessat(AT_FDCWD, folder.c_str(), W_OK | X_OK, AT_EACCESS) != 0) {
        throw BookError(file.string() + ": could not make a new book: its folder cannot be written (" + std::strerror(errno) +
                        "); nothing was made");
    }
}

}  // namespace

void refuse_what_is_no_book(const std::filesystem::path& file, Mode mode) {
    std::error_code error;
    const auto status = std::filesystem::status(file, error);
    if (std::filesystem::is_directory(status)) refuse(file, "is a folder; a book is a file");
    if (status.type() == std::filesystem::file_type::not_found) {
        if (mode != Mode::create) refuse(file, "there is no book here; storing a first bake makes one");
        refuse_folder(file);
        return;
    }
    if (error) throw BookError(file.string() + ": could not open the book: " + error.message() + "; nothing was changed");
    if (!std::filesystem::is_regular_file(status)) refuse(file, "is not an ordinary file; a book is a file");
    refuse_header(file, read_header(file), mode);
}

}  // namespace bakewright::book
