#include "bakewright/book/bake_repository.hpp"

namespace bakewright::book {

std::string_view bake_kind_name(BakeKind kind) noexcept { return kind == BakeKind::predicted ? "predicted" : "logged"; }

std::optional<BakeKind> bake_kind_from_name(std::string_view name) noexcept {
    for (const BakeKind kind : {BakeKind::predicted, BakeKind::logged}) {
        if (name == bake_kind_name(kind)) return kind;
    }
    return std::nullopt;
}

const DocumentSummary* Bake::document(std::string_view document_kind) const noexcept {
    for (const DocumentSummary& document : documents) {
        if (document.kind == document_kind) return &document;
    }
    return nullptr;
}

}  // namespace bakewright::book
