#include "context.hpp"

#include <algorithm>
#include <filesystem>

#include "bakewright/shop/named_records.hpp"

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
    : options(given), library(with_own(given.profile_folders, given.user_profile_folder)) {}

std::optional<book::Book> Context::book_if_any() const {
    std::error_code error;
    if (!std::filesystem::exists(options.book_path, error)) return std::nullopt;
    return book(book::Mode::read_only);
}

profile::ShellProfile Context::shell(const std::string& name) const {
    return shop::find_shell({library, options.book_path, false}, name).record;
}

bake::Booth Context::booth(const std::string& name) const {
    return shop::find_booth({library, options.book_path, false}, name).record;
}

}  // namespace bakewright::page
