#include "context.hpp"

#include <filesystem>

namespace bakewright::page {

std::optional<book::Book> Context::book_if_any() const {
    std::error_code error;
    if (!std::filesystem::exists(options.book_path, error)) return std::nullopt;
    return book(book::Mode::read_only);
}

}  // namespace bakewright::page
