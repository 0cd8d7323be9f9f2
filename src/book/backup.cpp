#include "bakewright/book/backup.hpp"

#include <system_error>

#include "bakewright/base/error.hpp"
#include "copy_book.hpp"
#include "statement.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kTried = "copy the book";

[[noreturn]] void refuse(const std::filesystem::path& copy, const std::string& why) {
    throw InputError(Problem{.file = copy.string(), .line = 0, .key = "", .message = why});
}

void require_room(const std::filesystem::path& copy) {
    std::error_code error;
    if (std::filesystem::exists(std::filesystem::symlink_status(copy, error)))
        refuse(copy, "is there already; a copy overwrites nothing");
    if (!std::filesystem::is_directory(copy.parent_path(), error))
        refuse(copy, "cannot be made: there is no folder " + copy.parent_path().string());
}

}  // namespace

void back_up(Book& book, const std::filesystem::path& copy) { copy_book(book.connection(), copy); }

void copy_book(Connection& connection, const std::filesystem::path& copy) {
    const auto file = std::filesystem::absolute(copy).lexically_normal();
    require_room(file);
    auto unfinished = file;
    unfinished += ".unfinished";
    std::error_code error;
    std::filesystem::remove(unfinished, error);
    try {
        Statement(connection, "VACUUM INTO ?1", kTried).bind(unfinished.string()).run();
    } catch (const BookError&) {
        std::filesystem::remove(unfinished, error);
        throw;
    }
    // A hard link, not a rename: it does not overwrite what came under the name meanwhile.
    std::filesystem::create_hard_link(unfinished, file, error);
    if (error && !std::filesystem::exists(file)) {
        error.clear();
        std::filesystem::rename(unfinished, file, error);  // a file system without hard links
    }
    const std::string reason = error ? error.message() : std::string();
    std::error_code ignored;
    std::filesystem::remove(unfinished, ignored);
    if (!reason.empty())
        throw BookError(file.string() + ": could not name the copy of the book: " + reason + "; nothing was made");
}

}  // namespace bakewright::book
