// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "bakewright/base/error.hpp"
#include "bakewright/book/document_repository.hpp"
#include "bakewright/book/ids.hpp"
#include "statement.hpp"

/// What several repositories need to read rows and to name them in errors.
namespace bakewright::book {

template <typename Id>
[[nodiscard]] std::string number_text(Id id) {
    return std::to_string(static_cast<std::int64_t>(id));
}

/// From columns document_id, kind, name, title, sha256, stored_at.
[[nodiscard]] DocumentSummary document_summary_of(const Statement& row);
/// Removes document ?1 where neither a bake nor a coat uses it.
inline constexpr std::string_view kDeleteUnusedDocument =
    "DELETE FROM document WHERE document_id = ?1 AND NOT EXISTS (SELECT 1 FROM bake_document WHERE bake_document.document_id = "
    "?1) "
    "AND NOT EXISTS (SELECT 1 FROM coat WHERE coat.document_id = ?1)";
/// "document 3 (shell 'library_van')"
[[nodiscard]] std::string document_label(const DocumentSummary& document);
/// @throws InputError that says which bakes there are
void require_bake(Connection& connection, BakeId id);
[[noreturn]] void no_such_bake(Connection& connection, BakeId id);
/// A promise of the caller. @throws PromiseError
void ensure_json(Connection& connection, std::string_view json, std::string_view promise);

}  // namespace bakewright::book
