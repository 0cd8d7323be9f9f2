// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <span>
#include <string_view>

namespace bakewright::book {

/// Marks an SQLite file as a book: "Bake" in ASCII, at offset 68 of the file.
inline constexpr std::uint32_t kApplicationId = 0x42616b65;

class Connection;

/// The SQL that takes a file from schema version - 1 to version. What was released is never edited; changes are added below it.
struct Migration {
    int version;
    std::string_view sql;
    /// What SQL alone cannot do, after it and in the same transaction; may be null.
    void (*after)(Connection& connection) = nullptr;
};

/// Every migration from an empty file on; versions 1, 2, 3, ...
[[nodiscard]] std::span<const Migration> schema_migrations() noexcept;

}  // namespace bakewright::book
