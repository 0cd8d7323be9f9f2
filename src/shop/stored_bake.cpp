#include "bakewright/shop/stored_bake.hpp"

#include <fmt/core.h>

#include <charconv>

#include "bakewright/base/error.hpp"
#include "bakewright/book/document_repository.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/profile/kind.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/profile/write.hpp"

namespace bakewright::shop {
namespace {

namespace kind = book::document_kind;

book::DocumentId store(book::Book& book, std::string_view document_kind, const std::string& name, const std::string& title,
                       std::string text) {
    return book::DocumentRepository(book).store({std::string(document_kind), name, title, std::move(text)});
}

/// Reads a document of a bake with a reader of its kind; nothing where the bake has none.
template <class Record>
std::optional<Record> read_document(book::Book& book, const book::Bake& bake, std::string_view document_kind,
                                    Record (*reader)(std::string_view, const std::string&)) {
    const book::DocumentSummary* summary = bake.document(document_kind);
    if (summary == nullptr) return std::nullopt;
    const book::Document document = book::DocumentRepository(book).get(summary->id);
    return reader(document.text,
                  fmt::format("{} '{}' of bake {}", document_kind, document.name, static_cast<std::int64_t>(bake.id)));
}

}  // namespace

std::vector<cure::HeatSensitiveItem> StoredBake::item_limits() const {
    return shell ? shell->heat_sensitive() : std::vector<cure::HeatSensitiveItem>{};
}

std::vector<std::string> StoredBake::coated_zones() const {
    return shell ? shell->shell.coated_zone_names() : std::vector<std::string>{};
}

book::BakeId bake_id(const std::string& text, const std::string& what) {
    const std::string digits = !text.empty() && text.front() == '#' ? text.substr(1) : text;
    std::int64_t number = 0;
    const auto [end, status] = std::from_chars(digits.data(), digits.data() + digits.size(), number);
    if (status != std::errc{} || end != digits.data() + digits.size() || number < 1)
        throw InputError(Problem{{},
                                 0,
                                 what,
                                 fmt::format("'{}' is not the number of a bake, such as 12, or its uid; `bakewright book "
                                             "list` shows them",
                                             text)});
    return static_cast<book::BakeId>(number);
}

book::BakeId bake_id(book::Book& book, const std::string& text, const std::string& what) {
    if (const auto found = book::BakeRepository(book).find_by_uid(text)) return *found;
    return bake_id(text, what);
}

StoredBake load_bake(book::Book& book, book::BakeId id) {
    StoredBake stored;
    stored.record = book::BakeRepository(book).get(id);
    stored.traces = book::TraceRepository(book).load(id);
    stored.shell = read_document(book, stored.record, kind::shell, profile::shell_from_toml);
    stored.booth = read_document(book, stored.record, kind::booth, profile::booth_from_toml);
    stored.cycle = read_document(book, stored.record, kind::cycle, profile::cycle_from_toml);
    stored.coating = read_document(book, stored.record, kind::coating, profile::coating_from_toml);
    stored.probes = read_document(book, stored.record, profile::kind_name(profile::Kind::probes), profile::probes_from_toml);
    stored.doubts = book.damage();
    if (const auto& replaced = stored.record.replaced)
        stored.doubts.push_back(
            fmt::format("bake {} is an earlier reading of bake {}, replaced {} by {}: {}; judge bake {} instead",
                        static_cast<std::int64_t>(id), static_cast<std::int64_t>(replaced->of), replaced->replaced_at,
                        replaced->replaced_by, replaced->why, static_cast<std::int64_t>(replaced->of)));
    return stored;
}

book::DocumentId keep(book::Book& book, const profile::ShellProfile& shell) {
    return store(book, kind::shell, shell.shell.id, shell.shell.title, profile::to_toml(shell));
}
book::DocumentId keep(book::Book& book, const bake::Booth& booth) {
    return store(book, kind::booth, booth.id, booth.title, profile::to_toml(booth));
}
book::DocumentId keep(book::Book& book, const bake::Cycle& cycle) {
    return store(book, kind::cycle, cycle.id, cycle.title, profile::to_toml(cycle));
}
book::DocumentId keep(book::Book& book, const cure::Coating& coating) {
    return store(book, kind::coating, coating.id, coating.title, profile::to_toml(coating));
}

book::DocumentId keep(book::Book& book, const probe::ProbeSet& probes) {
    return store(book, profile::kind_name(profile::Kind::probes), probes.id, probes.title, profile::to_toml(probes));
}

}  // namespace bakewright::shop
