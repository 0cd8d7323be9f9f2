// SPDX-License-Identifier: Apache-2.0
#include "rows.hpp"

namespace bakewright::book {

DocumentSummary document_summary_of(const Statement& row) {
    return {.id = row.id<DocumentId>(0),
            .kind = row.text(1),
            .name = row.text(2),
            .title = row.text(3),
            .sha256 = row.text(4),
            .stored_at = row.text(5)};
}

std::string document_label(const DocumentSummary& document) {
    return "document " + number_text(document.id) + " (" + document.kind + " '" + document.name + "')";
}

void no_such_bake(Connection& connection, BakeId id) {
    Statement query(connection, "SELECT count(*), min(bake_id), max(bake_id) FROM bake", "read the bakes");
    query.step();
    const auto count = query.count(0);
    std::string message = "there is no bake " + number_text(id) + "; the book holds ";
    if (count == 0) message += "no bakes yet";
    if (count == 1) message += "bake " + query.text(1) + " alone";
    if (count > 1) message += std::to_string(count) + " bakes, numbered from " + query.text(1) + " to " + query.text(2);
    connection.not_there("bake", message);
}

void require_bake(Connection& connection, BakeId id) {
    Statement query(connection, "SELECT 1 FROM bake WHERE bake_id = ?1", "read a bake");
    if (!query.bind(id).step()) no_such_bake(connection, id);
}

void ensure_json(Connection& connection, std::string_view json, std::string_view promise) {
    Statement query(connection, "SELECT json_valid(?1)", "check a JSON text");
    ensure(query.bind(json).step() && query.integer(0) == 1, promise);
}

}  // namespace bakewright::book
