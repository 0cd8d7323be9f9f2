// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/backup.hpp"

#include <system_error>

#include "bakewright/base/error.hpp"
#include "bakewright/base/files.hpp"
#include "copy_book.hpp"
#include "statement.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kCopying = "copy the book";

[[noreturn]] void refuse_copy(const std::filesystem::path& copy, const std::string& why) {
    throw InputError(Problem{.file = copy.string(), .line = 0, .key = "", .message = why});
}

void require_room(const std::filesystem::path& copy) {
    std::error_code error;
    if (std::filesystem::exists(std::filesystem::symlink_status(copy, error)))
        refuse_copy(copy, "is there already; a copy overwrites nothing");
    if (!std::filesystem::is_directory(copy.parent_path(), error))
        refuse_copy(copy, "cannot be made: there is no folder " + copy.parent_path().string());
}

}  // namespace

void back_up(Book& book, const std::filesystem::path& copy) { copy_book(book.connection(), copy); }

void copy_book(Connection& connection, const std::filesystem::path& copy) {
    const auto file = std::filesystem::absolute(copy).lexically_normal();
    require_room(file);
    BookInMaking made(file);
    Statement(connection, "VACUUM INTO ?1", kCopying).bind(made.at().string()).run();
    if (!made.take_name()) require_room(file);
}

BookInMaking::BookInMaking(std::filesystem::path file)
    : file_(std::move(file)), folder_(unfinished_name(file_.string())), at_(folder_ / "book") {
    static std::mutex one_at_a_time;  // the unfinished name is that of the process
    alone_ = std::unique_lock(one_at_a_time);
    sweep_unfinished(file_.string());
    std::error_code error;
    if (!std::filesystem::create_directory(folder_, error)) {
        const std::string reason = error ? error.message() : folder_.string() + " is in the way";
        throw BookError(file_.string() + ": could not make a new book: " + reason + "; nothing was made");
    }
    mark_.emplace(folder_.string());
}

BookInMaking::~BookInMaking() {
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
}

bool BookInMaking::take_name() {
    // A hard link, not a rename: it does not overwrite what came under the name meanwhile.
    std::error_code error, ignored;
    std::filesystem::create_hard_link(at_, file_, error);
    if (!error) return true;
    if (std::filesystem::exists(std::filesystem::symlink_status(file_, ignored))) return false;
    error.clear();
    std::filesystem::rename(at_, file_, error);  // a file system without hard links
    if (error) throw BookError(file_.string() + ": could not name the book: " + error.message() + "; nothing was made");
    return true;
}

}  // namespace bakewright::book
