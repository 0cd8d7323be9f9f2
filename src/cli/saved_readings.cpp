#include "saved_readings.hpp"

#include <fmt/format.h>

#include "bakewright/base/error.hpp"
#include "bakewright/book/document_repository.hpp"
#include "bakewright/profile/saved_reading.hpp"
#include "import_options.hpp"

namespace bakewright::cli {
namespace {

constexpr std::string_view kKind = "log_reading";

std::optional<profile::SavedReading> newest(book::Book& book, const std::string& name) {
    book::DocumentRepository documents(book);
    for (const book::DocumentSummary& summary : documents.list(kKind))
        if (summary.name == name)
            return profile::saved_reading_from_toml(documents.get(summary.id).text,
                                                    fmt::format("reading '{}' of the book", name));
    return std::nullopt;
}

}  // namespace

std::vector<std::string> with_saved_reading(const std::vector<std::string>& words, const Options& options) {
    const std::string name = options.text("reading");
    book::Book book = book::Book::open(options.book_path(), book::Mode::read_only);
    const auto reading = newest(book, name);
    if (!reading) {
        std::vector<std::string> known;
        for (const book::DocumentSummary& summary : book::DocumentRepository(book).list(kKind)) known.push_back(summary.name);
        wrong_option("--reading", known.empty()
                                      ? fmt::format("the book keeps no reading '{}', nor any other", name)
                                      : fmt::format("the book keeps no reading '{}'; it has {}", name, fmt::join(known, ", ")));
    }
    std::vector<std::string> all = words;
    for (std::string& word : saved_words(reading->options, options)) all.push_back(std::move(word));
    return all;
}

void save_reading(book::Book& book, const Options& options) {
    profile::SavedReading reading{options.text("save-reading"), 1, given_reading_options(options)};
    if (const auto before = newest(book, reading.name)) {
        if (before->options == reading.options) return;
        reading.number = before->number + 1;
    }
    book::DocumentRepository(book).store({std::string(kKind), reading.name, reading.name, profile::to_toml(reading)});
}

}  // namespace bakewright::cli
