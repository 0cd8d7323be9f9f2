// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/document_repository.hpp"

#include "bakewright/base/error.hpp"
#include "bakewright/book/hash.hpp"
#include "journal.hpp"
#include "rows.hpp"
#include "statement.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kStoringDocument = "store a document";
constexpr std::string_view kReadingDocument = "read a document";

}  // namespace

DocumentId DocumentRepository::store(const NewDocument& document) {
    ensure(!document.kind.empty(), "a document has a kind");
    const std::string sha256 = sha256_hex(document.text);
    Transaction transaction(*connection_);
    auto id = find_by_sha256(document.kind, sha256);
    if (!id) {
        Statement(*connection_,
                  "INSERT INTO document (kind, name, title, text, sha256, stored_at) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
                  kStoringDocument)
            .bind(document.kind, document.name, document.title, document.text, sha256, connection_->now())
            .run();
        id = DocumentId{connection_->last_insert_id()};
        was_added(*connection_, aggregate_of(*connection_, *id));
    }
    transaction.commit();
    return *id;
}

std::optional<DocumentId> DocumentRepository::find_by_sha256(std::string_view kind, std::string_view sha256) const {
    Statement query(*connection_, "SELECT document_id FROM document WHERE kind = ?1 AND sha256 = ?2", kReadingDocument);
    return query.bind(kind, sha256).step() ? std::optional(query.id<DocumentId>(0)) : std::nullopt;
}

std::optional<Document> DocumentRepository::find(DocumentId id) const {
    Statement query(*connection_,
                    "SELECT document_id, kind, name, title, sha256, stored_at, text FROM document WHERE document_id = ?1",
                    kReadingDocument);
    if (!query.bind(id).step()) return std::nullopt;
    check_rows(*connection_, aggregate_of(*connection_, id));
    Document document{document_summary_of(query), query.text(6)};
    if (sha256_hex(document.text) != document.sha256) connection_->damaged(document_label(document) + " no longer has its hash");
    return document;
}

Document DocumentRepository::get(DocumentId id) const {
    auto document = find(id);
    if (!document) connection_->not_there("document", "there is no document " + number_text(id));
    return *std::move(document);
}

std::vector<DocumentSummary> DocumentRepository::list(std::string_view kind) const {
    Statement query(*connection_,
                    "SELECT document_id, kind, name, title, sha256, stored_at FROM document WHERE ?1 = '' OR kind = ?1 "
                    "ORDER BY document_id DESC",
                    kReadingDocument);
    query.bind(kind);
    std::vector<DocumentSummary> documents;
    while (query.step()) documents.push_back(document_summary_of(query));
    return documents;
}

}  // namespace bakewright::book
