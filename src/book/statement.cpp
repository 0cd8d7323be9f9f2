// SPDX-License-Identifier: Apache-2.0
#include "statement.hpp"

#include <sqlite3.h>

#include <algorithm>
#include <bit>
#include <limits>

namespace bakewright::book {

Statement::Statement(Connection& connection, std::string_view sql, std::string_view tried)
    : connection_(&connection), tried_(tried) {
    check(sqlite3_prepare_v2(connection.handle(), sql.data(), static_cast<int>(sql.size()), &handle_, nullptr));
}

Statement::~Statement() { sqlite3_finalize(handle_); }

void Statement::check(int code) const {
    if (code != SQLITE_OK) connection_->fail(tried_, code);
}

void Statement::reset() noexcept { sqlite3_reset(handle_); }

bool Statement::step() {
    const int code = sqlite3_step(handle_);
    if (code != SQLITE_ROW && code != SQLITE_DONE) connection_->fail(tried_, code);
    return code == SQLITE_ROW;
}

void Statement::run() {
    while (step()) {
    }
    reset();
}

void Statement::bind_null(int index) { check(sqlite3_bind_null(handle_, index)); }
void Statement::bind_integer(int index, std::int64_t value) { check(sqlite3_bind_int64(handle_, index, value)); }
void Statement::bind_one(int index, double value) { check(sqlite3_bind_double(handle_, index, value)); }

// An empty view may point nowhere, which SQLite would take for NULL.
void Statement::bind_one(int index, std::string_view value) {
    const char* data = value.empty() ? "" : value.data();
    check(sqlite3_bind_text64(handle_, index, data, value.size(), SQLITE_TRANSIENT, SQLITE_UTF8));
}

void Statement::bind_one(int index, const Blob& value) {
    const char* data = value.bytes.empty() ? "" : value.bytes.data();
    check(sqlite3_bind_blob64(handle_, index, data, value.bytes.size(), SQLITE_STATIC));
}

std::int64_t Statement::integer(int column) const noexcept { return sqlite3_column_int64(handle_, column); }

double Statement::real(int column) const noexcept {
    return is_null(column) ? std::numeric_limits<double>::quiet_NaN() : sqlite3_column_double(handle_, column);
}

std::string Statement::text(int column) const {
    const auto* data = sqlite3_column_text(handle_, column);
    const int size = sqlite3_column_bytes(handle_, column);
    return data == nullptr ? std::string() : std::string(reinterpret_cast<const char*>(data), static_cast<std::size_t>(size));
}

std::string_view Statement::blob(int column) const {
    const void* data = sqlite3_column_blob(handle_, column);
    const int size = sqlite3_column_bytes(handle_, column);
    return data == nullptr ? std::string_view()
                           : std::string_view(static_cast<const char*>(data), static_cast<std::size_t>(size));
}

Statement& Statement::bind_texts(std::span<const std::string> values) {
    reset();
    const auto wanted = static_cast<std::size_t>(sqlite3_bind_parameter_count(handle_));
    for (std::size_t i = 0; i < std::min(wanted, values.size()); ++i)
        bind_one(static_cast<int>(i + 1), std::string_view(values[i]));
    return *this;
}

std::string Statement::canonical_row() const {
    std::string row;
    for (int column = 0; column < sqlite3_column_count(handle_); ++column) {
        switch (sqlite3_column_type(handle_, column)) {
            case SQLITE_INTEGER:
                row += 'i' + std::to_string(integer(column));
                break;
            case SQLITE_FLOAT:
                row += 'r' + std::to_string(std::bit_cast<std::uint64_t>(sqlite3_column_double(handle_, column)));
                break;
            case SQLITE_NULL:
                row += 'n';
                break;
            default:
                const std::string value = text(column);
                row += 't' + std::to_string(value.size()) + ':' + value;
        }
        row += ';';
    }
    return row;
}

bool Statement::is_null(int column) const noexcept { return sqlite3_column_type(handle_, column) == SQLITE_NULL; }

std::uint64_t Statement::count(int column) const {
    const std::int64_t value = integer(column);
    if (value < 0) connection_->damaged("a count is negative");
    return static_cast<std::uint64_t>(value);
}

}  // namespace bakewright::book
