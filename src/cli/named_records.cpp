#include "named_records.hpp"

#include <fmt/core.h>

#include <filesystem>
#include <optional>

#include "bakewright/base/error.hpp"
#include "bakewright/book/document_repository.hpp"
#include "bakewright/profile/read.hpp"

namespace bakewright::cli {
namespace {

/// The newest document of a kind and name in the user's book; nothing where there is no book or none in it.
std::optional<book::Document> in_book(const Options& options, std::string_view kind, const std::string& name) {
    const std::string path = options.book_path();
    if (!std::filesystem::exists(path)) return std::nullopt;
    book::Book book = book::Book::open(path, book::Mode::read_only);
    book::DocumentRepository documents(book);
    for (const book::DocumentSummary& summary : documents.list(kind))
        if (summary.name == name) return documents.get(summary.id);
    return std::nullopt;
}

/// The library's, and the book's where the library has none of that name.
template <class Record>
profile::Located<Record> record_of(const Options& options, const char* option, std::string_view kind,
                                   profile::Located<Record> (*load)(std::string_view, const profile::Library&),
                                   Record (*read)(std::string_view, const std::string&)) {
    const std::string name = options.text(option);
    try {
        return load(name, options.library());
    } catch (const InputError&) {
        const std::optional<book::Document> document = in_book(options, kind, name);
        if (!document) throw;
        const std::string origin = fmt::format("{} '{}' of the book", kind, name);
        return {read(document->text, origin), origin, {}, {}, {}};
    }
}

}  // namespace

profile::Located<profile::ShellProfile> shell_of(const Options& options, const char* option) {
    return record_of<profile::ShellProfile>(options, option, book::document_kind::shell, profile::load_shell,
                                            profile::shell_from_toml);
}

profile::Located<bake::Booth> booth_of(const Options& options, const char* option) {
    return record_of<bake::Booth>(options, option, book::document_kind::booth, profile::load_booth, profile::booth_from_toml);
}

}  // namespace bakewright::cli
