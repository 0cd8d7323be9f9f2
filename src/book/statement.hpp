// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <concepts>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>

#include "connection.hpp"

struct sqlite3_stmt;

namespace bakewright::book {

/// Bytes to bind as a BLOB. They must outlive the run of the statement.
struct Blob {
    std::string_view bytes;
};

/// One prepared statement. Values reach SQLite by binding alone, never inside the SQL text.
class Statement {
public:
    /// @param tried what the statement does in the user's words, for errors: "could not TRIED"
    Statement(Connection& connection, std::string_view sql, std::string_view tried);
    ~Statement();
    Statement(const Statement&) = delete;
    Statement& operator=(const Statement&) = delete;

    /// Starts over with these values for ?1, ?2, ...
    template <typename... Values>
    Statement& bind(const Values&... values) {
        reset();
        int index = 0;
        (bind_one(++index, values), ...);
        return *this;
    }
    /// The same with texts, as many as the statement has parameters.
    Statement& bind_texts(std::span<const std::string> values);
    /// True where there is a row to read.
    bool step();
    /// Runs to the end.
    void run();

    [[nodiscard]] std::int64_t integer(int column) const noexcept;
    /// NaN for NULL.
    [[nodiscard]] double real(int column) const noexcept;
    [[nodiscard]] std::string text(int column) const;
    /// Valid until the next step.
    [[nodiscard]] std::string_view blob(int column) const;
    [[nodiscard]] bool is_null(int column) const noexcept;
    /// The row by type and every digit of its values, so that two rows have the same text only where they are the same.
    [[nodiscard]] std::string canonical_row() const;
    /// A count, length or size. @throws BookError where it is negative
    [[nodiscard]] std::uint64_t count(int column) const;

    template <typename Id>
    [[nodiscard]] Id id(int column) const noexcept {
        return static_cast<Id>(integer(column));
    }
    template <typename Id>
    [[nodiscard]] std::optional<Id> optional_id(int column) const noexcept {
        return is_null(column) ? std::nullopt : std::optional<Id>(id<Id>(column));
    }

private:
    void reset() noexcept;
    void bind_null(int index);
    void bind_integer(int index, std::int64_t value);
    void bind_one(int index, double value);
    void bind_one(int index, std::string_view value);
    void bind_one(int index, const Blob& value);
    template <std::integral Number>
    void bind_one(int index, Number value) {
        bind_integer(index, static_cast<std::int64_t>(value));
    }
    template <typename Id>
    requires std::is_enum_v<Id>
    void bind_one(int index, Id value) { bind_integer(index, static_cast<std::int64_t>(value)); }
    template <typename Value>
    void bind_one(int index, const std::optional<Value>& value) {
        if (value) {
            bind_one(index, *value);
        } else {
            bind_null(index);
        }
    }
    void check(int code) const;

    Connection* connection_;
    sqlite3_stmt* handle_ = nullptr;
    std::string tried_;
};

}  // namespace bakewright::book
