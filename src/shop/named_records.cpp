#include "bakewright/shop/named_records.hpp"

#include <fmt/core.h>

#include <filesystem>
#include <optional>

#include "bakewright/base/error.hpp"
#include "bakewright/book/document_repository.hpp"
#include "bakewright/profile/read.hpp"

namespace bakewright::shop {
namespace {

/// The newest document of a kind and name in the user's book; nothing where there is no book or none in it.
std::optional<book::Document> in_book(const std::string& path, std::string_view kind, const std::string& name) {
    std::error_code error;
    if (!std::filesystem::exists(path, error)) return std::nullopt;
    book::Book book = book::Book::open(path, book::Mode::read_only);
    book::DocumentRepository documents(book);
    for (const book::DocumentSummary& summary : documents.list(kind))
        if (summary.name == name) return documents.get(summary.id);
    return std::nullopt;
}

template <class Record>
profile::Located<Record> find(const RecordSources& sources, const std::string& name, profile::Kind kind,
                              profile::Located<Record> (*load)(std::string_view, const profile::Library&),
                              Record (*read)(std::string_view, const std::string&)) {
    std::string path;
    try {
        path = sources.takes_paths ? sources.library.find(kind, name) : sources.library.find_name(kind, name);
    } catch (const InputError&) {
        const std::string_view word = profile::kind_name(kind);
        const std::optional<book::Document> document = in_book(sources.book_path, word, name);
        if (!document) throw;
        const std::string origin = fmt::format("{} '{}' of the book", word, name);
        return {read(document->text, origin), origin, {}, {}, {}};
    }
    return load(path, sources.library);
}

}  // namespace

profile::Located<profile::ShellProfile> find_shell(const RecordSources& sources, const std::string& name) {
    return find(sources, name, profile::Kind::shell, profile::load_shell, profile::shell_from_toml);
}

profile::Located<bake::Booth> find_booth(const RecordSources& sources, const std::string& name) {
    return find(sources, name, profile::Kind::booth, profile::load_booth, profile::booth_from_toml);
}

}  // namespace bakewright::shop
