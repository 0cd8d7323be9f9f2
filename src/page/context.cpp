// SPDX-License-Identifier: Apache-2.0
#include "context.hpp"

#include <algorithm>
#include <filesystem>

#include "bakewright/base/error.hpp"
#include "bakewright/services/stored_bake.hpp"

namespace bakewright::page {
namespace {

/// The user's own folder may be made while the page runs: it is searched from the start, before what came with the program.
std::vector<std::string> with_own(std::vector<std::string> folders, const std::string& own) {
    if (own.empty() || std::find(folders.begin(), folders.end(), own) != folders.end()) return folders;
    folders.insert(folders.empty() ? folders.end() : folders.end() - 1, own);
    return folders;
}

}  // namespace

Context::Context(const ServerOptions& given)
    : options(given), library(with_own(given.profile_folders, given.user_profile_folder)) {
    std::error_code error;
    book_was_there_ = std::filesystem::exists(options.book_path, error);
}

bool Context::book_is_there() const {
    std::error_code error;
    const bool is_there = std::filesystem::exists(options.book_path, error);
    if (error)
        throw BookError(options.book_path + ": could not look for the book: " + error.message() + "; the book was not changed");
    if (is_there) book_was_there_ = true;
    if (!is_there && book_was_there_)
        throw BookError(
            options.book_path +
            ": the book was here and is gone: moved, deleted, or its disk is not there; put it back, or end the page and "
            "start it anew for an empty book");
    return is_there;
}

book::Book Context::book(book::Mode mode) const {
    static_cast<void>(book_is_there());
    book::Book opened = book::Book::open(options.book_path, mode);
    book_was_there_ = true;
    return opened;
}

std::optional<book::Book> Context::book_if_any() const {
    if (!book_is_there()) return std::nullopt;
    return book(book::Mode::read_only);
}

profile::ShellProfile Context::shell(const std::string& name) const {
    return services::find_shell({library, options.book_path, false}, name).record;
}

bake::Booth Context::booth(const std::string& name) const {
    return services::find_booth({library, options.book_path, false}, name).record;
}

}  // namespace bakewright::page
