// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/book/book.hpp"
#include "bakewright/book/ids.hpp"

namespace bakewright::book {

/// Kinds of documents the program itself stores. Others may be added freely: a kind is any non-empty word.
namespace document_kind {
inline constexpr std::string_view shell = "shell";
inline constexpr std::string_view booth = "booth";
inline constexpr std::string_view cycle = "cycle";
inline constexpr std::string_view coating = "coating";
inline constexpr std::string_view material = "material";
inline constexpr std::string_view evidence = "evidence";  ///< bears a bake's uid for its name, and goes with that bake
}  // namespace document_kind

/// A profile as it was when a bake was computed from it.
struct NewDocument {
    std::string kind{};
    std::string name{};   ///< short name, as on the command line
    std::string title{};  ///< for people; may be empty
    std::string text{};   ///< canonical TOML, every default written out
};

/// A stored document without its text.
struct DocumentSummary {
    DocumentId id{};
    std::string kind{};
    std::string name{};
    std::string title{};
    std::string sha256{};     ///< of the text
    std::string stored_at{};  ///< UTC
};

struct Document : DocumentSummary {
    std::string text{};
};

/// The documents of a book, addressed by content: one kind and one text are stored once, however often they are used.
/// Every call may throw BookError.
class DocumentRepository {
public:
    explicit DocumentRepository(Book& book) noexcept : connection_(&book.connection()) {}

    /// Stores a document. One of the same kind and text that is there already is kept as it is (name, title and date too) and
    /// its id is returned.
    DocumentId store(const NewDocument& document);
    /// @throws BookError where the text no longer has its hash
    [[nodiscard]] std::optional<Document> find(DocumentId id) const;
    /// Like find(). @throws InputError where there is none
    [[nodiscard]] Document get(DocumentId id) const;
    [[nodiscard]] std::optional<DocumentId> find_by_sha256(std::string_view kind, std::string_view sha256) const;
    /// Newest first; of every kind where kind is empty.
    [[nodiscard]] std::vector<DocumentSummary> list(std::string_view kind = {}) const;

private:
    Connection* connection_;
};

}  // namespace bakewright::book
