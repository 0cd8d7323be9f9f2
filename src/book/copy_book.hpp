#pragma once

#include <filesystem>

#include "connection.hpp"

namespace bakewright::book {

/// back_up() for a connection whose schema may be an older one.
void copy_book(Connection& connection, const std::filesystem::path& copy);

}  // namespace bakewright::book
